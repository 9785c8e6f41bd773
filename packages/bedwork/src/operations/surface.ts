import { areaText, lengthNumber, lengthText, MM_PER_INCH } from '@bedledger/diagnostics';
import { type Cutter, currentHeights, oddHeights, unknownBoard } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { boardBox, boxCorners } from '../base/board.ts';
import { undersideSkimmed } from '../base/ledger-facts.ts';
import { inTravel } from '../base/safe-heights.ts';
import { countOf, listOf } from '../base/words.ts';
import type { MotionWriter } from '../motion/motion-writer.ts';
import { pathTouches } from '../surfacing/coverage.ts';
import { type Obstacle, obstacleRegion, obstaclesAbove } from '../surfacing/obstacles.ts';
import { planeAt } from '../surfacing/plane-under.ts';
import { FELT_RIDGE } from '../surfacing/tram.ts';
import { OUTSIDE_GAP, writeSurface } from '../surfacing/write-surface.ts';
import { addFinding, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { isPocketed, noBoard, nothingAgainst, screwsOnRecord, touchOffOnBoard } from './conditions.ts';
import { type CuttingJob, cut, type Refusal } from './descriptor.ts';
import { planSkim, RESTART_MINUTES, type SkimKind, type SkimPlan } from './plan-skim.ts';

/** Slope of the ramp of a cutter that is not made to plunge, rad (1°; common practice, no source). */
const GENTLE_RAMP = Math.PI / 180;
/** Less than this a cutter does not take off but rub away, mm (ours: no caliper shows it). */
const LEAST_SKIM = 0.005;
/** Air kept to anything that stands on the bed, mm. */
const SIDE_AIR = 3;

interface SkimJob extends CuttingJob {
  readonly skim: SkimPlan;
  readonly obstacles: readonly Obstacle[];
}

/** The skim of the board's top. */
export const SURFACE = cut<SkimJob>({
  name: 'surface',
  on: () => 'board',
  notAsked: nothingAgainst,
  forbidden: (context) => {
    const unmeasured = noBoard(context);
    if (unmeasured !== null) return unmeasured;
    if (!isPocketed(context)) {
      return 'the board is not recorded as pocketed: it is skimmed after the screws have pulled it down';
    }
    const { withoutInsert } = context.progress;
    if (withoutInsert.length > 0) {
      return `${countOf(withoutInsert.length, 'site')} (${listOf(withoutInsert)}) without a recorded insert: the board is not fixed; record the inserts`;
    }
    return screwsOnRecord(context);
  },
  outputs: ['extraction', 'vacuum'],
  decide: (context, _, cutter) => decideSkim(context, 'surface', cutter),
  write: writeSkim,
  header: (context, { skim }) => {
    const { units } = context.machine;
    const { most, passes } = skim.removal;
    return {
      title: `Skim the board, ${lengthText(most, units)} in ${passes} ${passes === 1 ? 'pass' : 'passes'}`,
      before: ['every screw driven with the vacuum on, heads below the surface', touchOffOnBoard(context)],
      after: [measureAfterwards(context, skim), 'take a vacuum reading with the board covered'],
      cautions: [CAUTIONS.dust, CAUTIONS.body, CAUTIONS.fire, CAUTIONS.vacuum, CAUTIONS.metal],
    };
  },
});

/** The first skim of the board's underside, before it is turned over and pocketed. */
export const UNDERSIDE_SKIM = cut<SkimJob>({
  name: 'underside-skim',
  on: () => 'board',
  notAsked: ({ machine }) =>
    machine.board.undersideSkim === null
      ? 'the profile asks for no skim of the underside (`board.underside_skim`)'
      : null,
  forbidden: (context) => {
    const unmeasured = noBoard(context);
    if (unmeasured !== null) return unmeasured;
    if (isPocketed(context)) return 'the board is recorded as pocketed: it must not be turned over any more';
    return undersideSkimmed(context.record) ? 'the underside is recorded as skimmed' : null;
  },
  outputs: ['extraction', 'vacuum'],
  decide: (context, _, cutter) => decideSkim(context, 'underside-skim', cutter),
  write: writeSkim,
  header: (context, { skim }) => ({
    title: `Skim the underside, ${lengthText(skim.removal.most, context.machine.units)}`,
    before: [
      'the board lies with its underside up, held, before any pocket is cut',
      touchOffOnBoard(context),
    ],
    after: [measureAfterwards(context, skim), 'turn the board over for the last time'],
    cautions: [
      CAUTIONS.dust,
      CAUTIONS.body,
      CAUTIONS.fire,
      CAUTIONS.vacuum,
      ...(context.progress.withInsert.length > 0 ? [CAUTIONS.metal] : []),
    ],
  }),
});

function measureAfterwards({ machine }: WorkContext, { expected }: SkimPlan): string {
  return `measure the thickness in several places: ${lengthText(expected, machine.units)} is expected`;
}

function decideSkim(context: WorkContext, kind: SkimKind, cutter: Cutter): SkimJob | Refusal {
  const { machine } = context;
  if (cutter.pointAngle < 180 || cutter.kind === 'v-point' || cutter.kind === 'ball') {
    addFinding(context, {
      code: 'operations/not-flat',
      message: `${kind}: cutter ${cutter.id} has no flat end`,
    });
    return { refused: 'the profile names no cutter that can surface the board' };
  }
  const odd = oddReadings(context, kind);
  if (odd !== null) return { refused: odd };
  const skim = planSkim(context, kind, cutter);
  if (skim.removal.most < LEAST_SKIM) return { refused: nothingToTakeOff(context, skim), skim };
  if (skim.limit.room < -1e-6) return { refused: tooLow(context, skim), skim };
  const { target } = skim.removal;
  const lowest = Math.min(...boxCorners(boardBox(machine)).map(([x, y]) => planeAt(target, x, y)));
  const obstacles = obstaclesAbove(machine, lowest);
  const struck = obstacles.find((o) =>
    skim.pieces.some((piece) => pathTouches(piece.points, cutter.diameter / 2, SIDE_AIR, o.region)),
  );
  if (struck) {
    return {
      refused: `${struck.name} stands ${lengthText(struck.height, machine.units)} high where the cutter passes: take it off, or reduce the overrun`,
      skim,
    };
  }
  reportCoverage(context, kind, skim);
  return {
    sites: [],
    // The tilted plane may lie lower at the rim's overrun; the writer's floor is below every commanded point.
    floor: Math.max(0, lowest - 1),
    cutting: skim.cutting,
    fluteDepth: null,
    skim,
    obstacles,
  };
}

/** What keeps a height map from deciding a depth; null when nothing does. */
function oddReadings(
  { record, machine: { units, surfacing, id } }: WorkContext,
  kind: SkimKind,
): string | null {
  const map = currentHeights(record.heights, record.state);
  if (kind !== 'surface' || surfacing.skim.from === 'depth' || map === null) return null;
  const odd = oddHeights(map.points, record.state.board);
  const first = odd[0];
  if (first === undefined) return null;
  const more = odd.length === 1 ? '' : ` and ${odd.length - 1} more`;
  const [x, y, z] = first.reading;
  const off = `${lengthText(Math.abs(first.by), units)} ${first.by > 0 ? 'above' : 'below'}`;
  const said =
    first.against === 'neighbours'
      ? `${off} what the readings around it say: measure it again and correct the map; when it is so, add a second reading within ${lengthText(units === 'mm' ? 25 : MM_PER_INCH, units)} of it, or fill the gouge`
      : `${off} the thickness on record: measure it again, fill it when it is a gouge, or record the skim that nobody wrote down (\`bedledger record ${id} skim\`)`;
  return `the height map cannot decide a depth: ${lengthText(z, units)} at X${lengthNumber(x, units)} Y${lengthNumber(y, units)}${more} is ${said}`;
}

function nothingToTakeOff({ machine: { units } }: WorkContext, { removal }: SkimPlan): string {
  return removal.source.kind === 'map'
    ? `nothing is to be taken off: the board is flat to ${lengthText(removal.highest - removal.lowest, units)} by ${removal.source.file}, and the profile's margin is ${lengthText(removal.margin, units)}`
    : 'nothing is to be taken off: the stated depth is none';
}

function tooLow({ machine: { units, id, fixing } }: WorkContext, { limit, removal }: SkimPlan): string {
  const below = `the finished surface would lie ${lengthText(-limit.room, units)} below the limit of ${lengthText(limit.height, units)} set by ${limit.by}`;
  if (limit.wished) {
    return `${below}: swap the screws and record it (\`bedledger record ${id} screws --swapped\`), or take ${fixing.use} out of the profile again`;
  }
  const way =
    removal.source.kind === 'map'
      ? `the map's lowest place is ${lengthText(removal.lowest, units)}; fill it when it is a gouge and map again, else fit a new board`
      : 'the board has no skim left, fit a new one';
  return `${below}: ${way}`;
}

function writeSkim(writer: MotionWriter, context: WorkContext, job: SkimJob, cutter: Cutter): void {
  const { house, overBoard } = context;
  const { removal, pieces, cutting } = job.skim;
  const radius = cutter.diameter / 2;
  writeSurface(writer, {
    pieces,
    target: removal.target,
    above: Array.from({ length: removal.passes }, (_, i) => removal.perPass * (removal.passes - 1 - i)),
    top: Math.max(overBoard.stockTop, removal.highest + house.thicknessUncertainty),
    every: 0.9 * cutting.feed * RESTART_MINUTES,
    feed: cutting.feed,
    plungeFeed: cutting.plungeFeed,
    ramp: cutter.canPlunge ? house.feed.rampAngle : GENTLE_RAMP,
    outside: outsideEntry(context, radius, job.obstacles),
  });
}

/** A place beside the board, in line with the row, where the cutter may go down: within travel and clear of solids. */
function outsideEntry(
  { machine }: WorkContext,
  radius: number,
  obstacles: readonly Obstacle[],
): (start: Point, direction: Point) => Point | null {
  const box = boardBox(machine);
  const solids = obstacleRegion(obstacles);
  return (start, [dx, dy]) => {
    // Backwards along the row until the rim clears the edge that is behind.
    const behind =
      Math.abs(dx) > Math.abs(dy)
        ? dx > 0
          ? start[0] - box.minX
          : box.maxX - start[0]
        : dy > 0
          ? start[1] - box.minY
          : box.maxY - start[1];
    const back = behind + radius + OUTSIDE_GAP;
    if (back <= 0) return null;
    const from: Point = [start[0] - dx * back, start[1] - dy * back];
    if (!inTravel(machine, from[0], from[1])) return null;
    if (pathTouches([from, start], radius, SIDE_AIR, solids)) return null;
    return from;
  };
}

/** A map that does not speak for all of the board is no proof that the board is flat afterwards. */
function reportUnmeasured(
  context: WorkContext,
  kind: SkimKind,
  { removal: { source, highest } }: SkimPlan,
): void {
  if (source.kind !== 'map' || source.unmeasured.length === 0) return;
  const { units, board } = context.machine;
  const { share, farthest } = unknownBoard(source.points, board);
  addFinding(context, {
    code: 'surfacing/unmeasured',
    message: `${kind}: ${source.file} says nothing of ${Math.max(1, Math.round(100 * share))} % of the board, places up to ${lengthText(farthest, units)} from every reading: the passes are planned for ${lengthText(highest, units)} there, the thickest on record, and what lies lower than the readings stays uncut`,
    facts: { share, farthest },
    help: `measure the corners and edges too, with no place farther than ${lengthText(units === 'mm' ? 250 : 10 * MM_PER_INCH, units)} from a reading`,
  });
}

function reportCoverage(context: WorkContext, kind: SkimKind, skim: SkimPlan): void {
  const { units } = context.machine;
  for (const { side, width } of skim.path.strips) {
    addFinding(context, {
      code: 'surfacing/strip',
      message: `${kind}: a strip ${lengthText(width, units)} wide along the ${side} edge cannot be reached with a cutter of ${lengthText(skim.cutter.diameter, units)}`,
      facts: { side, width },
    });
  }
  if (skim.path.strips.length === 0 && !skim.proof.covered) {
    addFinding(context, {
      code: 'surfacing/left',
      message: `${kind}: ${areaText(skim.proof.leftArea, units)} of the board stays uncut`,
      facts: { area: skim.proof.leftArea },
    });
  }
  reportUnmeasured(context, kind, skim);
  const step = skim.marks?.step ?? 0;
  if (step > FELT_RIDGE) {
    addFinding(context, {
      code: 'surfacing/ridge',
      message: `${kind}: by the tram readings neighbouring rows differ by ${lengthText(step, units)}`,
      facts: { step },
    });
  }
  for (const note of skim.path.notes) {
    addFinding(context, { code: 'surfacing/note', message: `${kind}: ${note}` });
  }
}
