import { type MachineStatus, machineStatus, type Withheld, type WorkPlan } from '@bedledger/bedwork';
import { type Diagnostic, lengthText, raised } from '@bedledger/diagnostics';
import type { FactWritten, MachineRecord } from '@bedledger/fleet';
import { issueMachine } from '../issued-set.ts';
import type { Output } from '../output.ts';
import { tryFacts } from './trial.ts';

/** What follows from some facts, before they are written. */
export interface Outlook {
  /** Found by the loader with the facts in the ledger, and not before. */
  readonly findings: readonly Diagnostic[];
  /** Stops of the plan and of the check that were not there before: nothing would be issued for the machine any more. */
  readonly stops: readonly Diagnostic[];
  /** Null when the ledger would not read. */
  readonly follows: Follows | null;
}

/** How the machine stands afterwards, and what of it is different. */
export interface Follows {
  readonly board: MachineStatus['board'];
  readonly life: MachineStatus['life'];
  readonly issued: readonly string[];
  readonly nowIssued: readonly string[];
  readonly noLongerIssued: readonly string[];
  readonly withheld: readonly Withheld[];
  /** Of those withheld: new ones, and those with another reason than before. */
  readonly nowWithheld: readonly Withheld[];
  readonly next: string;
  /** Warnings of the plan that were not there before. */
  readonly warnings: readonly Diagnostic[];
}

/** Tries facts against everything that the next command would say. Nothing is written. */
export function outlook(
  root: string,
  before: { readonly plan: WorkPlan; readonly findings: readonly Diagnostic[] },
  facts: readonly FactWritten[],
): Outlook {
  const { record } = before.plan;
  const tried = tryFacts(root, record, facts);
  const known = new Set(before.findings.map(key));
  const findings = raised(tried.diagnostics, record.house.raise).filter((d) => !known.has(key(d)));
  if (tried.record === null || findings.some(isStop)) return { findings, stops: [], follows: null };
  const issued = issueMachine(tried.record);
  const after = issued.plan;
  // A machine that a rule stops already is not stopped once more by another site of the same rule.
  const stopped = new Set(before.plan.findings.filter(isStop).map((d) => d.code));
  const fresh = issued.findings.filter((d) => isStop(d) && !stopped.has(d.code));
  const stops = fresh.length === 0 ? fresh : withoutChecks(fresh, after, record);
  return { findings, stops, follows: followsOf(before.plan, after) };
}

/** Stops of the check that the machine had before the facts already are none of them. */
function withoutChecks(
  fresh: readonly Diagnostic[],
  after: WorkPlan,
  before: MachineRecord,
): readonly Diagnostic[] {
  const ofPlan = new Set(after.findings.map(key));
  if (fresh.every((d) => ofPlan.has(key(d)))) return fresh;
  const known = new Set(
    issueMachine(before)
      .findings.filter(isStop)
      .map((d) => d.code),
  );
  return fresh.filter((d) => ofPlan.has(key(d)) || !known.has(d.code));
}

const isStop = ({ severity }: Diagnostic): boolean => severity === 'stop';
const key = ({ code, message }: Diagnostic): string => `${code} ${message}`;
const programOf = (w: Withheld): string => (w.form === null ? w.operation : `${w.operation} ${w.form}`);

function followsOf(before: WorkPlan, after: WorkPlan): Follows {
  const [was, is] = [machineStatus(before), machineStatus(after)];
  const known = new Set(before.findings.map(key));
  const reasons = new Set(before.withheld.map((w) => `${programOf(w)} ${w.reason}`));
  const withheld = after.withheld.filter((w) => w.asked !== false);
  return {
    board: is.board,
    life: is.life,
    issued: is.issued,
    nowIssued: is.issued.filter((name) => !was.issued.includes(name)),
    noLongerIssued: was.issued.filter((name) => !is.issued.includes(name)),
    withheld,
    nowWithheld: withheld.filter((w) => !reasons.has(`${programOf(w)} ${w.reason}`)),
    next: is.next,
    warnings: after.findings.filter((d) => d.severity === 'warn' && !known.has(key(d))),
  };
}

/** Says what follows: the board, what is issued and what not, the next work. */
export function tellFollows(output: Output, { machine }: MachineRecord, follows: Follows): void {
  const { board, life, nowIssued, noLongerIssued, nowWithheld, next, warnings } = follows;
  if (board) {
    const skims = life ? `, ${life.skims} skim${life.skims === 1 ? '' : 's'} left` : '';
    const thick = lengthText(board.thickness, machine.units);
    output.marked('note', `board ${board.ordinal}: ${thick} thick${skims}`);
  }
  if (nowIssued.length > 0) output.marked('new', `issued now: ${nowIssued.join(', ')}`);
  if (noLongerIssued.length > 0) output.marked('gone', `no longer issued: ${noLongerIssued.join(', ')}`);
  for (const w of nowWithheld) output.marked('withheld', `${programOf(w)}: ${w.reason}`);
  for (const { message, help } of warnings) {
    output.marked('warn', help === undefined ? message : `${message}; do: ${help}`);
  }
  output.marked('note', `next: ${next}`);
}
