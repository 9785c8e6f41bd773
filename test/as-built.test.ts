import { join } from 'node:path';
import { checkIssued, guard } from '@bedledger/checker';
import { type Fixing, withHead } from '@bedledger/fasteners';
import { bedState, type Fact, type MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { issuedFleet } from './mutation/issued-fleet.ts';

/**
 * The issued files of a worn board against worlds that differ from the one they were made for by one fact: the checker
 * reckons with what stands in the board, on its own account. The profile's wish is changed as well, and must not matter.
 */
const ROOT = join(import.meta.dirname, '..');
const plover = issuedFleet(ROOT).find(({ record }) => record.machine.id === 'plover')!;

function world(change: (fact: Fact) => Fact | null, planned: Fixing = plover.record.planned): MachineRecord {
  const facts = plover.record.ledger.facts.map((f) => change(f)).filter((f) => f !== null);
  const ledger = { facts };
  return { ...plover.record, planned, ledger, state: bedState(ledger, plover.record.machine) };
}

const codes = (record: MachineRecord): string[] =>
  checkIssued(record, plover.issued)
    .findings.filter((f) => f.severity === 'stop')
    .map((f) => f.code);

const cap = withHead(plover.record.planned, 'iso4762-socket-cap')!;

describe('the checker believes the ledger', () => {
  it('the world as it is: nothing is found', () => {
    expect(codes(world((f) => f))).toEqual([]);
  });

  it('a wish of the profile alone changes nothing', () => {
    expect(codes(world((f) => f, cap))).toEqual([]);
  });

  // ISO 4762 against ISO 4017, M6: k max 6.00 against 4.15, so the heads stand 1.85 mm higher than the skim was made for.
  it('higher heads than the skim was made for: the cover is missed, whatever the profile says', () => {
    const higher = (f: Fact): Fact =>
      f.fact === 'screws' ? { ...f, head: { ...f.head, height: { value: 5.91, uncertainty: 0.09 } } } : f;
    expect(codes(world(higher))).toEqual(expect.arrayContaining(['work/cover', 'documents/holes']));
  });

  it('pocket floors that lie higher than recorded when the skim was made', () => {
    const raised = (f: Fact): Fact =>
      (f.fact === 'board' || f.fact === 'pocket') && f.pocketFloor !== undefined
        ? { ...f, pocketFloor: f.pocketFloor + 1.5 }
        : f;
    expect(codes(world(raised))).toEqual(expect.arrayContaining(['work/cover', 'documents/holes']));
  });

  it('a thicker washer counts as a higher head', () => {
    const thicker = (f: Fact): Fact =>
      f.fact === 'screws' && f.washer
        ? { ...f, washer: { ...f.washer, thickness: { value: 3, uncertainty: 0.1 } } }
        : f;
    expect(codes(world(thicker))).toContain('work/cover');
  });

  it('one site with higher heads is enough', () => {
    const swapped = plover.record.ledger.facts.findLast((f) => f.fact === 'screws')!;
    const one: Fact = {
      ...swapped,
      date: '2026-11-01',
      how: 'swapped',
      sites: ['C1'],
      head: { ...swapped.head, height: { value: 5.91, uncertainty: 0.09 } },
    };
    const facts = [...plover.record.ledger.facts, one];
    const state = bedState({ facts }, plover.record.machine);
    const found = checkIssued({ ...plover.record, ledger: { facts }, state }, plover.issued).findings;
    expect(found.find((f) => f.code === 'work/cover')?.facts?.site).toBe('C1');
  });

  it('screws that nobody recorded: no skim stands, and no job is vouched for', () => {
    const silent = world((f) => (f.fact === 'screws' ? null : f));
    expect(codes(silent)).toContain('interlock/withheld');
    const { workOffset } = silent.machine.datum;
    const air = `G21 G90 G17 G94 G40 G49 G80 G${53 + workOffset}\nG0 Z60\nM3 S16000\nG4 P10\nG0 X300 Y300\nM5\nM30\n`;
    const ask = (record: MachineRecord) =>
      guard(record, { path: 'air.ngc', text: air }, { zero: 'bed', cutter: 'upcut-6', allowedDepth: 0.5 });
    expect(ask(plover.record).verdict).toBe('may-run');
    const report = ask(silent);
    expect(report.verdict).toBe('cannot-vouch');
    expect(report.notUnderstood.map((f) => f.code)).toContain('guard/screws-unknown');
  });
});
