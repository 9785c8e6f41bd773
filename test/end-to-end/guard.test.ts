import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

let fleet: SmallFleet;
/** A pocketed board over inserts, Z 0 on the bed, 18 mm thick: A1 has a screw. */
let site: readonly [number, number];
beforeAll(() => {
  fleet = smallFleet('heron');
  expect(fleet.run('record', 'heron', 'pocket', '--date', '2026-12-01').status).toBe(0);
  expect(fleet.run('regenerate', 'heron').status).toBe(0);
  const row = fleet.read('machines/heron/issued/holes.csv').split('\n')[6]?.split(',') as string[];
  expect(row[0]).toBe('B2');
  site = [Number(row[4]), Number(row[5])];
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

const START = 'G21 G17 G40 G49 G80 G90 G94 G54\nG0 Z60\nS12000 M3\nG4 P6\n';
const END = 'G0 Z60\nM5\nM30\n';

interface Verdict {
  readonly verdict: string;
  readonly figures: readonly object[];
  readonly deepest: readonly { what: string; x: number; y: number; z: number; line: number }[];
  readonly nearest: readonly { name: string; distance: number; line: number }[];
  readonly findings: readonly { code: string; severity: string; place?: { line?: number } }[];
}

function guard(text: string | Uint8Array, ...options: string[]): { status: number | null; seen: Verdict } {
  writeFileSync(join(fleet.root, 'job.ngc'), text);
  const { status, object } = fleet.json('guard', 'heron', 'job.ngc', ...options);
  return { status, seen: object as unknown as Verdict };
}

describe('three jobs', () => {
  it('a safe one may run: how deep it goes and what it passes nearest', () => {
    // Into the board by 0.3 mm, in the middle of zone A, 100 mm from the next screw.
    const [x, y] = [site[0] - 100, site[1] - 100];
    const { status, seen } = guard(
      `${START}G0 X${x} Y${y}\nG1 Z17.5 F1500\nG1 X${x + 60} F4000\n${END}`,
      '--cutter',
      'upcut-6',
      '--depth',
      '0.5',
    );
    expect(seen.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(seen.verdict).toBe('may-run');
    expect(status).toBe(0);
    expect(Math.min(...seen.deepest.map((d) => d.z))).toBeCloseTo(17.5, 6);
    for (const { distance } of seen.nearest) expect(distance).toBeGreaterThan(50);
  });

  it('one through a screw may not, and the line that meets it is named', () => {
    const { status, seen } = guard(
      `${START}G0 X${site[0] - 60} Y${site[1]}\nG1 Z7 F1500\nG1 X${site[0] + 60} F4000\n${END}`,
      '--cutter',
      'upcut-6',
      '--depth',
      '12',
    );
    expect(seen.verdict).toBe('may-not');
    expect(status).toBe(1);
    expect(seen.nearest[0]?.distance).toBeLessThanOrEqual(0);
    expect(seen.nearest[0]?.name).toContain('B2');
    expect(seen.nearest[0]?.line).toBe(7);
    expect(seen.findings.some((f) => f.severity === 'stop' && f.place?.line === 7)).toBe(true);
  });

  it('one that is not understood is not vouched for, and what was not understood is quoted', () => {
    const { status, seen } = guard(`${START}G7.7 X1\nG0 X100 Y100\n${END}`, '--cutter', 'upcut-6');
    expect(seen.verdict).toBe('cannot-vouch');
    expect(status).toBe(1);
    const run = fleet.run('guard', 'heron', 'job.ngc', '--cutter', 'upcut-6');
    expect(run.stdout).toMatch(/^warn +job\.ngc cannot be vouched for/m);
    expect(run.stdout + run.stderr).toMatch(/G7\.7/);
  });

  it('the same cut deeper than was stated may not run', () => {
    const job = `${START}G0 X${site[0] - 100} Y${site[1] - 100}\nG1 Z17.0 F1500\n${END}`;
    expect(guard(job, '--cutter', 'upcut-6', '--depth', '0.5').seen.verdict).toBe('may-not');
    expect(guard(job, '--cutter', 'upcut-6', '--depth', '1').seen.verdict).toBe('may-run');
  });

  it('into the bed is never allowed, whatever depth is stated', () => {
    const job = `${START}G0 X${site[0] - 100} Y${site[1] - 100}\nG1 Z-1 F1500\n${END}`;
    expect(guard(job, '--cutter', 'upcut-6', '--depth', '30').seen.verdict).toBe('may-not');
  });

  it('zero on the board reads the same figures another way', () => {
    const job = `${START}G0 X${site[0] - 100} Y${site[1] - 100}\nG1 Z-0.3 F1500\n${END}`;
    expect(guard(job, '--cutter', 'upcut-6', '--depth', '0.5', '--zero', 'board-top').seen.verdict).toBe(
      'may-run',
    );
    expect(guard(job, '--cutter', 'upcut-6', '--depth', '0.5', '--zero', 'bed').seen.verdict).toBe('may-not');
  });

  it('inches by the program', () => {
    const inch = (mm: number): string => (mm / 25.4).toFixed(4);
    const job = `G20 G17 G40 G49 G80 G90 G94 G54\nG0 Z2.4\nS12000 M3\nG4 P6\nG0 X${inch(site[0] - 100)} Y${inch(site[1] - 100)}\nG1 Z${inch(17.5)} F60\nG0 Z2.4\nM5\nM30\n`;
    const { seen } = guard(job, '--cutter', 'upcut-6', '--depth', '0.5');
    expect(Math.min(...seen.deepest.map((d) => d.z))).toBeCloseTo(17.5, 2);
    expect(seen.verdict).toBe('may-run');
  });
});

describe('a job that controllers run in more than one way', () => {
  // The standard leaves open whether a drilling cycle is one block or a chain of them: the job is followed both ways, peck by peck.
  it('names the deepest place of a hole once', () => {
    const [x, y] = [site[0] - 100, site[1] - 100];
    const { seen } = guard(
      `${START}G0 X${x} Y${y}\nG83 X${x} Y${y} Z17.5 R20 Q0.01 L3 F500\nG80\n${END}`,
      '--cutter',
      'upcut-6',
      '--depth',
      '0.5',
    );
    expect(seen.figures.length).toBe(2);
    expect(seen.deepest).toHaveLength(1);
    expect(seen.deepest[0]).toMatchObject({ x, y, z: expect.closeTo(17.5, 6), line: 6 });
  });
});

describe('odd files never get a clean bill', () => {
  it.each([
    ['empty', ''],
    ['blank lines', '\n\n\r\n   \n'],
    ['a comment only', '(nothing to do)\n'],
    ['binary', new Uint8Array([0, 255, 1, 254, 71, 48, 90, 45, 53, 48, 10, 0, 7])],
    ['letters that look alike', `${START}Ԍ1 X10\n${END}`],
    ['a file cut off in the middle of a word', `${START}G0 X100 Y100\nG1 Z17.9 F1000\nG1 X1`],
    ['a page', '<!doctype html><html></html>\n'],
    ['one endless line', 'G1 X1 '.repeat(20_000)],
  ] as const)('%s', (_, text) => {
    const { status, seen } = guard(text, '--cutter', 'upcut-6', '--depth', '1');
    expect(['may-not', 'cannot-vouch']).toContain(seen.verdict);
    expect(status).toBe(1);
    const run = fleet.run('guard', 'heron', 'job.ngc', '--cutter', 'upcut-6', '--depth', '1');
    expect(run.stdout + run.stderr).not.toMatch(/a fault of this program/);
    expect(run.stdout + run.stderr).not.toMatch(/[\u0000-\u0008\u000e-\u001f]/);
  });

  it('line ends of any kind say the same', () => {
    const job = `${START}G0 X${site[0] - 100} Y${site[1] - 100}\nG1 Z17.5 F1500\n${END}`;
    const options = ['--cutter', 'upcut-6', '--depth', '0.5'] as const;
    const verdicts = ['\n', '\r\n', '\r'].map((end) => guard(job.replace(/\n/g, end), ...options).seen);
    for (const seen of verdicts) {
      expect(Math.min(...seen.deepest.map((d) => d.z))).toBeCloseTo(17.5, 6);
      expect(seen.deepest.map((d) => d.line)).toEqual(verdicts[0]?.deepest.map((d) => d.line));
    }
    expect(verdicts[1]?.verdict).toBe(verdicts[0]?.verdict);
  });
});

describe('the job’s setting', () => {
  const job = (z: number): string => {
    const [x, y] = [site[0] - 100, site[1] - 100];
    return `${START}G0 X${x} Y${y}\nG0 Z5\nG1 Z${z} F1000\nG1 X${x + 60} F2000\n${END}`;
  };

  it('a sheet on the board: the answer begins with what it takes for granted, in the units of the machine', () => {
    writeFileSync(join(fleet.root, 'job.ngc'), job(-18.2));
    const call = [
      'guard',
      'heron',
      'job.ngc',
      '--zero',
      'work',
      '--work-thickness',
      '18',
      '--cutter',
      'upcut-6',
    ];
    const run = fleet.run(...call, '--depth', '0.3', '--work', `${site[0] - 200},${site[1] - 200},300,300`);
    const lines = run.stdout.split('\n');
    expect(lines.findIndex((l) => l.includes('may run on this bed today'))).toBe(
      lines.findLastIndex((l) => l.includes('assumed')) + 1,
    );
    // 17.766 of board and 18 of sheet
    expect(run.stdout).toMatch(/assumed +zero: Z 0 is set on the top of the sheet, 35\.766 mm above the bed/);
    expect(run.stdout).toMatch(/assumed +cutter: the cutter is upcut-6, by the call/);
    expect(run.status).toBe(0);
    // 0.2 mm into the board, and none of it is allowed
    expect(fleet.run(...call).status).toBe(1);
  });

  it('a folder of jobs: one line each, and the exit of the worst', () => {
    mkdirSync(join(fleet.root, 'jobs'), { recursive: true });
    for (const [name, z] of [
      ['a.ngc', -3],
      ['b.ngc', -25],
      ['c.ngc', -18],
    ] as const)
      writeFileSync(join(fleet.root, 'jobs', name), job(z));
    const call = ['guard', 'heron', '--job-list', 'jobs', '--zero', 'work', '--work-thickness', '18'];
    const run = fleet.run(...call, '--cutter', 'upcut-6');
    const told = run.stdout.split('\n').filter((line) => /jobs.[abc]\.ngc/.test(line));
    expect(told.map((line) => line.split(/ +/)[0])).toEqual(['ok', 'stop', 'ok']);
    expect(run.stdout).toMatch(/3 jobs on heron: 2 may run, 1 may not, 0 cannot be vouched for/);
    expect(run.status).toBe(1);
    rmSync(join(fleet.root, 'jobs', 'b.ngc'));
    expect(fleet.run(...call, '--cutter', 'upcut-6').status).toBe(0);
    expect(fleet.run(...call).stdout).toMatch(/^warn +jobs.a\.ngc cannot be vouched for: neither the call/m);
  });

  it.each([
    [['--zero', 'work'], /thickness of the sheet/],
    [['--work', '1,2,3,4'], /how thick/],
    [['--work-thickness', '18', '--work', '1,2,3'], /four lengths/],
    [['--cutter', '1=upcut-6', '--cutter', '1=vee-90'], /T1 twice/],
    [['--cutter', 'upcut-6', '--cutter', 'vee-90'], /two cutters/],
    [['--job-list', 'jobs'], /a program and a folder/],
  ])('%j is a wrong call', (options, says) => {
    const run = fleet.run('guard', 'heron', 'job.ngc', ...options);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(says);
  });
});
