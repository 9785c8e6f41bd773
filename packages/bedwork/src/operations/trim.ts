import { lengthText, placeText } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { inTravel } from '../base/safe-heights.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import { APPROACH } from '../motion/motion-writer.ts';
import { pathTouches } from '../surfacing/coverage.ts';
import { obstaclesAbove } from '../surfacing/obstacles.ts';
import type { WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { noBoard, touchOffOnBoard } from './conditions.ts';
import { type CuttingJob, cut } from './descriptor.ts';
import { rampAlong } from './moves.ts';

/** A board that runs out of the axes by less is trimmed along them, mm (ours). */
const SQUARE = 0.1;
/** Air kept to anything that stands on the bed, mm. */
const SIDE_AIR = 2;

/** Corners of the centre's path, clockwise from the front left. */
type Corners = readonly [Point, Point, Point, Point];

interface TrimJob extends CuttingJob {
  readonly corners: Corners;
  /** Top of the stock, mm, and the number of laps from there down. */
  readonly top: number;
  readonly levels: number;
}

/** Cuts the board's edges to size: clockwise laps outside the outline, ramped in, a skin left above the bed. */
export const TRIM = cut<TrimJob>({
  name: 'trim',
  on: () => 'board',
  notAsked: ({ machine }) => (machine.board.trim ? null : 'the profile asks for no trimming (`board.trim`)'),
  forbidden: noBoard,
  outputs: ['extraction'],
  decide: (context, _, cutter) => {
    const { machine, house, record } = context;
    if (cutter.kind === 'v-point' || cutter.kind === 'ball' || cutter.kind === 'drill') {
      return {
        refused: `cutter ${cutter.id} does not cut a square edge: name an end mill for the duty trim`,
      };
    }
    const corners = cornersOutside(context, cutter.diameter / 2);
    const top = context.overBoard.stockTop;
    const bottom = house.stack.refitSkin;
    const refused = wayRefused(context, corners, cutter.diameter / 2, bottom);
    if (refused !== null) return { refused };
    const levels = Math.max(1, Math.ceil((top - bottom) / cutter.diameter - 1e-9));
    const cutting = cuttingFor(
      cutter,
      record.stock.material,
      { width: cutter.diameter, depth: (top - bottom) / levels },
      machine,
      house,
    );
    return { sites: [], floor: bottom, cutting, fluteDepth: top - bottom, corners, levels, top };
  },
  write: (writer, { house }, { corners, levels, top, floor, cutting }) => {
    const [start] = corners;
    writer.restart('edge');
    writer.over(start[0], start[1]);
    writer.lower(top + APPROACH);
    writer.feed(start[0], start[1], top, cutting.plungeFeed);
    const perLevel = (top - floor) / levels;
    let z = top;
    for (let level = 1; level <= levels; level += 1) {
      const target = level === levels ? floor : top - perLevel * level;
      rampAlong(writer, corners, { from: z, to: target, angle: house.feed.rampAngle, cutting });
      z = target;
      for (const [x, y] of [...corners.slice(1), start]) writer.feed(x, y, z, cutting.feed);
    }
  },
  header: (context, { floor }) => ({
    title: 'Trim the board to size',
    before: ['the board is fixed; offcuts are held so that they cannot fly', touchOffOnBoard(context)],
    after: [`break the skin of ${lengthText(floor, context.machine.units)} by hand, seal the edges`],
    cautions: [CAUTIONS.dust, CAUTIONS.body],
  }),
});

/** Clockwise: the board is on the right, so that a clockwise spindle climbs. */
function cornersOutside({ machine }: WorkContext, radius: number): Corners {
  const { minX, minY, maxX, maxY } = boardBox(machine);
  return [
    [minX - radius, minY - radius],
    [minX - radius, maxY + radius],
    [maxX + radius, maxY + radius],
    [maxX + radius, minY - radius],
  ];
}

function wayRefused(
  { machine }: WorkContext,
  corners: Corners,
  radius: number,
  bottom: number,
): string | null {
  const runsOut = Math.abs(Math.tan(machine.board.turn ?? 0)) * Math.max(...machine.board.size);
  if (runsOut > SQUARE) {
    return `since the machine was moved the board lies turned by ${lengthText(runsOut, machine.units)} over its longer side: a cut along the axes would not follow its edge; trim it with a guided hand router`;
  }
  const beyond = corners.find(([x, y]) => !inTravel(machine, x, y));
  if (beyond) {
    return `the edge cannot be reached: the cutter would have to go to ${placeText(beyond, machine.units)}; trim with a guided hand router`;
  }
  const struck = obstaclesAbove(machine, bottom).find((o) =>
    pathTouches([...corners, corners[0]], radius, SIDE_AIR, o.region),
  );
  return struck ? `${struck.name} stands where the cutter passes: take it off` : null;
}
