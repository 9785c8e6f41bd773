import { areaText, lengthText } from '@bedledger/diagnostics';
import type { Cutter, MachineRecord } from '@bedledger/fleet';
import { type Point, type Region, rectangleRing, regionFromRing } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { type Cutting, cuttingFor } from '../feeds/cutting.ts';
import type { Interlocks } from '../interlocks/interlocks.ts';
import { CAUTIONS } from '../run-order/cautions.ts';
import { type CoverageProof, meets, proveCoverage } from '../surfacing/coverage.ts';
import { dustFrom } from '../surfacing/dust.ts';
import { planeAt } from '../surfacing/lowest-plane.ts';
import { type Obstacle, obstacleRegion, obstaclesAbove } from '../surfacing/obstacles.ts';
import { type Piece, planPath, type SurfacePath, splitChains } from '../surfacing/path.ts';
import { planRemoval, type Removal, type SkimSource } from '../surfacing/removal.ts';
import { type SkimLimit, skimLimit } from '../surfacing/skim-limit.ts';
import { skimSource } from '../surfacing/skim-source.ts';
import { type TramMarks, tramMarks } from '../surfacing/tram.ts';
import { OUTSIDE_GAP, writeSurface } from '../surfacing/write-surface.ts';
import {
  addFinding,
  assemble,
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

/** Everything that a skim was decided from, for the account and for people. */
export interface SkimPlan {
  readonly cutter: Cutter;
  readonly removal: Removal;
  readonly path: SurfacePath;
  /** The path as cut: between two pieces the cutter is lifted. */
  readonly pieces: readonly Piece[];
  readonly proof: CoverageProof;
  readonly cutting: Cutting;
  readonly marks: TramMarks | null;
  readonly limit: SkimLimit;
  /** Thickness that the ledger should hear afterwards, mean, mm. */
  readonly expected: number;
  readonly dust: { readonly volume: number; readonly mass: number };
  readonly area: number;
}

/** Slope of the ramp of a cutter that is not made to plunge, rad (1°; common practice, no source). */
const GENTLE_RAMP = Math.PI / 180;
/** Air kept to anything that stands on the bed, mm. */
const SIDE_AIR = 3;
/** A warm restart point about this often, minutes. */
const RESTART_MINUTES = 4;

export interface SkimOptions {
  /** Depth of a skim without a height map, mm; default the profile's, then the house's. */
  readonly depth?: number;
  /** `level` or `best` (default: the profile's): the plane of least removal within the house's tilt limit. */
  readonly plane?: 'level' | 'best';
}

/** Decides a skim: removal, path, coverage, feeds, limit. Null (with findings) when the profile makes it impossible. */
export function planSkim(
  context: WorkContext,
  kind: 'surface' | 'underside-skim',
  options: SkimOptions = {},
): SkimPlan | null {
  const { record, machine, house } = context;
  const cutter = cutterFor(context, 'surface');
  const board = record.state.board;
  if (!cutter || !board) return null;
  if (cutter.pointAngle < 180 || cutter.kind === 'v-point' || cutter.kind === 'ball') {
    addFinding(context, {
      code: 'operations/not-flat',
      message: `${kind}: cutter ${cutter.id} has no flat end`,
    });
    return null;
  }
  const radius = cutter.diameter / 2;
  const { surfacing } = machine;
  const box = boardBox(record.machine);
  const centre: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
  const source: SkimSource =
    kind === 'underside-skim'
      ? statedFrom(record, machine.board.undersideSkim ?? house.stack.skim)
      : skimSource(record, options.depth ?? surfacing.skim.depth ?? house.stack.skim, surfacing.skim.from);
  const removal = planRemoval(source, {
    margin: surfacing.margin,
    depthPerPass: surfacing.depthPerPass,
    maxTilt:
      kind === 'surface' && (options.plane ?? surfacing.skim.plane) === 'best' ? house.surfacing.maxTilt : 0,
    centre,
  });
  const rules = {
    board: box,
    reach: { x: machine.travel.x, y: machine.travel.y },
    radius,
    stepover: Math.min(surfacing.stepover * cutter.diameter, cutter.diameter),
    overrun: surfacing.overrun,
    rows: surfacing.rows,
    style: surfacing.style,
    perimeterPass: surfacing.perimeterPass,
    units: machine.units,
  } as const;
  const path = planPath(rules);
  const region: Region = regionFromRing(rectangleRing(machine.board.at, machine.board.size));
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    { width: path.step > 0 ? path.step : cutter.diameter, depth: removal.perPass },
    machine,
    house,
  );
  const pieces = splitChains(path.chains, cutting.feed * RESTART_MINUTES);
  const proof = proveCoverage(region, pieces, radius);
  const tram = machine.tram;
  const alongX = surfacing.rows === 'x';
  const marks =
    tram && path.step > 0
      ? tramMarks(cutter.diameter, path.step, alongX ? tram.y : tram.x, alongX ? tram.x : tram.y)
      : null;
  const drop = marks?.drop ?? 0;
  const corners: readonly Point[] = [
    [box.minX, box.minY],
    [box.maxX, box.minY],
    [box.maxX, box.maxY],
    [box.minX, box.maxY],
  ];
  const limit = skimLimit({
    target: removal.target,
    drop,
    layout: context.layout,
    // The underside lies where later no head is: only the least thickness counts there.
    stacks: kind === 'surface' ? context.stacks : new Map(),
    coverMin: house.stack.coverMin,
    leastThickness: machine.board.leastThickness,
    corners,
    units: machine.units,
  });
  const area = machine.board.size[0] * machine.board.size[1];
  return {
    cutter,
    removal,
    path,
    pieces,
    proof,
    cutting,
    marks,
    limit,
    expected: planeAt(removal.target, centre[0], centre[1]) - drop,
    dust: dustFrom(area, removal.mean, record.stock.density),
    area,
  };
}

