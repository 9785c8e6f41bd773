import { lengthText, placeText } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { meets } from '../surfacing/coverage.ts';
import { obstaclesAbove } from '../surfacing/obstacles.ts';
import { APPROACH } from './circular-pocket.ts';
import {
  assemble,
  checkCuttingLength,
  cutterFor,
  finishCutting,
  notAsked,
  type Outcome,
  outputsOf,
  reportTroubles,
  type WorkContext,
  withheld,
  writerOn,
} from './context.ts';
import { inTravel } from './link-height.ts';
import { touchOff } from './socket-pockets.ts';

const SIDE_AIR = 2;

/** Cuts the board's edges to size: clockwise laps outside the outline, ramped in, a skin left above the bed. */
export function trim(context: WorkContext, locks: Interlocks): Outcome {
  if (!context.machine.board.trim) return notAsked('trim', 'the profile asks for no trimming (`board.trim`)');
  if (locks.trim !== null) return withheld('trim', locks.trim);
  const { machine, house, record } = context;
  if (machine.cutters.trim === null) {
    return withheld('trim', 'the profile names no cutter for trimming (`cutters.trim`)');
  }
  const cutter = cutterFor(context, 'trim');
  if (!cutter) return withheld('trim', 'the profile names no cutter for trimming (`cutters.trim`)');
  if (cutter.kind === 'v-point' || cutter.kind === 'ball' || cutter.kind === 'drill') {
    return withheld(
      'trim',
      `cutter ${cutter.id} does not cut a square edge: name an end mill for the duty trim`,
    );
  }
  const radius = cutter.diameter / 2;
  const box = boardBox(machine);
  const x0 = box.minX - radius;
  const x1 = box.maxX + radius;
  const y0 = box.minY - radius;
  const y1 = box.maxY + radius;
  // Clockwise: the board is on the right, so that a clockwise spindle climbs.
  const corners: readonly Point[] = [
    [x0, y0],
    [x0, y1],
    [x1, y1],
    [x1, y0],
  ];
  const beyond = corners.find(([x, y]) => !inTravel(machine, x, y));
  if (beyond) {
    return withheld(
      'trim',
      `the edge cannot be reached: the cutter would have to go to ${placeText(beyond, machine.units)}; trim with a guided hand router`,
    );
  }
  const top = context.overBoard.stockTop;
  const bottom = house.stack.refitSkin;
  const struck = obstaclesAbove(machine, bottom).find((o) =>
    meets([...corners, corners[0]!], radius, SIDE_AIR, o.region),
  );
  if (struck) return withheld('trim', `${struck.name} stands where the cutter passes: take it off`);
  const levels = Math.max(1, Math.ceil((top - bottom) / cutter.diameter - 1e-9));
  const perLevel = (top - bottom) / levels;
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    { width: cutter.diameter, depth: perLevel },
    machine,
    house,
  );
  reportTroubles(context, 'trim', cutting.troubles);
  checkCuttingLength(context, 'trim', cutter, top - bottom);
  const writer = writerOn(context, 'board', bottom);
  writer.running(cutting.rpm, outputsOf(context, ['extraction']));
  writer.restart('edge');
  writer.over(x0, y0);
  writer.lower(top + APPROACH);
  writer.feed(x0, y0, top, cutting.plungeFeed);
  const slope = Math.tan(house.feed.rampAngle);
  let z = top;
  for (let level = 1; level <= levels; level += 1) {
    const target = level === levels ? bottom : top - perLevel * level;
    // Ramp along the first side, back to the corner, then the whole lap at depth.
    const run = Math.min((z - target) / slope, y1 - y0);
    const strokes = Math.max(1, Math.ceil((z - target) / (slope * run) - 1e-9));
    const from = z;
    for (let i = 1; i <= strokes; i += 1) {
      const down = i === strokes ? target : from - ((from - target) * i) / strokes;
      writer.feed(
        x0,
        y0 + run,
        down,
        Math.min(cutting.feed, cutting.plungeFeed / Math.sin(house.feed.rampAngle)),
      );
      writer.feed(x0, y0, down, cutting.feed);
    }
    z = target;
    for (const [x, y] of [...corners.slice(1), corners[0]!]) writer.feed(x, y, z, cutting.feed);
  }
  writer.retract();
  return assemble(context, {
    operation: 'trim',
    name: 'trim',
    title: 'Trim the board to size',
    on: 'board',
    cutter,
    cutting,
    before: ['the board is fixed; offcuts are held so that they cannot fly', touchOff(context)],
    after: [`break the skin of ${lengthText(bottom, machine.units)} by hand, seal the edges`],
    cautions: [CAUTIONS.dust, CAUTIONS.body],
    sites: [],
    moves: finishCutting(context, writer),
  });
}
