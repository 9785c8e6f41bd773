import type { WorkPlan } from '@bedledger/bedwork';
import type { MachineRecord } from '@bedledger/fleet';
import type { Scale, SheetSize, TitleBlock } from './svg/sheet.ts';

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

/** Title block of a drawing of one machine: what every sheet says alike, and what this one shows. */
export function titleBlockOf(
  record: MachineRecord,
  part: string,
  shown: {
    readonly subtitle: string;
    readonly status: string;
    readonly scale: Scale;
    readonly size: SheetSize;
  },
): TitleBlock {
  const { machine, revision } = record;
  return {
    title: machine.title,
    subtitle: shown.subtitle,
    number: `${machine.id}-${part}`,
    revision,
    date: lastFactDate(record),
    sheet: '1 of 1',
    status: shown.status,
    scale: `${shown.scale.text} ${shown.size.name}`,
    units: machine.units,
  };
}
