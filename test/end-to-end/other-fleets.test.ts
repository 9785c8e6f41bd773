import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bedledger, ROOT, type Run } from '../support/command.ts';
import { notAsInManifest } from './small-fleet.ts';

/*
 * Fleets that the demo fleet does not resemble: other beds, controllers, fixings, surveys, and ledgers in other states.
 * Each is regenerated through the command, which checks what it writes, and a few facts of each are worked out here from its
 * profile, by another way than the product's. Every expected figure is derived beside its check. That `check` finds them
 * right from nothing is proven of two fleets here, and of all by the proof `other-fleets`.
 */

const FIXTURES = join(ROOT, 'test/fixtures/fleets');
const roots = new Map<string, string>();
const runs = new Map<string, { regenerate: Run; check: Run | null }>();
/** Odd ledgers and odd surveys: the two that `check` could read otherwise than `regenerate`. */
const CHECKED = ['ledgers', 'surveys'];

beforeAll(() => {
  for (const name of readdirSync(FIXTURES)) {
    const root = mkdtempSync(join(tmpdir(), 'bedledger-other-'));
    cpSync(join(FIXTURES, name), root, { recursive: true });
    roots.set(name, root);
    const regenerate = bedledger(root, ['regenerate', '--workers', '1']);
    runs.set(name, {
      regenerate,
      check: CHECKED.includes(name) ? bedledger(root, ['check', '--workers', '1']) : null,
    });
  }
}, 240_000);
afterAll(() => {
  for (const root of roots.values()) rmSync(root, { recursive: true, force: true });
});

const machine = (fleet: string, id: string): string => join(roots.get(fleet) as string, 'machines', id);
const programs = (fleet: string, id: string): Map<string, string> => {
  const folder = join(machine(fleet, id), 'issued/programs');
  return new Map(readdirSync(folder).map((name) => [name, readFileSync(join(folder, name), 'latin1')]));
};
/** The program of an operation, all parts after each other. */
const program = (fleet: string, id: string, start: string): string =>
  [...programs(fleet, id)]
    .filter(([name]) => name.toLowerCase().startsWith(start))
    .map(([, text]) => text)
    .join('');
const bare = (text: string): string => text.replace(/\([^)]*\)/g, '');
/** Every value of a word with a decimal point or without, comments left out. */
const words = (text: string, letter: string): number[] =>
  [...bare(text).matchAll(new RegExp(`${letter}([+-]?\\d*\\.?\\d+)`, 'g'))].map((m) => Number(m[1]));
const holes = (fleet: string, id: string): Record<string, string>[] => {
  const [head, ...rows] = readFileSync(join(machine(fleet, id), 'issued/holes.csv'), 'utf8')
    .trimEnd()
    .split('\n');
  const names = (head as string).split(',');
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [names[i], cell])));
};

test.each(readdirSync(FIXTURES))('%s: issued, and every program passes', (name) => {
  const { regenerate, check } = runs.get(name) as { regenerate: Run; check: Run | null };
  expect(regenerate.stderr + regenerate.stdout).not.toMatch(/(^|: )stop /m);
  expect(regenerate.status).toBe(0);
  if (check !== null) {
    expect(check.stderr + check.stdout).not.toMatch(/(^|: )stop /m);
    expect(check.status).toBe(0);
  }
  const root = roots.get(name) as string;
  for (const id of readdirSync(join(root, 'machines'))) {
    expect(notAsInManifest(join(root, 'machines', id)), id).toEqual([]);
    for (const [file, text] of programs(name, id)) {
      expect(bare(text), `${id} ${file}`).not.toMatch(/NaN|Infinity|undefined|-0\.0+(?!\d)|E[+-]?\d/);
    }
  }
});

