import { isDeepStrictEqual } from 'node:util';
import { planMachine } from '@bedledger/bedwork';
import { hasStop } from '@bedledger/diagnostics';
import {
  type FactWritten,
  fileText,
  ledgerEntries,
  listMachines,
  loadShared,
  type MachineRecord,
  parseMachine,
  readMachineFiles,
  tryAppendFacts,
} from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { ROOT } from './support/command.ts';

/*
 * Every fact of a ledger can turn out to be wrong: it is withdrawn, and the machine is what it would be had the fact never been
 * written, or the withdrawal is refused with a reason. Where facts hang on it (a bore on its mark) the ledger says so both ways.
 */

const FLEETS = [ROOT, `${ROOT}/test/fixtures/fleets/ledgers`];
/** Facts of one machine that are withdrawn; spread over its ledger by a fixed rule. */
const SAMPLE = 14;

interface Case {
  readonly root: string;
  readonly id: string;
}

const CASES: readonly Case[] = FLEETS.flatMap((root) => listMachines(root).map((id) => ({ root, id })));

describe.each(CASES)('$id', ({ root, id }) => {
  const shared = loadShared(root);
  const { files } = readMachineFiles(root, id);
  const text = files.ledger?.text ?? '';
  const path = `machines/${id}/ledger.yaml`;
  const entries = ledgerEntries(text)?.facts ?? [];
  const parse = (ledger: string) => parseMachine({ ...files, ledger: fileText(path, ledger) }, shared);
  const before = parse(text).record;

  const without = (index: number): string => {
    let at = -1;
    const left = text
      .split('\n')
      .filter((line) => !/^\s*- \{/.test(line) || ++at !== index)
      .join('\n');
    return entries.length > 1 ? left : left.replace(/^facts:/m, 'facts: []');
  };
  const last = entries.at(-1)?.date ?? '2026-01-01';
  const withdraw = (index: number): FactWritten =>
    ({
      fact: 'withdraw',
      date: last,
      of: index + 1,
      kind: entries[index]!.fact,
      day: entries[index]!.date,
      reason: 'written down for another machine',
    }) as FactWritten;

  const chosen = entries
    .map((_, i) => i)
    .filter(
      (i) =>
        entries.length <= SAMPLE ||
        Math.floor((i * SAMPLE) / entries.length) !== Math.floor(((i - 1) * SAMPLE) / entries.length),
    )
    .filter(
      (i) => entries[i]!.fact !== 'withdraw' && !entries.some((f) => f.fact === 'withdraw' && f.of === i + 1),
    );

  test('a fact withdrawn is a fact that was never written', () => {
    if (before === null) throw new Error(`${id} cannot be read`);
    expect(chosen.length + (entries.length === 0 ? 1 : 0)).toBeGreaterThan(0);
    for (const index of chosen) {
      const appended = tryAppendFacts(text, [withdraw(index)], {
        file: path,
        machine: before.machine,
        surveyLimit: before.house.survey.limit,
      });
      const name = `${index + 1} ${entries[index]!.fact}`;
      expect(appended.text, name).not.toBeNull();
      const struck = parse(appended.text!);
      const never = parse(without(index));
      if (entries.some((f) => f.fact === 'withdraw')) continue;
      expect(hasStop(struck.diagnostics), name).toBe(hasStop(never.diagnostics));
      expect(sameState(struck.record, never.record), name).toBe(true);
    }
  });

  test('what may be issued afterwards is what could be issued without the fact', () => {
    if (before === null || entries.some((f) => f.fact === 'withdraw')) return;
    const readable = chosen.filter((i) => parse(without(i)).record !== null);
    const index = readable[Math.floor(readable.length / 2)];
    if (index === undefined) return;
    const struck = tryAppendFacts(text, [withdraw(index)], { machine: before.machine }).text!;
    const [a, b] = [parse(struck).record!, parse(without(index)).record!].map((record) =>
      planMachine(record),
    );
    expect(a!.programs.map((p) => p.name)).toEqual(b!.programs.map((p) => p.name));
    expect(a!.withheld).toEqual(b!.withheld);
    expect(a!.findings.map((f) => f.message)).toEqual(b!.findings.map((f) => f.message));
  });
});

function sameState(a: MachineRecord | null, b: MachineRecord | null): boolean {
  return isDeepStrictEqual(a?.state, b?.state);
}
