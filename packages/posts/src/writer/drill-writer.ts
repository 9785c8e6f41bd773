import type { Move } from '@bedledger/bedwork';
import { shortLength } from '@bedledger/diagnostics';
import { peckBackOff } from '@bedledger/fleet';
import { refusal } from '../report.ts';
import type { MotionWriter } from './motion-writer.ts';

type DrillMove = Extract<Move, { kind: 'drill' }>;

/**
 * One hole, as a cycle block where the controller has cycles, else move by move. A cycle block starts and ends at the
 * hole's link height, so that it does not matter whether a controller takes the height before each block or before the
 * first block as the one to come back to. Where the return words are missing the retract plane is the link height itself.
 */
export function writeDrill(part: MotionWriter, move: DrillMove): void {
  checkHeights(part, move);
  const { controller, choices, scale } = part.setup;
  const link = part.gridZ(move.link);
  const above = part.gridZ(move.above);
  const bottom = part.gridZ(move.bottom);
  if (part.pz < move.link) part.rapidZ(move.link);
  const cycles = choices.cycles && !choices.incremental && controller.zSign === 1;
  if (!cycles || bottom === above) {
    part.rapidXy(move.x, move.y);
    part.rapidZ(move.link);
    part.rapidZ(move.above);
    writePecks(part, move);
    part.rapidZ(move.link);
    return;
  }
  if (part.qz !== link) {
    part.rapidXy(move.x, move.y);
    part.rapidZ(move.link);
  }
  const retract = choices.cycleReturn ? above : link;
  const peck = move.peck === null ? null : Math.max(1, Math.floor(move.peck * scale + 1e-6));
  part.cycleTo({
    x: part.gridXy(move.x, 'X'),
    y: part.gridXy(move.y, 'Y'),
    retract,
    bottom,
    peck: peck !== null && peck < retract - bottom ? peck : null,
    feed: move.feed,
  });
}

function checkHeights(part: MotionWriter, { link, above, bottom, peck }: DrillMove): void {
  if (bottom <= above && above <= link && (peck === null || peck > 0)) return;
  const { units } = part.setup.controller;
  const heights = `link ${shortLength(link, units)}, above ${shortLength(above, units)}, bottom ${shortLength(bottom, units)}`;
  const pecks = peck === null ? 'no pecks' : `peck ${shortLength(peck, units)}`;
  throw refusal({
    code: 'post/drill',
    message: `${part.place()}: ${heights}, ${pecks}; heights must not rise, and a peck must be more than 0`,
  });
}

/** The hole move by move, from over it at `above`. */
function writePecks(part: MotionWriter, move: DrillMove): void {
  const x = part.gridXy(move.x, 'X');
  const y = part.gridXy(move.y, 'Y');
  const peck = move.peck ?? move.above - move.bottom;
  let depth = move.above;
  while (depth - peck > move.bottom + part.setup.step / 2) {
    depth -= peck;
    part.ready();
    part.cutTo(x, y, part.gridZ(depth), move.feed);
    part.pz = depth;
    part.rapidZ(move.above);
    const back = depth + peckBackOff(peck);
    if (back < move.above) part.rapidZ(back);
  }
  part.ready();
  part.cutTo(x, y, part.gridZ(move.bottom), move.feed);
  part.pz = move.bottom;
}
