import { rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * The run sheet asks for the depth of two pockets. What the program's own header prints goes through, as a floor and as a
 * depth read with a caliper; a floor that is really too deep is told with what it means.
 */
const fleet: SmallFleet = smallFleet('heron', 'egret', 'curlew', 'avocet', 'plover');
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

/** A new board on each machine, still to be cut; egret's bed is bare, and it gets its first one. */
const BOARDS = {
  heron: null,
  curlew: null,
  avocet: ['17.70', '17.72', '17.71', '17.73'],
  plover: ['18.98', '18.96', '19.00', '18.97'],
  egret: ['0.746', '0.748', '0.747', '0.745'],
} as const;

const PROGRAM = /DEEPEST BOARD *[:=]? *([\d.]+)/i;

describe.each(Object.entries(BOARDS))('%s', (id, thickness) => {
  let floor: number;
  let board: number;
  beforeAll(() => {
    if (thickness !== null) {
      const readings = thickness.flatMap((t) => ['--thickness', t]);
      const run = fleet.run(
        'record',
        id,
        'board',
        ...readings,
        '--skimmed',
        'underside',
        '--date',
        '2026-12-01',
      );
      expect(run.status).toBe(0);
    }
    expect(fleet.run('regenerate', id).status).toBe(0);
    const { object } = fleet.json('status', id);
    board = (object.machines as { board: { thickness: number } }[])[0]!.board.thickness;
    const manifest = JSON.parse(fleet.read(`machines/${id}/issued/manifest.json`)) as {
      programs: { file: string; operation: string }[];
    };
    const { file } = manifest.programs.find(({ operation }) => operation === 'socket-pockets')!;
    const text = fleet.read(`machines/${id}/issued/programs/${file.replace(/^programs\//, '')}`);
    // avocet's control takes no comments: there the hole table tells the floor
    const [columns, first] = fleet
      .read(`machines/${id}/issued/holes.csv`)
      .split('\n')
      .map((l) => l.split(','));
    const column = columns!.findIndex((name) => name.startsWith('pocket_floor'));
    floor = Number(PROGRAM.exec(text)?.[1] ?? (id === 'avocet' ? first![column] : Number.NaN));
    expect(floor).toBeGreaterThan(0);
  });
  const record = (...measured: string[]) =>
    fleet.run('record', id, 'pocket', ...measured, '--date', '2026-12-02', '--dry-run');

  it('the floor that the header prints', () => {
    const run = record('--pocket-floor', String(floor));
    expect(run.status).toBe(0);
    expect(run.stdout + run.stderr).not.toMatch(/^(warn|stop)/m);
  });

  it('the depth that a caliper reads in it, rounded either way', () => {
    const [step, decimals] = id === 'egret' ? [0.001, 3] : [0.01, 2];
    for (const off of [-step, 0, step]) {
      // `status` tells millimetres
      const depth = (id === 'egret' ? board / 25.4 : board) - floor + off;
      const run = record('--pocket-depth', depth.toFixed(decimals));
      expect(run.status).toBe(0);
      expect(run.stdout + run.stderr).not.toMatch(/^(warn|stop)/m);
    }
  });

  it('a floor that is really too deep is told, with what can be done', () => {
    const run = record('--pocket-floor', (floor * 0.7).toFixed(4));
    expect(run.status).toBe(0);
    expect(run.stdout).toMatch(/^warn .*does not keep "web/m);
    expect(run.stdout).toMatch(/do: .*(leave|fit a new board|screws)/);
  });
});
