import {
  type BedFeature,
  bedFeatures,
  bedRegion,
  boardRegion,
  type Machine,
  type MachineRecord,
} from '@bedledger/fleet';
import {
  type Box,
  bounds,
  circleRing,
  difference,
  distance,
  FeatureIndex,
  IDENTITY,
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

/** What keeps sites off a bed, whatever board lies on it and whichever cutter makes the pockets. */
interface Ground {
  readonly kinds: LandKinds;
  /** The bed's outline, and the part of it on which a bore has its wall; surveyed frame. */
  readonly bed: Region;
  readonly sound: Region;
  /** Everything in the bed, grown by what a site needs. */
  readonly blocked: Region;
  readonly features: FeatureIndex<NamedFeature>;
  readonly featureKinds: readonly BedFeature['kind'][];
}

/** Grounds by bed: a board that is tried shorter lies on the same one. */
const grounds = new WeakMap<Machine['bed'], Map<string, Ground>>();

/** @param growth least distance of an axis from anything in the bed, mm */
function groundOf(machine: Machine, fit: BedFit, growth: number, boreRadius: number): Ground {
  const { a, b, c, d, e, f } = fit.transform;
  const key = [a, b, c, d, e, f, growth, boreRadius].join(' ');
  let ofBed = grounds.get(machine.bed);
  if (ofBed === undefined) {
    ofBed = new Map();
    grounds.set(machine.bed, ofBed);
  }
  let ground = ofBed.get(key);
  if (ground === undefined) {
    const bed = mapRegion(bedRegion(machine), fit.transform);
    const features = bedFeatures(machine).map((feature) => ({
      region: mapRegion(feature.region, fit.transform),
      value: { kind: feature.kind, name: feature.name, zone: feature.zone },
    }));
    ground = {
      kinds: landKinds(machine, boreRadius),
      bed,
      sound: offset(bed, -growth),
      blocked: offset(union(...features.map((feature) => feature.region)), growth),
      features: new FeatureIndex(features),
      featureKinds: [...new Set(features.map((feature) => feature.value.kind))].sort(),
    };
    ofBed.set(key, ground);
  }
  return ground;
}

/**
 * The lands of a bed as exact polygons with holes.
 *
 * Outline and board moved in, everything in the bed grown by bore, wall, margin and uncertainty, all after mapping into
 * the surveyed frame; cut with what the spindle's centre reaches. The board lies along the axes of that frame. The nominal
 * lands are the same set mapped back, so a site placed on a nominal land is on an actual one.
 */
export function computeLands(record: MachineRecord, fit: BedFit): Lands {
  const { machine } = record;
  const board = boardRegion(machine);
  const boardCorners = board.flatMap((p) => p.outer);
  const uncertainty = greatest(
    [...boardCorners.map(fit.toNominal), ...bedRegion(machine).flatMap((p) => p.outer)].map(
      fit.uncertaintyAt,
    ),
  );
  const needs = siteNeeds(record, uncertainty);
  const ground = groundOf(machine, fit, needs.bed + uncertainty + SLACK, needs.boreRadius);
  const reach: Box = {
    minX: machine.travel.x[0] + needs.overhang,
    maxX: machine.travel.x[1] - needs.overhang,
    minY: machine.travel.y[0] + needs.overhang,
    maxY: machine.travel.y[1] - needs.overhang,
  };
  const cornerDiscs = boardCorners.map((p) =>
    regionFromRing(circleRing(p, needs.boardCorner + uncertainty + SLACK, 'circumscribed')),
  );
  const open = within(
    reach,
    intersection(ground.sound, offset(board, -(needs.boardEdge + uncertainty + SLACK))),
  );
  const actual = difference(difference(open, union(...cornerDiscs)), ground.blocked);
  const drawn = fit.transform === IDENTITY;
  const nominal = drawn ? actual : mapRegion(actual, fit.inverse);
  const scan = lineScan(nominal);
  const nearestLand = nearestIn(nominal);
  return {
    needs,
    kinds: ground.kinds,
    uncertainty,
    actual,
    nominal,
    scan,
    nearestLand,
    landsWithin: piecesWithin(nominal),
    actualScan: drawn ? scan : lineScan(actual),
    nearestActual: drawn ? nearestLand : nearestIn(actual),
    toNominal: fit.toNominal,
    reach,
    bed: ground.bed,
    board,
    boardBox: bounds(board),
    boardCorners,
    features: ground.features,
    featureKinds: ground.featureKinds,
  };
}

/** The part of a region that the spindle's centre reaches. */
function within(reach: Box, region: Region): Region {
  const size: Point = [reach.maxX - reach.minX - 2 * SLACK, reach.maxY - reach.minY - 2 * SLACK];
  if (!(size[0] > 0 && size[1] > 0)) return [];
  return intersection(region, regionFromRing(rectangleRing([reach.minX + SLACK, reach.minY + SLACK], size)));
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
