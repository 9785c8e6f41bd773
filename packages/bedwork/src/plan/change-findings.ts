import type { Diagnostic } from '@bedledger/diagnostics';
import { profilePlace } from '../base/places.ts';
import { listOf } from '../base/words.ts';
import { report } from '../report.ts';
import type { WorkContext } from '../work/context.ts';
import { foreignThreads, otherInserts, type PlannedChange } from '../work/planned-change.ts';

function helpFor(change: PlannedChange, id: string): string {
  switch (change.kind) {
    case 'tool':
      return 'drive with the new tool from now on: it enters every pocket of this board';
    case 'swap':
      return `swap the screws as the run sheet says, then \`bedledger record ${id} screws --swapped\``;
    case 'next-board':
      return `keep the screws that are there until the next board: with the new ones these pockets do not keep ${change.breaks.map((b) => `"${b.title}" at ${listOf(b.sites)}`).join(', ')}`;
    case 'never':
      return `keep ${change.stands.fixing} in the profile`;
  }
}

/** What a profile that asks for another fixing than the one on the bed means, the cause once and before all else. */
export function changeFindings(context: WorkContext): Diagnostic[] {
  const { record } = context;
  const place = profilePlace(record);
  const { planned, machine } = record;
  const wanted = machine.fixing.use;
  const foreign = foreignThreads(record);
  if (foreign.length > 0) {
    const built = [...context.standing.values()].some(({ kind }) => kind === 'built');
    return foreign.map(({ thread, sites }) =>
      report({
        code: 'stack/thread-differs',
        ...(built && { severity: 'warn' as const }),
        place,
        message: `${wanted} has screws ${planned.screw.thread.designation}, and the inserts at ${listOf(sites)} are ${thread}: no such screw will ever go into them`,
        help: `use a fixing with screws ${thread}; an insert of another thread needs another place in the bed`,
      }),
    );
  }
  const found: Diagnostic[] = [];
  const inserts = otherInserts(record);
  if (inserts.length > 0) {
    found.push(
      report({
        code: 'stack/insert-differs',
        place,
        message: `${wanted} asks for other inserts than those in the bed at ${listOf(inserts)}: these stay, and are reckoned with as they were recorded`,
      }),
    );
  }
  const { change } = context;
  if (change) {
    found.push(
      report({
        code: 'stack/planned-change',
        place,
        message: `${wanted} is asked for, and ${change.stands.fixing} stands in the board at ${listOf(change.sites)} (${change.differs.join(', ')} differ): everything is reckoned with what stands there`,
        help: helpFor(change, machine.id),
      }),
    );
  }
  return found;
}
