import { join } from 'node:path';
import { checkIssued, type GuardOptions, guard, guardPicture } from '@bedledger/checker';
import { loadFleet, type MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { issuedFleet } from './mutation/issued-fleet.ts';

const ROOT = join(import.meta.dirname, '..');
const { machines } = loadFleet(ROOT);
const record = (id: string): MachineRecord => {
  const found = machines.find((m) => m.id === id)?.record;
  if (!found) throw new Error(`no machine ${id}`);
  return found;
};

// a worn, pocketed board with its screws in
const plover = record('plover');
const board = plover.state.board!;
const OPTIONS: GuardOptions = { zero: 'bed', cutter: 'upcut-6', allowedDepth: 0.5 };

/** A job as anyone's design program might write it: a square, cut at `z` above the bed, round (x, y). */
function job(x: number, y: number, z: number, half = 30, extra = ''): { path: string; text: string } {
  return {
    path: 'job.ngc',
    text: [
      '(A SIGN)',
      `G21 G90 G17 G94 G40 G49 G80 G${53 + plover.machine.datum.workOffset}`,
      'G0 Z60',
      'M3 S16000',
      'G4 P10',
      `G0 X${x - half} Y${y - half}`,
      `G0 Z${board.thickness + 2}`,
      `G1 Z${z} F1500`,
      `G1 X${x + half} F3000`,
      `G1 Y${y + half}`,
      `G1 X${x - half}`,
      `G1 Y${y - half}`,
      extra,
      'G0 Z60',
      'M5',
      'M30',
    ]
      .filter((line) => line !== '')
      .join('\n')
      .concat('\n'),
  };
}

/** A place well away from every site. */
function freePlace(): readonly [number, number] {
  const sites = plover.state.inserts.map((i) => i.at);
  let best: readonly [number, number] = [0, 0];
  let far = 0;
  const { at, size } = plover.machine.board;
  for (let x = at[0] + 80; x < at[0] + size[0] - 80; x += 10) {
    for (let y = at[1] + 80; y < at[1] + size[1] - 80; y += 10) {
      const near = Math.min(
        ...sites.map((s) => Math.sqrt((s[0] - x) * (s[0] - x) + (s[1] - y) * (s[1] - y))),
      );
      if (near > far) {
        far = near;
        best = [x, y];
      }
    }
  }
  return best;
}

describe('guard', () => {
  const [fx, fy] = freePlace();

  it('lets a safe job run', () => {
    const report = guard(plover, job(fx, fy, board.thickness - 0.4), OPTIONS);
    expect(report.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(report.verdict).toBe('may-run');
    expect(report.deepest[0]!.z).toBeCloseTo(board.thickness - 0.4, 6);
    // derived: four slots of 60 mm, 6 mm wide, 0.4 deep: 4·60·6 − what the corners share, plus round corners outside
    const slot = 4 * 60 * 6 + (4 * (Math.PI * 9)) / 4 - 4 * 9;
    expect(report.figures[0]!.removedVolume / 0.4 / slot).toBeGreaterThan(0.97);
    expect(report.figures[0]!.removedVolume / 0.4 / slot).toBeLessThan(1.03);
  });

  it('stops a job that goes through a screw', () => {
    const [sx, sy] = plover.state.inserts[0]!.at;
    const report = guard(plover, job(sx + 30, sy + 30, 3), { ...OPTIONS, allowedDepth: 15 });
    expect(report.verdict).toBe('may-not');
    const metal = report.findings.filter((f) => f.code === 'program/metal');
    expect(metal.length).toBeGreaterThan(0);
    expect(metal[0]!.message).toContain(plover.state.inserts[0]!.site);
    expect(report.nearest[0]!.distance).toBeLessThanOrEqual(0);
  });

  it('will not vouch for what it cannot read', () => {
    const report = guard(plover, job(fx, fy, board.thickness - 0.4, 30, 'G65 P9010 A3'), OPTIONS);
    expect(report.verdict).toBe('cannot-vouch');
    expect(report.notUnderstood.length).toBeGreaterThan(0);
    expect(report.notUnderstood[0]!.place!.line).toBe(13);
  });

  it('stops cuts into the bed, too deep, and beyond the travel', () => {
    const codes = (z: number, x = fx): string[] =>
      guard(plover, job(x, fy, z), OPTIONS)
        .findings.filter((f) => f.severity === 'stop')
        .map((f) => f.code);
    expect(codes(-0.3)).toContain('guard/into-bed');
    expect(codes(board.thickness - 2)).toContain('guard/too-deep');
    expect(codes(board.thickness - 0.4, plover.machine.travel.x[1])).toContain('program/travel');
    expect(codes(-plover.machine.bed.cutLimit - 1)).toContain('program/bed-depth');
  });

  it('reads the units from the program: inches written on a millimetre machine', () => {
    const inch = (mm: number): string => (mm / 25.4).toFixed(5);
    const text = job(fx, fy, board.thickness - 0.4)
      .text.replace('G21', 'G20')
      .replace(
        /([XYZF])(-?[\d.]+)/g,
        (_m, letter: string, value: string) => `${letter}${inch(Number(value))}`,
      );
    const report = guard(plover, { path: 'job.ngc', text }, OPTIONS);
    expect(report.verdict).toBe('may-run');
    expect(report.deepest[0]!.z).toBeCloseTo(board.thickness - 0.4, 3);
  });

  it('tries both positions of the block delete switch', () => {
    const safe = job(fx, fy, board.thickness - 0.4);
    const text = safe.text.replace('G0 Z60\nM5', `/G0 Z60\nG0 X${fx + 60}\nG0 Z60\nM5`);
    const report = guard(plover, { path: 'job.ngc', text }, OPTIONS);
    expect(report.figures).toHaveLength(2);
    expect(report.verdict).not.toBe('may-run');
    expect(report.findings.some((f) => f.message.includes('block delete on'))).toBe(true);
  });

  it('says so when no cutter is named, and takes a plain diameter', () => {
    const safe = job(fx, fy, board.thickness - 0.4);
    expect(guard(plover, safe, { ...OPTIONS, cutter: null }).verdict).toBe('cannot-vouch');
    expect(guard(plover, safe, { ...OPTIONS, cutter: 6 }).verdict).toBe('may-run');
    expect(() => guard(plover, safe, { ...OPTIONS, cutter: 'no-such' })).toThrow(RangeError);
    expect(() => guard(plover, safe, { ...OPTIONS, allowedDepth: -1 })).toThrow(RangeError);
  });

  it('stops a spindle that stands still, and an empty or damaged file', () => {
    const safe = job(fx, fy, board.thickness - 0.4);
    const still = guard(plover, { path: 'job.ngc', text: safe.text.replace('M3 S16000\n', '') }, OPTIONS);
    expect(still.findings.map((f) => f.code)).toContain('program/spindle-off');
    expect(guard(plover, { path: 'job.ngc', text: '' }, OPTIONS).verdict).not.toBe('may-run');
    expect(guard(plover, { path: 'job.ngc', text: '\u0000\u0001garbage' }, OPTIONS).verdict).not.toBe(
      'may-run',
    );
  });

  it('puts the path and the nearest places into a picture', () => {
    const picture = guardPicture(plover, job(fx, fy, board.thickness - 0.4), OPTIONS);
    expect(picture.segments.length).toBeGreaterThanOrEqual(4);
    expect(picture.cutterRadius).toBe(3);
    expect(picture.segments.every((s) => s.z < picture.boardTop)).toBe(true);
  });
});

describe('interlocks, computed from the ledger', () => {
  const sets = issuedFleet(ROOT);
  const heron = sets.find((s) => s.record.machine.id === 'heron')!;
  const curlew = sets.find((s) => s.record.machine.id === 'curlew')!;
  const stops = (r: MachineRecord, issued: (typeof sets)[number]['issued']): string[] =>
    checkIssued(r, issued)
      .findings.filter((f) => f.severity === 'stop')
      .map((f) => f.code);

  it('first fit is refused as soon as one insert is recorded', () => {
    expect(curlew.issued.manifest.programs.some((p) => p.form === 'first-fit')).toBe(true);
    const site = [...curlew.record.state.sites][0]!;
    const insert = { site: site[0], at: site[1].at, insert: curlew.record.planned.insert.id };
    const after: MachineRecord = {
      ...curlew.record,
      state: {
        ...curlew.record.state,
        inserts: [insert],
        sites: new Map([...curlew.record.state.sites, [site[0], { ...site[1], state: 'set' as const }]]),
      },
    };
    const codes = stops(after, curlew.issued);
    expect(codes).toContain('interlock/first-fit');
    expect(codes).toContain('program/metal');
  });

  it('first fit does not pass the bed where nothing is bored', () => {
    const after: MachineRecord = {
      ...curlew.record,
      state: { ...curlew.record.state, sites: new Map() },
    };
    expect(stops(after, curlew.issued)).toContain('interlock/bored-only');
  });

  it('a refit that would meet an insert is refused: the skin is all that lies between', () => {
    const thinner: MachineRecord = {
      ...heron.record,
      house: {
        ...heron.record.house,
        stack: { ...heron.record.house.stack, refitSkin: heron.record.house.stack.refitSkin + 1 },
      },
    };
    expect(stops(thinner, heron.issued)).toContain('work/floor');
  });

  it('a missing file, a file too many and a changed input are found', () => {
    const without = { ...heron.issued, programs: heron.issued.programs.slice(1) };
    expect(stops(heron.record, without)).toContain('documents/manifest');
    const more = {
      ...heron.issued,
      programs: [...heron.issued.programs, { path: 'x/programs/extra.ngc', text: '' }],
    };
    expect(stops(heron.record, more)).toContain('documents/manifest');
    const changed: MachineRecord = {
      ...heron.record,
      sources: heron.record.sources.map((s, k) => (k === 0 ? { ...s, sha256: '0'.repeat(64) } : s)),
    };
    expect(stops(changed, heron.issued)).toContain('documents/manifest');
  });

  it('a hole table with one figure changed, and a run sheet with another thickness, are found', () => {
    const lines = heron.issued.holes.text.split('\n');
    lines[1] = lines[1]!.replace(
      /(\d)(,[^,]*)$/,
      (_m, d: string, rest: string) => `${(Number(d) + 1) % 10}${rest}`,
    );
    const codes = stops(heron.record, {
      ...heron.issued,
      holes: { ...heron.issued.holes, text: lines.join('\n') },
    });
    expect(codes).toContain('documents/holes');
    const keyIn = heron.record.state.board!.thickness.toFixed(3);
    expect(heron.issued.runSheet.text).toContain(keyIn);
    const sheet = heron.issued.runSheet.text.replaceAll(keyIn, (Number(keyIn) + 1).toFixed(3));
    expect(
      stops(heron.record, { ...heron.issued, runSheet: { ...heron.issued.runSheet, text: sheet } }),
    ).toContain('documents/run-sheet');
  });

  it('the sheet lets a program be taken up again at the marked places alone', () => {
    const { text } = heron.issued.runSheet;
    const places = /may be taken up again at its first line or at line (\d+)/.exec(text);
    expect(places).not.toBeNull();
    const told = (sheet: string): string[] =>
      stops(heron.record, { ...heron.issued, runSheet: { ...heron.issued.runSheet, text: sheet } });
    expect(told(text)).toEqual([]);
    const line = Number(places![1]);
    expect(told(text.replace(`at line ${line},`, `at line ${line + 1},`))).toContain('documents/run-sheet');
    expect(told(text.replace(/<p class="second">After a stop[^<]*<\/p>/, ''))).toContain(
      'documents/run-sheet',
    );
  });

  it('places are visited in the order that the sheet has: a control without comments shows no names', () => {
    const avocet = sets.find((s) => s.record.machine.id === 'avocet')!;
    const { issued } = avocet;
    expect(stops(avocet.record, issued)).toEqual([]);
    const swapped = issued.programs.map((p) => {
      if (!p.path.endsWith('SURVY.TAP')) return p;
      const [first, second] = [...p.text.matchAll(/X\d+Y\d+/g)].map((m) => m[0]) as [string, string];
      return { ...p, text: p.text.replace(first, '#').replace(second, first).replace('#', second) };
    });
    expect(stops(avocet.record, { ...issued, programs: swapped })).toContain('documents/run-sheet');
    const sheet = issued.runSheet.text.replace(/in this order: ([^,]+), ([^,]+),/, 'in this order: $2, $1,');
    expect(stops(avocet.record, { ...issued, runSheet: { ...issued.runSheet, text: sheet } })).toContain(
      'documents/run-sheet',
    );
  });

  it('the house may raise a rule and never lower one', () => {
    const house = {
      ...heron.record.house,
      raise: { 'documents/manifest': 'note' as const, 'documents/minutes': 'stop' as const },
    };
    const codes = checkIssued(
      { ...heron.record, house },
      { ...heron.issued, programs: heron.issued.programs.slice(1) },
    ).findings;
    expect(codes.filter((f) => f.code === 'documents/manifest').every((f) => f.severity === 'stop')).toBe(
      true,
    );
  });
});
