import { join } from 'node:path';
import { ARC, checkIssued, readProgram } from '@bedledger/checker';
import {
  bedState,
  type Dialect,
  type Fact,
  loadFleet,
  type Machine,
  type MachineRecord,
} from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { repairFooter } from './mutation/program-text.ts';
import { demoRecord, withMachine } from './support/demo-records.ts';

/*
 * Rims broken with a cone: the program text of every dialect against the closed form (width = depth · tan of half the
 * angle), and what the checker says of programs that break rims otherwise.
 */

function withFacts(record: MachineRecord, facts: readonly Fact[]): MachineRecord {
  const ledger = { facts };
  return { ...record, ledger, state: bedState(ledger, record.machine) };
}

function asking(record: MachineRecord, width: number): MachineRecord {
  const { board, cutters } = record.machine;
  return withMachine(record, {
    board: { ...board, rimBreak: width },
    cutters: { ...cutters, rim: 'vee-90' },
  });
}

/** The machine with a new board on its bed, measured and not yet pocketed. */
function withNewBoard(record: MachineRecord): MachineRecord {
  const { stock } = record;
  const board: Fact = {
    fact: 'board',
    date: '2026-12-01',
    stock: stock.id,
    thickness: [stock.thickness + 0.1, stock.thickness - 0.1],
    skimmed: 'underside',
    pocketed: false,
  };
  return withFacts(record, [...record.ledger.facts, board]);
}

