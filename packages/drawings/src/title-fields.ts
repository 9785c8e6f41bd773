import type { WorkPlan } from '@bedledger/bedwork';
import type { MachineRecord } from '@bedledger/fleet';
import type { Scale, SheetSize, TitleBlock } from './svg/sheet.ts';

/** Date of the newest fact in the ledger: papers carry no clock, so that the same record gives the same bytes. */
export function lastFactDate(record: Pick<MachineRecord, 'ledger'>): string {
  let last = '';
  for (const { date } of record.ledger.facts) if (date > last) last = date;
  return last === '' ? 'no fact yet' : last;
}

/** Status field of the title block (ISO 7200). */
export function statusWord(plan: WorkPlan): string {
  return plan.findings.some((f) => f.severity === 'stop') ? 'not for work' : 'for work';
}

/** The part of a title block that differs from drawing to drawing of one machine. */
interface Shown {
  readonly subtitle: string;
  readonly status: string;
  /** Scale, with the sheet that it is true on. */
  readonly scale: string;
}

/** Title block of a drawing of one machine: what every sheet says alike, and what this one shows. */
export function titleBlockOf({ machine, ...record }: MachineRecord, part: string, shown: Shown): TitleBlock {
  return {
    title: machine.title,
    subtitle: shown.subtitle,
    number: `${machine.id}-${part}`,
    revision: record.revision,
    date: lastFactDate(record),
    sheet: '1 of 1',
    status: shown.status,
    scale: shown.scale,
    units: machine.units,
  };
}

/** `1:10 A4 landscape`. */
export function scaleOn(size: SheetSize, scale: Scale): string {
  return `${scale.text} ${size.name}`;
}
