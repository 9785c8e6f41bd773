import type { WorkPlan } from '@bedledger/bedwork';
import type { MachineRecord } from '@bedledger/fleet';

/** Date of the newest fact in the ledger: papers carry no clock, so that the same record gives the same bytes. */
export function lastFactDate(record: MachineRecord): string {
  let last = '';
  for (const { date } of record.ledger.facts) if (date > last) last = date;
  return last === '' ? 'no fact yet' : last;
}

/** Status field of the title block (ISO 7200). */
export function statusWord(plan: WorkPlan): string {
  return plan.findings.some((f) => f.severity === 'stop') ? 'not for work' : 'for work';
}
