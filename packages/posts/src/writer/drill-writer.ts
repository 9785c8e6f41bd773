import type { Move } from '@bedledger/bedwork';
import { fault } from '../fault.ts';
import type { MotionWriter } from './motion-writer.ts';

type DrillMove = Extract<Move, { kind: 'drill' }>;

/** After a peck the drill comes back at rapid to this far above the last bottom, mm. */
const BACK_OFF = 1;

/**
 * One hole, as a cycle block where the controller has cycles, else move by move. A cycle block starts and ends at the
 * hole's link height, so that it does not matter whether a controller takes the height before each block or before the
 * first block as the one to come back to. Where the return words are missing the retract plane is the link height itself.
 */
export function writeDrill(part: MotionWriter, move: DrillMove): void {
  const { setup } = part;
  const { controller } = setup;
  if (!(move.bottom <= move.above && move.above <= move.link) || !(move.peck === null || move.peck > 0)) {
    throw fault(
      'drill',
      `${part.place()}: link ${move.link}, above ${move.above}, bottom ${move.bottom}, peck ${move.peck}; heights must not rise, and a peck must be more than 0`,
      'check the heights of this operation',
    );
  }
  const x = part.gridXy(move.x, 'X');
  const y = part.gridXy(move.y, 'Y');
  const link = part.gridZ(move.link);
  const above = part.gridZ(move.above);
  const bottom = part.gridZ(move.bottom);
  if (part.pz < move.link) part.rapidZ(move.link);
  const cycles =
    controller.cycles.use !== 'none' && controller.distance === 'absolute' && controller.zSign === 1;
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
  const r = controller.cycles.return === 'none' ? link : above;
  const peck = move.peck === null ? 0 : Math.max(1, Math.floor(move.peck * setup.scale + 1e-6));
  const pecks = peck > 0 && peck < r - bottom;
  part.cycleTo(pecks ? 83 : 81, x, y, bottom, r, peck, move.feed);
}

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
    const back = depth + BACK_OFF;
    if (back < move.above) part.rapidZ(back);
  }
  part.ready();
  part.cutTo(x, y, part.gridZ(move.bottom), move.feed);
  part.pz = move.bottom;
}
