import { type BedFeature, bedFeatures, bedRegion, boardRegion, type MachineRecord } from '@bedledger/fleet';
import {
  type Box,
  bounds,
  circleRing,
  difference,
  distance,
  FeatureIndex,
  intersection,
  mapRegion,
  nearestPointIn,
  offset,
  type Point,
  type Region,
  rectangleRing,
  regionFromRing,
  union,
} from '@bedledger/geometry';
import type { BedFit } from '../survey/bed-fit.ts';
import { type LandKinds, landKinds } from './land-kind.ts';
import { type LineScan, lineScan } from './line-scan.ts';
import { type SiteNeeds, SLACK, siteNeeds } from './needs.ts';

export interface NamedFeature {
  readonly kind: BedFeature['kind'];
  readonly name: string;
  readonly zone: string | null;
}

/** Where sites may be on one bed, and what keeps them from being elsewhere. */
export interface Lands {
  readonly needs: SiteNeeds;
  readonly kinds: LandKinds;
  /** Largest uncertainty of a mapped point on the bed, k = 2, mm: grown into the lands. */
  readonly uncertainty: number;
  /** Where an axis may be, surveyed frame. */
  readonly actual: Region;
  /** The same set seen on the drawing of the bed. */
  readonly nominal: Region;
  readonly scan: LineScan;
  /** The point of the nominal lands nearest to a nominal point; null without any land. */
  readonly nearestLand: (p: Point) => Point | null;
  /** The nearest point of every piece of nominal land that is within `reach`, the nearest piece first. */
  readonly landsWithin: (p: Point, reach: number) => Point[];
  /** Questions about the lands in the surveyed frame. */
  readonly actualScan: LineScan;
  readonly nearestActual: (p: Point) => Point | null;
  readonly toNominal: (p: Point) => Point;
  /** Spindle centre positions from which every operation at a site can be carried out, surveyed frame. */
  readonly reach: Box;
  readonly bed: Region;
  /**
   * The board, surveyed frame: along the machine's axes, its lower-left corner as far from the datum mark as the profile
   * says. It is laid against the two marks, and those are made by the machine, so a survey that turns the bed under it
   * does not turn the board.
   */
  readonly board: Region;
  readonly boardBox: Box;
  readonly boardCorners: readonly Point[];
  readonly features: FeatureIndex<NamedFeature>;
  readonly featureKinds: readonly BedFeature['kind'][];
}

/**
 * The lands of a bed as exact polygons with holes.
 *
 * Outline and board moved in, everything in the bed grown by bore, wall, margin and uncertainty, all after mapping into
 * the surveyed frame; cut with what the spindle's centre reaches. The board lies along the axes of that frame. The nominal lands are the same set mapped back, so a
 * site placed on a nominal land is on an actual one.
 */
export function computeLands(record: MachineRecord, fit: BedFit): Lands {
  const { machine } = record;
  const bed = mapRegion(bedRegion(machine), fit.transform);
  const board = boardRegion(machine);
  const boardCorners = board.flatMap((p) => p.outer);
  const features = bedFeatures(machine).map((f) => ({
    region: mapRegion(f.region, fit.transform),
    value: { kind: f.kind, name: f.name, zone: f.zone },
  }));
  const uncertainty = greatest(
    [...boardCorners.map(fit.toNominal), ...bedRegion(machine).flatMap((p) => p.outer)].map(
      fit.uncertaintyAt,
    ),
  );
  const needs = siteNeeds(record, uncertainty);
  const growth = needs.bed + uncertainty + SLACK;

  const reach: Box = {
    minX: machine.travel.x[0] + needs.overhang,
    maxX: machine.travel.x[1] - needs.overhang,
    minY: machine.travel.y[0] + needs.overhang,
    maxY: machine.travel.y[1] - needs.overhang,
  };
  const blocked = offset(union(...features.map((f) => f.region)), growth);
  const cornerDiscs = boardCorners.map((p) =>
    regionFromRing(circleRing(p, needs.boardCorner + uncertainty + SLACK, 'circumscribed')),
  );
  let open = intersection(offset(bed, -growth), offset(board, -(needs.boardEdge + uncertainty + SLACK)));
  open =
    reach.minX < reach.maxX && reach.minY < reach.maxY
      ? intersection(
          open,
          regionFromRing(
            rectangleRing(
              [reach.minX + SLACK, reach.minY + SLACK],
              [reach.maxX - reach.minX - 2 * SLACK, reach.maxY - reach.minY - 2 * SLACK],
            ),
          ),
        )
      : [];
  const actual = difference(difference(open, union(...cornerDiscs)), blocked);
  const nominal = mapRegion(actual, fit.inverse);
  return {
    needs,
    kinds: landKinds(machine, needs.boreRadius),
    uncertainty,
    actual,
    nominal,
    scan: lineScan(nominal),
    nearestLand: nearestIn(nominal),
    landsWithin: piecesWithin(nominal),
    actualScan: lineScan(actual),
    nearestActual: nearestIn(actual),
    toNominal: fit.toNominal,
    reach,
    bed,
    board,
    boardBox: bounds(board),
    boardCorners,
    features: new FeatureIndex(features),
    featureKinds: [...new Set(features.map((f) => f.value.kind))].sort(),
  };
}

/** Box around the nominal lands; null when there is no land at all. */
export function landsBox(lands: Lands): Box | null {
  return lands.nominal.length === 0 ? null : bounds(lands.nominal);
}

function greatest(values: readonly number[]): number {
  let most = 0;
  for (const v of values) if (v > most) most = v;
  return most;
}

/** Nearest point of a region: the point itself inside, else on the outline; null for an empty region. */
function nearestIn(region: Region): (p: Point) => Point | null {
  let index: FeatureIndex<null> | null = null;
  return (p) => {
    index ??= new FeatureIndex([{ region, value: null }]);
    const near = index.nearest(p);
    return near === null ? null : near.distance <= 0 ? p : near.at;
  };
}

/** The nearest point of every polygon of a region that is within `reach`, in order of distance, then front left first. */
function piecesWithin(region: Region): (p: Point, reach: number) => Point[] {
  let boxes: Box[] | null = null;
  return (p, reach) => {
    boxes ??= region.map((polygon) => bounds([polygon]));
    const out: { readonly at: Point; readonly off: number }[] = [];
    for (const [i, polygon] of region.entries()) {
      const b = boxes[i] as Box;
      const dx = Math.max(b.minX - p[0], 0, p[0] - b.maxX);
      const dy = Math.max(b.minY - p[1], 0, p[1] - b.maxY);
      if (dx * dx + dy * dy > reach * reach) continue;
      const at = nearestPointIn([polygon], p) as Point;
      const off = distance(at, p);
      if (off <= reach) out.push({ at, off });
    }
    out.sort((a, b) => a.off - b.off || a.at[1] - b.at[1] || a.at[0] - b.at[0]);
    return out.map((o) => o.at);
  };
}
