import { checkIssued } from '@bedledger/checker';
import type { MachineRecord } from '@bedledger/fleet';
import { issuedFiles, issueMachine } from '../../packages/cli/src/issued-set.ts';
import { FACT_OPERATORS, type FactOperator } from './operators/other-facts.ts';

/** What became of files that were made from other facts than those that are so. */
export interface FactOutcome {
  readonly machine: string;
  readonly operator: FactOperator;
  /** `not-made`: the planner itself makes nothing of such facts, or the machine has none of them. */
  readonly outcome: 'found' | 'same-files' | 'not-made' | 'survived';
  /** Rules that found it. */
  readonly rules: readonly string[];
}

/** Of what a file says about itself: its hash tells that it is another one, and not that it is wrong. */
const OF_ITSELF = /^documents\/(?:manifest|stale|hash)/;

/**
 * The files that the planner makes from other facts, before the checker that has the true ones. The planner's own check, which
 * believes the same as the planner, is not asked.
 */
export function judgeOtherFacts(record: MachineRecord, operator: FactOperator): FactOutcome {
  const machine = record.machine.id;
  const none = { machine, operator, rules: [] };
  const worlds = operator.worlds(record);
  if (worlds === null) return { ...none, outcome: 'not-made' };
  const made = issueMachine(worlds.believed);
  const right = issueMachine(worlds.so);
  if (made.files.size === 0 || right.files.size === 0) return { ...none, outcome: 'not-made' };
  const differ =
    [...made.files].some(([path, text]) => isWork(path) && right.files.get(path) !== text) ||
    [...right.files.keys()].some((path) => isWork(path) && !made.files.has(path));
  if (!differ) return { ...none, outcome: 'same-files' };
  const { findings } = checkIssued(worlds.so, issuedFiles(machine, made.files, made.manifest));
  const rules = findings
    .filter(({ severity, code }) => severity === 'stop' && !OF_ITSELF.test(code))
    .map(({ code }) => code);
  return { ...none, outcome: rules.length > 0 ? 'found' : 'survived', rules: [...new Set(rules)].sort() };
}

/** What people and machines work by: pictures only show it. */
function isWork(path: string): boolean {
  return path.startsWith('programs/') || path === 'holes.csv';
}

/** Every operator on every machine. */
export function judgeAllFacts(records: readonly MachineRecord[]): FactOutcome[] {
  return records.flatMap((record) => FACT_OPERATORS.map((operator) => judgeOtherFacts(record, operator)));
}

/** One line an operator, for a terminal. */
export function factTable(outcomes: readonly FactOutcome[]): string {
  return FACT_OPERATORS.map(({ id, title }) => {
    const of = outcomes.filter(({ operator }) => operator.id === id);
    const count = (outcome: FactOutcome['outcome']): number => of.filter((o) => o.outcome === outcome).length;
    const rules = [...new Set(of.flatMap((o) => o.rules))].join(', ');
    return `${id.padEnd(4)} ${title}: found ${count('found')}, same files ${count('same-files')}, not made ${count('not-made')}, survived ${count('survived')}${rules === '' ? '' : ` (${rules})`}`;
  }).join('\n');
}