describe('in every dialect', () => {
  test.each<[Dialect, string, number]>([
    ['rs274ngc', 'heron', 0.8],
    ['iso6983', 'egret', 25.4 / 32],
    ['rs274d', 'avocet', 1],
    ['linear', 'curlew', 0.6],
  ])('%s (%s): the flank meets the board’s top at radius + width about every site', (dialect, id, width) => {
    const record = withNewBoard(asking(demoRecord(id), width));
    const { machine, state } = record;
    expect(machine.controller.dialect).toBe(dialect);
    const set = issueMachine(record);
    expect(set.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    const claims = set.manifest.programs.filter((p) => p.operation === 'rim-break');
    expect(claims.length).toBeGreaterThan(0);
    const tip = new Map<string, { low: number; far: number; highest: number }>();
    for (const { file } of claims) {
      const trace = readProgram(set.files.get(file)!, file, machine.controller);
      expect(trace.findings).toEqual([]);
      for (let i = 0; i < trace.length; i++) {
        const [x, y, z] = [trace.x[i]!, trace.y[i]!, trace.z[i]!];
        const site = set.plan.layout.sites.find((s) => Math.hypot(s.actual[0] - x, s.actual[1] - y) < 40);
        if (!site || !(z < state.board!.thickness)) continue;
        const at = tip.get(site.id) ?? { low: z, far: 0, highest: z };
        const r = Math.hypot(site.actual[0] - x, site.actual[1] - y);
        tip.set(site.id, {
          low: Math.min(at.low, z),
          far: Math.max(at.far, r),
          highest: Math.max(at.highest, z),
        });
      }
      // Where the controller has arcs, every site is two halves and a whole; where it has none, chords.
      const arcs = trace.kind.filter((kind) => kind === ARC).length;
      if (dialect === 'linear') expect(arcs).toBe(0);
      else expect(arcs).toBeGreaterThanOrEqual(3 * claims[0]!.sites.length);
    }
    // One step of the text's grid in radius and in height, at 45°, and the table's rounding.
    const step = machine.controller.units === 'in' ? 0.00254 : 0.001;
    expect(tip.size).toBe(set.plan.stacks.size);
    for (const [site, { low, far, highest }] of tip) {
      const pocket = set.plan.stacks.get(site)!.pocketDiameter / 2;
      expect(highest).toBe(low);
      // 90°: tan 45° is 1
      const outer = far + (state.board!.thickness - low);
      expect(Math.abs(outer - (pocket + width)), `${site}`).toBeLessThanOrEqual(3 * step);
      expect(far).toBeLessThan(pocket - 0.5);
      expect(low).toBeGreaterThan(set.plan.stacks.get(site)!.web + 0.99);
    }
  });
});

const FIXTURE = join(import.meta.dirname, 'fixtures/fleets/ledgers');
const godwit = loadFleet(FIXTURE).machines.find(({ id }) => id === 'godwit')!.record!;
const set = issueMachine(godwit);
const FILE = 'programs/rim-break-top.ngc';
const TEXT = set.files.get(FILE)!;

/** Codes that the checker gives for a changed program, judged against a record; its footer is put right. */
function codes(text: string, record = godwit): string[] {
  const files = new Map([...set.files, [FILE, repairFooter(text, '\n')]]);
  const issued = issuedFiles('godwit', files, set.manifest);
  const { findings } = checkIssued(record, issued);
  // Hashes, lengths and claims of the manifest are of the program as issued.
  return [...new Set(findings.filter((f) => !f.code.startsWith('documents/')).map((f) => f.code))];
}

/** The text with the section of one site changed. */
function atSite(site: string, change: (section: string) => string): string {
  const from = TEXT.indexOf(`(SITE ${site})\n`);
  const next = TEXT.indexOf('(SITE ', from + 1);
  const to = next < 0 ? TEXT.indexOf('M9\n', from) : next;
  if (from < 0 || to < 0) throw new Error(`no section of site ${site}`);
  const changed = change(TEXT.slice(from, to));
  if (changed === TEXT.slice(from, to)) throw new Error('nothing was changed');
  return TEXT.slice(0, from) + changed + TEXT.slice(to);
}

const shifted = (letter: string, by: number) => (section: string) =>
  section.replace(
    new RegExp(`\\b${letter}(-?[\\d.]+)`, 'g'),
    (_, n) => `${letter}${(Number(n) + by).toFixed(3)}`,
  );
const deeper = (by: number) => (section: string) =>
  section.replace(/G1 Z([\d.]+)/, (_, z) => `G1 Z${(Number(z) - by).toFixed(3)}`);

describe('what the checker says of rims', () => {
  test('as issued: nothing', () => {
    expect(set.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(codes(TEXT).filter((code) => !code.startsWith('survey/'))).toEqual([]);
  });

  test.each<[string, string, string]>([
    ['too deep by a tenth: the chamfer is wider', 'work/rim-width', atSite('B3', deeper(0.1))],
    ['too shallow by a tenth', 'work/rim-width', atSite('B3', deeper(-0.1))],
    ['beside its axis', 'work/site-place', atSite('B3', shifted('X', 0.5))],
    ['the tip on the floor of the pocket', 'work/rim-tip', atSite('B3', deeper(9.4))],
    [
      'the tip in the wall of the pocket',
      'work/rim-tip',
      // pocket 24.6 wide: the circle of the tip at 12.25 of 12.3
      atSite('B3', (s) =>
        s
          .replaceAll('X584.800', 'X587.250')
          .replaceAll('I4.900', 'I6.125')
          .replaceAll('I-9.800', 'I-12.250')
          .replaceAll('I-4.900', 'I-6.125'),
      ),
    ],
    [
      'not all round: the whole circle is left out',
      'work/rim-uneven',
      atSite('B3', (s) => s.replace(/X584\.800 Y465\.000 I-9\.800 J0\.000\n/, '')),
    ],
    ['the other way round', 'work/direction', TEXT.replaceAll('G3 ', 'G2 ')],
    ['a site left out', 'work/missing-site', atSite('B3', () => '')],
    ['a site that nobody knows', 'work/stray-cut', atSite('B3', shifted('Y', -200))],
    ['a site twice', 'work/site-twice', atSite('B3', (s) => s + s)],
    ['under another site’s comment', 'work/label', atSite('B3', (s) => s.replace('(SITE B3)', '(SITE B2)'))],
    ['into the bed', 'program/bed-depth', atSite('B3', (s) => s.replace(/G1 Z[\d.]+/, 'G1 Z-3.000'))],
  ])('%s: %s', (_, code, text) => {
    expect(codes(text)).toContain(code);
  });

  const machineWith = (changes: Partial<Machine>): MachineRecord => withMachine(godwit, changes);
  const { board, cutters } = godwit.machine;
  test.each<[string, string, MachineRecord]>([
    [
      'a cone of 60° cuts a narrower chamfer on the same path',
      'work/rim-width',
      {
        ...godwit,
        cutters: new Map([
          ...godwit.cutters,
          ['vee-90', { ...godwit.cutters.get('vee-90')!, pointAngle: 60 }],
        ]),
      },
    ],
    ['a cutter without a cone', 'program/cutter', machineWith({ cutters: { ...cutters, rim: 'upcut-6' } })],
    ['no cutter at all', 'program/cutter', machineWith({ cutters: { ...cutters, rim: null } })],
    ['another width in the profile', 'work/rim-width', machineWith({ board: { ...board, rimBreak: 0.8 } })],
    [
      'a clamp over a rim',
      'program/metal',
      machineWith({
        clamps: [{ id: 'stop', shape: { kind: 'rect', at: [590, 455], size: [30, 20] }, height: 30 }],
      }),
    ],
  ])('%s: %s', (_, code, record) => {
    expect(codes(TEXT, record)).toContain(code);
  });
});

describe('what the checker lets be issued, by the ledger alone', () => {
  const { facts } = godwit.ledger;
  const uncut = facts.filter(({ fact }) => fact !== 'pocket');
  const at = godwit.state.sites.get('A1')!.at;
  const judged = (record: MachineRecord): string[] => codes(TEXT, record);

  test.each<[string, readonly Fact[]]>([
    ['pockets recorded', facts],
    ['pockets not yet recorded', uncut],
    [
      'a reading of the moisture after them',
      [...facts, { fact: 'moisture', date: '2026-01-05', percent: 7 }],
    ],
    ['a note after them', [...facts, { fact: 'note', date: '2026-01-05', text: 'clamped at the front' }]],
  ])('%s: may be issued', (_, ledger) => {
    expect(judged(withFacts(godwit, ledger))).not.toContain('interlock/withheld');
  });

  test.each<[string, readonly Fact[]]>([
    ['no board', facts.filter(({ fact }) => fact !== 'pocket' && fact !== 'board')],
    [
      'a board that came with its pockets',
      uncut.map((fact) => (fact.fact === 'board' ? { ...fact, pocketed: true } : fact)),
    ],
    [
      'an insert after the pockets',
      [...facts, { fact: 'insert', date: '2026-01-05', site: 'A1', at, insert: 'bush' }],
    ],
    [
      'a skim after the pockets',
      [...facts, { fact: 'skim', date: '2026-01-05', commanded: 0.3, thickness: [17.7] }],
    ],
    ['new datum marks', [...facts, { fact: 'datum', date: '2026-01-05', mark: [0, 0], second: [600, 0] }]],
    [
      'a bed surveyed after the pockets',
      [...facts, { fact: 'survey', date: '2026-01-05', file: 'survey.csv' }],
    ],
  ])('%s: must be withheld', (_, ledger) => {
    expect(judged(withFacts(godwit, ledger))).toContain('interlock/withheld');
  });

  test('a profile that asks for none', () => {
    const none = withMachine(godwit, { board: { ...godwit.machine.board, rimBreak: null } });
    expect(judged(none)).toContain('interlock/withheld');
  });

  test('the form for the underside, whatever the ledger says', () => {
    const programs = set.manifest.programs.map((p) =>
      p.operation === 'rim-break' ? { ...p, form: 'underside' as const } : p,
    );
    const issued = issuedFiles('godwit', set.files, { ...set.manifest, programs });
    const found = checkIssued(godwit, issued).findings.filter((f) => f.code === 'interlock/withheld');
    expect(found.map((f) => f.message).join('; ')).toContain(
      'nothing in the ledger locates a board that is turned over',
    );
  });
});
