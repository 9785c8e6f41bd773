import { type Diagnostic, InputError, lengthText } from '@bedledger/diagnostics';
import type { Stack, StackResult } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import { ledgerPlace, profilePlace } from '../base/places.ts';
import { stackAt } from '../base/stack-input.ts';
import { listOf } from '../base/words.ts';
import type { Layout } from '../layout/model.ts';
import { report } from '../report.ts';

type Infeasible = Extract<StackResult, { feasible: false }>;

/** The stack of every site by its id; a site without one has a finding of severity `stop`. */
export function solveStacks(
  record: MachineRecord,
  layout: Layout,
): { readonly stacks: ReadonlyMap<string, Stack>; readonly findings: readonly Diagnostic[] } {
  const stacks = new Map<string, Stack>();
  /** Sites whose bounds contradict each other, by the contradiction. */
  const failed = new Map<string, { sites: string[]; result: Infeasible }>();
  for (const site of layout.sites) {
    let result: StackResult;
    try {
      result = stackAt(record, site.actual, site.uncertainty);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const place = profilePlace(record);
      return { stacks, findings: error.diagnostics.map((d) => ({ ...d, place: d.place ?? place })) };
    }
    if (result.feasible) {
      stacks.set(site.id, result.stack);
      continue;
    }
    const conflict = result.conflict.join(' / ');
    const same = failed.get(conflict);
    if (same) same.sites.push(site.id);
    else failed.set(conflict, { sites: [site.id], result });
  }
  const findings = [...failed.values()].map(({ sites, result }) => impossible(record, sites, result));
  findings.push(...wornOut(record, stacks));
  return { stacks, findings };
}

function impossible(record: MachineRecord, sites: readonly string[], result: Infeasible): Diagnostic {
  return report({
    code: 'stack/impossible',
    message: `no stack for ${listOf(sites)}: ${conflictText(result)} cannot both hold`,
    place: profilePlace(record),
    help:
      result.remedies[0] ??
      `no single change frees it: choose another fixing or board, or change what one of the two asks for; \`bedledger explain ${record.machine.id} ${sites[0]}\` lists every bound with its figures`,
  });
}

function conflictText(result: Infeasible): string {
  const named = result.conflict.map((id) => {
    const bound = result.bounds.find((b) => b.id === id);
    return bound ? `"${bound.title}" (${id})` : id;
  });
  return named.length === 2 ? named.join(' and ') : result.conflict.join(' / ');
}

function wornOut(record: MachineRecord, stacks: ReadonlyMap<string, Stack>): Diagnostic[] {
  const { machine, house, state } = record;
  const least = [...stacks.values()].reduce((m, s) => Math.min(m, s.cover), Number.POSITIVE_INFINITY);
  if (!state.board?.pocketed || least >= house.stack.coverMin) return [];
  const length = (mm: number): string => lengthText(mm, machine.units);
  return [
    report({
      code: 'stack/worn-out',
      message:
        least < 0
          ? `the board is worn out: heads stand ${length(-least)} above its surface`
          : `the board is worn out: ${length(least)} are left over a head, the house keeps ${length(house.stack.coverMin)}`,
      place: ledgerPlace(record),
    }),
  ];
}
