import type { Cutter } from '@bedledger/fleet';
import { type Box, type Point, type Region, rectangleRing, regionFromRing } from '@bedledger/geometry';
import { boardBox, boxCorners } from '../base/board.ts';
import { type Cutting, cuttingFor } from '../feeds/cutting.ts';
import { type CoverageProof, proveCoverage } from '../surfacing/coverage.ts';
import { dustFrom } from '../surfacing/dust.ts';
import { type Piece, planPath, type SurfacePath, splitChains } from '../surfacing/path.ts';
import { planeAt } from '../surfacing/plane-under.ts';
import { planRemoval, type Removal, type SkimSource } from '../surfacing/removal.ts';
import { type SkimLimit, skimLimit } from '../surfacing/skim-limit.ts';
import { skimSource, statedDepth } from '../surfacing/skim-source.ts';
import { type TramMarks, tramMarks } from '../surfacing/tram.ts';
import type { WorkContext } from '../work/context.ts';

/** Everything that a skim was decided from, for the account and for people. Lengths mm. */
export interface SkimPlan {
  readonly cutter: Cutter;
  readonly removal: Removal;
  readonly path: SurfacePath;
  /** The path as cut: between two pieces the cutter is lifted. */
  readonly pieces: readonly Piece[];
  readonly proof: CoverageProof;
  readonly cutting: Cutting;
  /** What the lean of the spindle leaves; null: never measured. */
  readonly marks: TramMarks | null;
  readonly limit: SkimLimit;
  /** Thickness that the ledger should hear afterwards, mean. */
  readonly expected: number;
  readonly dust: { readonly volume: number; readonly mass: number };
  /** mm². */
  readonly area: number;
}

export type SkimKind = 'surface' | 'underside-skim';

/** About this long from one restart point to the next, minutes. */
export const RESTART_MINUTES = 4;

/**
 * Decides a skim: what it takes off, along which path, what of the board that path leaves uncut, and how near the new surface
 * comes to screw heads and to the least thickness. The cutter must have a flat end.
 * @throws RangeError when stepover, depths or heights are none
 */
export function planSkim(context: WorkContext, kind: SkimKind, cutter: Cutter): SkimPlan {
  const { record, machine, house } = context;
  const box = boardBox(machine);
  const centre: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
  const removal = removalOf(context, kind, centre);
  const path = pathOf(context, cutter, box);
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    { width: path.step > 0 ? path.step : cutter.diameter, depth: removal.perPass },
    machine,
    house,
  );
  const pieces = splitChains(path.chains, cutting.feed * RESTART_MINUTES);
  const region: Region = regionFromRing(rectangleRing(machine.board.at, machine.board.size));
  const marks = marksOf(context, cutter, path.step);
  const drop = marks?.drop ?? 0;
  const area = machine.board.size[0] * machine.board.size[1];
  return {
    cutter,
    removal,
    path,
    pieces,
    proof: proveCoverage(region, pieces, cutter.diameter / 2),
    cutting,
    marks,
    limit: skimLimit({
      target: removal.target,
      drop,
      layout: context.layout,
      // The underside lies where later no head is: only the least thickness counts there.
      stacks: kind === 'surface' ? context.stacks : new Map(),
      swapped: kind === 'surface' && context.change?.kind === 'swap' ? context.change.after : new Map(),
      coverMin: house.stack.coverMin,
      leastThickness: machine.board.leastThickness,
      corners: boxCorners(box),
      units: machine.units,
    }),
    expected: planeAt(removal.target, centre[0], centre[1]) - drop,
    dust: dustFrom(area, removal.mean, record.stock.density),
    area,
  };
}

/** Target plane and passes. The underside has no height map: its skim takes a stated depth, level. */
function removalOf(context: WorkContext, kind: SkimKind, centre: Point): Removal {
  const { record, machine, house, skim } = context;
  const { surfacing } = machine;
  let source: SkimSource;
  let maxTilt = 0;
  if (kind === 'underside-skim') {
    source = statedDepth(record, machine.board.undersideSkim ?? house.stack.skim, []);
  } else {
    const depth = skim.depth ?? surfacing.skim.depth ?? house.stack.skim;
    source = skimSource(record, depth, surfacing.skim.from);
    if ((skim.plane ?? surfacing.skim.plane) === 'best') maxTilt = house.surfacing.maxTilt;
  }
  return planRemoval(source, {
    margin: surfacing.margin,
    depthPerPass: surfacing.depthPerPass,
    maxTilt,
    centre,
  });
}

function pathOf({ machine }: WorkContext, cutter: Cutter, board: Box): SurfacePath {
  const { surfacing, travel, units } = machine;
  return planPath({
    board,
    reach: { x: travel.x, y: travel.y },
    radius: cutter.diameter / 2,
    stepover: Math.min(surfacing.stepover * cutter.diameter, cutter.diameter),
    overrun: surfacing.overrun,
    rows: surfacing.rows,
    style: surfacing.style,
    perimeterPass: surfacing.perimeterPass,
    units,
  });
}

function marksOf(
  { machine: { tram, surfacing } }: WorkContext,
  cutter: Cutter,
  step: number,
): TramMarks | null {
  if (!tram) return null;
  return surfacing.rows === 'x'
    ? tramMarks(cutter.diameter, step, tram.y, tram.x)
    : tramMarks(cutter.diameter, step, tram.x, tram.y);
}