function statedFrom(record: MachineRecord, depth: number): SkimSource {
  return skimSource({ ...record, heights: [] }, depth, 'depth');
}

/** The skim of the board's top. */
export function surface(context: WorkContext, locks: Interlocks, plan: SkimPlan | null): Outcome {
  if (locks.surface !== null) return withheld('surface', locks.surface);
  return skimProgram(context, 'surface', plan);
}

/** The first skim of the board's underside, before it is turned over and pocketed. */
export function undersideSkim(context: WorkContext, locks: Interlocks, plan: SkimPlan | null): Outcome {
  if (context.machine.board.undersideSkim === null)
    return notAsked(
      'underside-skim',
      'the profile asks for no skim of the underside (`board.underside_skim`)',
    );
  if (locks.undersideSkim !== null) return withheld('underside-skim', locks.undersideSkim);
  return skimProgram(context, 'underside-skim', plan);
}

function skimProgram(
  context: WorkContext,
  name: 'surface' | 'underside-skim',
  plan: SkimPlan | null,
): Outcome {
  const { record, machine } = context;
  if (!plan) return withheld(name, 'the profile names no cutter that can surface the board');
  const { removal, limit, cutting, cutter } = plan;
  if (limit.room < -1e-6) {
    return withheld(
      name,
      `the finished surface would lie ${lengthText(-limit.room, machine.units)} below the limit of ${lengthText(limit.height, machine.units)} set by ${limit.by}: ${
        removal.source.kind === 'map'
          ? `the map's lowest place is ${lengthText(removal.lowest, machine.units)}; fill it when it is a gouge and map again, else fit a new board`
          : 'the board has no skim left, fit a new one'
      }`,
    );
  }
  const lowest = Math.min(
    ...[0, 1, 2, 3].map((i) => {
      const box = boardBox(record.machine);
      return planeAt(removal.target, i % 2 === 0 ? box.minX : box.maxX, i < 2 ? box.minY : box.maxY);
    }),
  );
  const obstacles = obstaclesAbove(machine, lowest);
  const struck = obstacles.find((o) =>
    plan.pieces.some((piece) => meets(piece.points, cutter.diameter / 2, SIDE_AIR, o.region)),
  );
  if (struck) {
    return withheld(
      name,
      `${struck.name} stands ${lengthText(struck.height, machine.units)} high where the cutter passes: take it off, or reduce the overrun`,
    );
  }
  const top = context.overBoard.stockTop;
  const highest = Math.max(top, removal.highest + record.house.thicknessUncertainty);
  // The tilted plane may lie lower at the rim's overrun; the writer's floor is below every commanded point.
  const floor = Math.max(0, lowest - 1);
  const writer = writerOn(context, 'board', floor);
  writer.running(cutting.rpm, outputsOf(context, ['extraction', 'vacuum']));
  writeSurface(writer, {
    pieces: plan.pieces,
    target: removal.target,
    above: Array.from({ length: removal.passes }, (_, i) => removal.perPass * (removal.passes - 1 - i)),
    top: highest,
    radius: cutter.diameter / 2,
    every: 0.9 * cutting.feed * RESTART_MINUTES,
    feed: cutting.feed,
    plungeFeed: cutting.plungeFeed,
    ramp: cutter.canPlunge ? record.house.feed.rampAngle : GENTLE_RAMP,
    outside: outsideEntry(context, cutter.diameter / 2, obstacles),
  });
  reportTroubles(context, name, cutting.troubles);
  reportCoverage(context, name, plan);
  const underside = name === 'underside-skim';
  return assemble(context, {
    operation: name,
    name,
    title: underside
      ? `Skim the underside, ${lengthText(removal.most, machine.units)}`
      : `Skim the board, ${lengthText(removal.most, machine.units)} in ${removal.passes} ${removal.passes === 1 ? 'pass' : 'passes'}`,
    on: 'board',
    cutter,
    cutting,
    before: [
      underside
        ? 'the board lies with its underside up, held, before any pocket is cut'
        : 'every screw driven with the vacuum on, heads below the surface',
      touchOff(context),
    ],
    after: [
      `measure the thickness in several places: ${lengthText(plan.expected, machine.units)} is expected`,
      underside ? 'turn the board over for the last time' : 'take a vacuum reading with the board covered',
    ],
    cautions: [
      CAUTIONS.dust,
      CAUTIONS.body,
      CAUTIONS.fire,
      CAUTIONS.vacuum,
      ...(underside ? [] : [CAUTIONS.metal]),
    ],
    sites: [],
    moves: finishCutting(context, writer),
  });
}

/** A place beside the board, in line with the row, where the cutter may go down: within travel and clear of solids. */
function outsideEntry(
  context: WorkContext,
  radius: number,
  obstacles: readonly Obstacle[],
): (start: Point, direction: Point) => Point | null {
  const { record, machine } = context;
  const box = boardBox(record.machine);
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
    if (meets([from, start], radius, SIDE_AIR, solids)) return null;
    return from;
  };
}

function reportCoverage(context: WorkContext, name: string, plan: SkimPlan): void {
  for (const strip of plan.path.strips) {
    addFinding(context, {
      code: 'surfacing/strip',
      message: `${name}: a strip ${lengthText(strip.width, context.machine.units)} wide along the ${strip.side} edge cannot be reached with a cutter of ${lengthText(plan.cutter.diameter, context.machine.units)}`,
      facts: { side: strip.side, width: strip.width },
    });
  }
  if (plan.path.strips.length === 0 && !plan.proof.covered) {
    addFinding(context, {
      code: 'surfacing/left',
      message: `${name}: ${areaText(plan.proof.leftArea, context.machine.units)} of the board stays uncut`,
      facts: { area: plan.proof.leftArea },
    });
  }
  for (const note of plan.path.notes)
    addFinding(context, { code: 'surfacing/note', message: `${name}: ${note}` });
}
