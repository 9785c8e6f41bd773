import { readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { notAsInManifest, type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * One router from its bare bed to its second board, through the command alone. After every fact: what is issued, what is
 * withheld, and that the files on the disk are those that passed; `check` says the same from nothing at three turns of the life.
 */

let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet();
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

interface Outcome {
  readonly verdict: string;
  readonly next: string;
  readonly withheld: readonly { operation: string; form: string | null; reason: string }[];
  readonly findings: readonly { code: string; severity: string }[];
}

/** Regenerates; the programs issued and the machine's outcome. `check`: proves the files again from nothing. */
function issue(check = false): { issued: string[]; outcome: Outcome; withheld: string[] } {
  const { status, object } = fleet.json('regenerate', 'dunlin');
  const [outcome] = object.machines as Outcome[];
  expect(outcome?.findings.filter((f) => f.severity === 'stop')).toEqual([]);
  expect(status).toBe(0);
  expect(notAsInManifest(join(fleet.root, 'machines/dunlin'))).toEqual([]);
  if (check) expect(fleet.run('check', 'dunlin').status).toBe(0);
  const manifest = JSON.parse(fleet.read('machines/dunlin/issued/manifest.json')) as {
    programs: { operation: string; form: string | null; deepest: { bed: number | null } }[];
  };
  const name = (p: { operation: string; form: string | null }): string =>
    p.form === null ? p.operation : `${p.operation} ${p.form}`;
  const listed = readdirSync(join(fleet.root, 'machines/dunlin/issued/programs'));
  expect(listed.length).toBe(manifest.programs.length);
  return {
    issued: [...new Set(manifest.programs.map(name))].sort(),
    outcome: outcome as Outcome,
    withheld: (outcome as Outcome).withheld.map(name).sort(),
  };
}

function record(...args: string[]): void {
  const run = fleet.run('record', 'dunlin', ...args);
  expect(run.stderr).toBe('');
  expect(run.status).toBe(0);
}

/** Least cover over a head that holes.csv states, mm. */
function leastCover(): number {
  const [head, ...rows] = fleet.read('machines/dunlin/issued/holes.csv').trimEnd().split('\n');
  const column = (head as string).split(',').indexOf('cover_mm');
  return Math.min(...rows.map((r) => Number(r.split(',')[column])));
}

it('a life: bare bed, survey, marks, bores, first board, inserts, skims until none is left, second board', () => {
  expect(fleet.run('new', 'dunlin', '--title', 'Dunlin, boat shed').status).toBe(0);

  // A bare bed: whatever finds and marks places, nothing that needs a board or metal.
  let now = issue(true);
  // Nobody knows where its features are: no program cuts the bed.
  expect(now.issued).toEqual(['air-pass', 'datum-mark']);
  expect(now.withheld).toEqual([
    'bed-mark',
    'clearance-holes first-fit',
    'clearance-holes refit',
    'socket-pockets',
    'surface',
  ]);
  expect(now.outcome.findings.map((f) => f.code)).toContain('survey/none');

  // Features to survey are listed with their drawn places: a program that visits them appears.
  fleet.write(
    'machines/dunlin/survey.csv',
    'feature,nominal_x,nominal_y,measured_x,measured_y\nfront-left,50,50,,\nfront-right,1170,50,,\nback-left,50,2390,,\nback-right,1170,2390,,\n',
  );
  now = issue();
  expect(now.issued).toEqual(['air-pass', 'datum-mark', 'survey-visit']);

  // Measured: the bed lies 1.2 mm to the right and is turned by 0.5 mm in a metre. Positions follow, and the warning goes.
  const before = fleet.read('machines/dunlin/issued/holes.csv');
  const turn = 0.0005;
  const found = (x: number, y: number): string =>
    `${(x + 1.2 - turn * y).toFixed(2)},${(y + turn * x).toFixed(2)}`;
  fleet.write(
    'machines/dunlin/survey.csv',
    `feature,nominal_x,nominal_y,measured_x,measured_y\nfront-left,50,50,${found(50, 50)}\nfront-right,1170,50,${found(1170, 50)}\nback-left,50,2390,${found(50, 2390)}\nback-right,1170,2390,${found(1170, 2390)}\n`,
  );
  record('survey', '--date', '2026-01-04');
  now = issue();
  expect(now.issued).toContain('bed-mark');
  expect(now.outcome.findings.map((f) => f.code)).not.toContain('survey/none');
  const after = fleet.read('machines/dunlin/issued/holes.csv');
  expect(after).not.toBe(before);
  for (const row of after.trimEnd().split('\n').slice(1)) {
    const [, , nx, ny, x, y] = row.split(',').map(Number) as [number, number, number, number, number, number];
    // The fit is of readings rounded to 0.01 mm.
    expect(Math.abs(x - (nx + 1.2 - turn * ny))).toBeLessThan(0.02);
    expect(Math.abs(y - (ny + turn * nx))).toBeLessThan(0.02);
  }

  record('mark', '--all', '--date', '2026-01-05');
  now = issue();
  expect(now.issued).not.toContain('clearance-holes first-fit');

  record('bore', '--all', '--date', '2026-01-06');
  now = issue();
  expect(now.issued).not.toContain('bed-mark');
  expect(now.withheld).toContain('bed-mark');

  // The first board, measured: pockets, and holes that may go through because the bores are there and no metal is.
  record(
    'board',
    '--thickness',
    '18.02',
    '--thickness',
    '18.06',
    '--thickness',
    '18.00',
    '--date',
    '2026-01-07',
  );
  now = issue();
  expect(now.issued).toContain('socket-pockets');
  expect(now.issued).toContain('clearance-holes first-fit');
  expect(now.issued).not.toContain('clearance-holes refit');
  expect(now.issued).not.toContain('surface');

  record('pocket', '--date', '2026-01-08');
  now = issue();
  expect(now.withheld).toEqual(
    expect.arrayContaining(['socket-pockets', 'clearance-holes first-fit', 'surface']),
  );

  // Metal in the bed: no program goes through the board any more. No skim before the screws are on record: nobody would know
  // how high their heads stand.
  record('insert', '--all', '--date', '2026-01-09');
  now = issue();
  expect(now.issued).not.toContain('surface');
  record('screws', '--date', '2026-01-10');
  now = issue(true);
  expect(now.issued).toContain('surface');
  expect(now.withheld).toEqual(
    expect.arrayContaining(['bed-mark', 'clearance-holes first-fit', 'clearance-holes refit']),
  );

  // Skims. House: 0.4 mm a skim, 1.5 mm of cover over a head at the least.
  const skim = Number(/^ *skim: *([\d.]+)/m.exec(fleet.read('shared/house.yaml'))?.[1]);
  const coverMin = Number(/^ *cover_min: *([\d.]+)/m.exec(fleet.read('shared/house.yaml'))?.[1]);
  expect([skim, coverMin].every((v) => v > 0)).toBe(true);
  let withheldAt: number | null = null;
  let was = 18.03;
  for (const [i, thickness] of [16, 14, 13.2, 12.9, 12.5].entries()) {
    const commanded = (was - thickness).toFixed(2);
    record('skim', '--commanded', commanded, '--thickness', String(thickness), '--date', `2026-06-0${i + 1}`);
    was = thickness;
    now = issue();
    // Derived: what is over the heads after one more skim must still be the least cover.
    expect(now.issued.includes('surface'), `at ${thickness} mm`).toBe(leastCover() - skim >= coverMin - 1e-6);
    if (!now.issued.includes('surface')) withheldAt ??= thickness;
  }
  expect(withheldAt).not.toBeNull();
  expect(now.outcome.withheld.find((w) => w.operation === 'surface')?.reason).toMatch(/no skim left/);

  // Skimmed past the limit all the same: said aloud, nothing that cuts is issued, and the next work is a new board.
  record('skim', '--commanded', '0.5', '--thickness', '12.0', '--date', '2026-06-20');
  now = issue();
  expect(now.issued.filter((name) => !['air-pass', 'datum-mark', 'survey-visit'].includes(name))).toEqual([]);
  expect(now.outcome.findings.map((f) => f.code)).toContain('stack/worn-out');
  expect(now.outcome.next).toMatch(/new board/);

  // The second board over the inserts: pockets and the refit form, which stops above the bed.
  record('board', '--thickness', '17.9', '--thickness', '17.94', '--date', '2026-07-01');
  now = issue();
  expect(now.issued).toContain('socket-pockets');
  expect(now.issued).toContain('clearance-holes refit');
  expect(now.issued).not.toContain('clearance-holes first-fit');
  const manifest = JSON.parse(fleet.read('machines/dunlin/issued/manifest.json')) as {
    programs: { operation: string; deepest: { bed: number | null; board: number | null } }[];
  };
  const refit = manifest.programs.find((p) => p.operation === 'clearance-holes');
  expect(refit?.deepest.bed).toBeNull();
  expect(refit?.deepest.board).toBeGreaterThanOrEqual(1 - 1e-6);

  record('pocket', '--date', '2026-07-02');
  record('screws', '--date', '2026-07-03');
  now = issue(true);
  expect(now.issued).toContain('surface');
  const status = fleet.json('status', 'dunlin').object.machines as {
    board: { ordinal: number; skims: number };
  }[];
  expect(status[0]?.board).toMatchObject({ ordinal: 2, skims: 0 });
}, 600_000);