describe('beds', () => {
  test('no site of the table of clamping rails is nearer to a rail than bore, wall and margin', () => {
    // rails at 100, 300 … 1100, 14 wide; bore 9.94/2, wall 9.52 (one insert), margin 1, position 0.3
    const needed = 7 + 9.94 / 2 + 9.52 + 1 + 0.3;
    for (const hole of holes('beds', 'ruff')) {
      for (const rail of [100, 300, 500, 700, 900, 1100]) {
        expect(Math.abs(Number(hole.x_mm) - rail)).toBeGreaterThanOrEqual(needed - 0.01);
      }
    }
  });
  test('nothing is placed on the post or over a bolt hole', () => {
    for (const hole of holes('beds', 'stint')) {
      // post 100 across at 620, 620
      expect(Math.hypot(Number(hole.x_mm) - 620, Number(hole.y_mm) - 620)).toBeGreaterThan(50 + 9.94 / 2);
      for (const [x, y] of [
        [20, 20],
        [620, 20],
        [1225, 1225],
      ] as const) {
        expect(Math.hypot(Number(hole.x_mm) - x, Number(hole.y_mm) - y)).toBeGreaterThan(6 + 9.94 / 2 + 9.52);
      }
    }
  });
  test('holes grow with the distance from the one that holds the board: 6 + 2·(0.0005·2·r + 0.3), up to the next tenth', () => {
    const held = holes('beds', 'ruff').filter(({ board }) => board === 'held');
    expect(held.length).toBe(1);
    for (const hole of holes('beds', 'ruff')) {
      const r = Math.hypot(
        Number(hole.x_mm) - Number(held[0]!.x_mm),
        Number(hole.y_mm) - Number(held[0]!.y_mm),
      );
      const least = 6 + 2 * (0.0005 * 2 * r + 0.3);
      expect(Number(hole.hole_diameter_mm)).toBeGreaterThanOrEqual(Math.max(6.6, least) - 1e-6);
      expect(Number(hole.hole_diameter_mm)).toBeLessThanOrEqual(Math.max(6.6, least) + 0.1 + 1e-6);
    }
  });
  test('the first-fit form ends in the bed, no deeper than the cut limit; the refit form a skin above it', () => {
    const first = Math.min(...words(program('beds', 'ruff', 'clearance-holes-first-fit'), 'Z'));
    expect(first).toBeLessThan(0);
    expect(first).toBeGreaterThanOrEqual(-2);
    expect(program('beds', 'dotterel', 'clearance-holes-first-fit')).toBe('');
    // the house's skin is 1 mm
    expect(
      Math.min(...words(program('beds', 'dotterel', 'clearance-holes-refit'), 'Z')),
    ).toBeGreaterThanOrEqual(1);
  });
  test('where front and right are out of reach, no motion leaves the travel', () => {
    for (const text of programs('beds', 'whimbrel').values()) {
      expect(Math.max(...words(text, 'X'))).toBeLessThanOrEqual(1180);
      expect(Math.min(...words(text, 'Y'))).toBeGreaterThanOrEqual(60);
    }
  });
});

describe('desktop and five by twelve feet', () => {
  test('a skim of the desktop board goes to the thinnest place less the skim: 17.6 − 0.4', () => {
    expect(Math.min(...words(program('desktop', 'teal', 'surface'), 'Z'))).toBeCloseTo(17.2, 3);
  });
  test('inches: bore 12.7 + 0.0254 + 2.5 mm deep, programs in inches', () => {
    for (const hole of holes('five-by-twelve', 'bittern'))
      expect(Number(hole.bore_depth_in) * 25.4).toBeCloseTo(15.225, 2);
    const text = program('five-by-twelve', 'bittern', 'socket-pockets');
    expect(bare(text)).toMatch(/G20|G70/);
    // a table of 61 × 145 in: nothing above 150 can be in inches
    expect(Math.max(...words(text, 'X'), ...words(text, 'Y'))).toBeLessThan(150);
  });
});

