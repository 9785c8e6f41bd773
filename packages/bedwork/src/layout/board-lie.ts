import { placeText, shortLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { BedFit } from '../survey/bed-fit.ts';

/** How the board lies on the bed, and how far the bed as measured runs out of it. */
export interface BoardLie {
  /** How far a groove along X runs to the back over the board's width, and one along Y to the right over its depth, mm. */
  readonly runOut: { readonly overWidth: number; readonly overDepth: number };
  /** The same for the run sheet, one sentence. */
  readonly text: string;
}

/** Less than a hand laying a board can tell, mm. */
const SQUARE = 0.1;

/**
 * The board is laid against the two marks. The machine makes those, so the line through them is the machine's own axis:
 * the board lies along the axes, however the bed was found to lie under it.
 */
export function boardLie(record: MachineRecord, fit: BedFit): BoardLie {
  const { board, datum, units } = record.machine;
  const { a, b, d, e } = fit.transform;
  // A machine that was moved finds marks, board and grooves turned alike.
  const turned = Math.tan(board.turn ?? 0);
  const runOut = {
    overWidth: (d / a - turned) * board.size[0],
    overDepth: (b / e + turned) * board.size[1],
  };
  const along = `its front edge along the line from the datum mark to the second mark at ${placeText(datum.second, units)}`;
  if (Math.max(Math.abs(runOut.overWidth), Math.abs(runOut.overDepth)) < SQUARE)
    return { runOut, text: along };
  const wide = `${shortLength(Math.abs(runOut.overWidth), units)} to the ${runOut.overWidth > 0 ? 'back' : 'front'} over the board's width`;
  const deep = `${shortLength(Math.abs(runOut.overDepth), units)} to the ${runOut.overDepth > 0 ? 'right' : 'left'} over its depth`;
  return { runOut, text: `${along}, not along the grooves: by the survey these run ${wide} and ${deep}` };
}
