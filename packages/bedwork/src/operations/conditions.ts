import type { Machine } from '@bedledger/fleet';
import { tellUnknown } from '../base/tell-unknown.ts';
import { listOf } from '../base/words.ts';
import { checksItself } from '../survey/mark-fit.ts';
import type { WorkContext } from '../work/context.ts';

/** Sentences that several operations say. */

/** Does the controller keep the lengths of its cutters? Then every height needs the length of the one in the spindle. */
export function keepsLengths({ controller }: Machine): boolean {
  return controller.toolLength === 'G43';
}

/** Nothing is cut into a board that nobody has measured; null when one is recorded. */
export function noBoard({ record, machine }: WorkContext): string | null {
  return record.state.board
    ? null
    : `no board is recorded on the bed: measure the new board in several places and record it (\`bedledger record ${machine.id} board\`)`;
}

export function isPocketed({ record }: WorkContext): boolean {
  return record.state.board?.pocketed === true;
}

/** How low a skim may go follows from the heads in the board: null when each of them is on record. */
export function screwsOnRecord({ record, layout, machine, standing }: WorkContext): string | null {
  const open = layout.sites.map(({ id }) => id).filter((id) => standing.get(id)?.kind !== 'built');
  if (open.length === 0) return null;
  if (open.some((id) => standing.get(id)?.kind === 'unknown')) {
    return `what stands in the board at ${listOf(open)} is not on record, and how low it may be cut follows from the heads: ${tellUnknown(
      record,
      standing,
      layout.sites.map(({ id }) => id),
    )}`;
  }
  const all = open.length === layout.sites.length ? '' : ` ${open.join(' ')}`;
  return `the screws at ${listOf(open)} are not recorded, and how low the board may be cut follows from their heads: drive them, then \`bedledger record ${machine.id} screws${all}\``;
}

/** Neither the profile nor the ledger has anything against the operation, on any machine. */
export function nothingAgainst(): null {
  return null;
}

/** Nothing is cut into a bed on the strength of a drawing alone; null when it is measured, or its owner vouches for it. */
export function bedUnknown({ record, layout, machine }: WorkContext): string | null {
  if (record.state.vouched !== null) return null;
  const { registration } = layout;
  if (registration !== null && checksItself(registration)) return null;
  const why =
    registration === null
      ? 'nobody has measured where the features of this bed are'
      : 'the survey has too few marks to find a misread one';
  return `${why}: survey it (run survey-visit, fill in survey.csv), or let its owner vouch for the drawing (\`bedledger record ${machine.id} vouch\` with the farthest that a feature may be off)`;
}

/** How Z 0 is set before a program in the board. */
export function touchOffOnBoard({ machine }: WorkContext): string {
  return machine.zZero === 'bed'
    ? 'touch off on the board and key in the measured thickness: Z 0 is the bed surface'
    : "touch off on the board: Z 0 is the board's top";
}

export const TOUCH_OFF_ON_BED = 'touch off on the bed: Z 0 is the bed surface';