describe('controllers', () => {
  const all = (id: string): string[] => [...programs('controllers', id).values()];
  test('arcs by radius have no centre words', () => {
    const text = bare(program('controllers', 'skua', 'socket-pockets'));
    expect(text).toMatch(/G3 .*R\d/);
    expect(text).not.toMatch(/[IJ]-?\d/);
  });
  test('Z downwards and increments: in G91, and the deepest sum of Z is positive', () => {
    const text = bare(program('controllers', 'gull', 'socket-pockets'));
    expect(text).toMatch(/G91/);
    let z = 0;
    let incremental = false;
    let deepest = Number.NEGATIVE_INFINITY;
    for (const line of text.split('\n')) {
      if (/G91/.test(line)) incremental = true;
      if (/G90/.test(line)) incremental = false;
      const word = /Z(-?[\d.]+)/.exec(line)?.[1];
      if (word === undefined) continue;
      z = incremental ? z + Number(word) : Number(word);
      deepest = Math.max(deepest, z);
    }
    // pocket floor at 5.05 mm above the bed is -0.1988 in when Z counts downwards
    expect(deepest).toBeCloseTo(-5.05 / 25.4, 3);
  });
  test('old control: CR at every line end, no decimal point', () => {
    for (const text of all('auk')) {
      expect(text).not.toContain('\n');
      expect(text.split('\r').length).toBeGreaterThan(10);
      expect(bare(text)).not.toContain('.');
    }
  });
  test('without comments, spindle by hand: no sign of a comment, no M3, a stop before the first cut', () => {
    for (const text of all('fulmar')) expect(text).not.toMatch(/[(;]|M3|M5/);
    expect(program('controllers', 'fulmar', 'socket-pockets')).toMatch(/M0/);
  });
  test('home by G53 is the last motion', () => {
    for (const text of all('gannet')) {
      const motions = bare(text)
        .split('\n')
        .filter((l) => /[XYZ]/.test(l));
      expect(motions.at(-1)).toBe('G53 G0 Z0.000');
    }
  });
  test('feeds in mm/s stay below the axes: 8000 and 2500 mm/min are 133.3 and 41.7 mm/s', () => {
    const text = bare(program('controllers', 'puffin', 'socket-pockets'));
    expect(Math.max(...words(text, 'F'))).toBeLessThanOrEqual(133);
    for (const line of text.split('\n')) {
      if (/G1 Z/.test(line) && /F/.test(line)) expect(words(line, 'F')[0]).toBeLessThanOrEqual(41);
    }
  });
  test('a memory of 100 lines, names of eight and three', () => {
    for (const [name, text] of programs('controllers', 'shag')) {
      expect(name).toMatch(/^[a-z0-9]{1,8}\.[a-z0-9]{1,3}$/);
      expect(text.trimEnd().split('\n').length).toBeLessThanOrEqual(100);
    }
    expect(
      [...programs('controllers', 'shag').keys()].filter((n) => n.startsWith('surf')).length,
    ).toBeGreaterThan(1);
  });
  test('speeds by codes: 16 500 rpm (code 4) for the end mill', () => {
    expect(bare(program('controllers', 'noddy', 'pockt'))).toMatch(/S4 ?M0?3/);
  });
  test('a title with signs of the language becomes none', () => {
    for (const text of all('skua')) {
      expect(text).not.toMatch(/^\s*G0 Z-50/m);
      for (const line of text.split('\n')) expect((line.match(/\(/g) ?? []).length).toBeLessThanOrEqual(1);
    }
    for (const id of ['tern', 'gull']) for (const text of all(id)) expect(text).toMatch(/^[\x20-\x7e\r\n]*$/);
  });
  test('the tool changer gets its tool, its length and no home before that', () => {
    const text = bare(program('controllers', 'petrel', 'socket-pockets'));
    expect(text.indexOf('T1 M6')).toBeGreaterThan(0);
    expect(text.indexOf('G43 H1')).toBeGreaterThan(text.indexOf('T1 M6'));
    expect(text.indexOf('Z')).toBeGreaterThan(text.indexOf('G43 H1'));
  });
});

describe('ledgers', () => {
  test('a filled hole is marked again, and only that one', () => {
    const text = bare(program('ledgers', 'rail', 'bed-mark'));
    const rows = holes('ledgers', 'rail');
    expect(rows.filter((r) => r.state === 'none').map((r) => r.site)).toEqual(['A1']);
    const a1 = rows[0] as Record<string, string>;
    const low = text.split('\n').filter((l) => /Z-/.test(l));
    expect(low).toHaveLength(1);
    expect(words(low[0] as string, 'X')[0] ?? Number(a1.x_mm)).toBeCloseTo(Number(a1.x_mm), 2);
    expect(program('ledgers', 'rail', 'surface')).toBe('');
  });
  test('a board skimmed once too often: no skim is issued, a new board is next, the machine is not stopped', () => {
    expect(program('ledgers', 'crake', 'surface')).toBe('');
    const { regenerate } = runs.get('ledgers') as { regenerate: Run };
    expect(regenerate.stdout).toMatch(/crake next: fit a new board/);
    // 11.5 left: heads at 5.05 web + 1.7 washer + 4.15 head = 10.9, so 0.6
    for (const hole of holes('ledgers', 'crake')) expect(Number(hole.cover_mm)).toBeCloseTo(0.6, 6);
  });
  test('a nudge moves its site by just that', () => {
    const b2 = holes('ledgers', 'coot').find((h) => h.site === 'B2') as Record<string, string>;
    expect(Number(b2.x_mm) - Number(b2.nominal_x_mm)).toBeCloseTo(2.5, 6);
    expect(Number(b2.y_mm) - Number(b2.nominal_y_mm)).toBeCloseTo(-1, 6);
  });
  test('a bowed board is skimmed below its lowest reading, 17.6, by at least the margin', () => {
    const lowest = Math.min(...words(program('ledgers', 'grebe', 'surface'), 'Z'));
    expect(lowest).toBeLessThanOrEqual(17.5 + 1e-9);
    expect(lowest).toBeGreaterThan(17.3);
  });
});

test('a survey turned by 0.1° and shifted by (1, −2) turns and shifts every site', () => {
  const t = (0.1 * Math.PI) / 180;
  for (const hole of holes('surveys', 'diver')) {
    const [x, y] = [Number(hole.nominal_x_mm), Number(hole.nominal_y_mm)];
    // the readings are rounded to 1 µm
    expect(Number(hole.x_mm)).toBeCloseTo(x * Math.cos(t) - y * Math.sin(t) + 1, 2);
    expect(Number(hole.y_mm)).toBeCloseTo(x * Math.sin(t) + y * Math.cos(t) - 2, 2);
  }
});

test('countersunk heads are countersunk by hand, at 90° (ISO 10642)', () => {
  expect(readFileSync(join(machine('fixings', 'plume'), 'issued/run-sheet.html'), 'utf8')).toMatch(/90°/);
});
