import { areaText, placeText, type Units, writtenLength } from '@bedledger/diagnostics';
import {
  bounds,
  circleRing,
  containsPoint,
  difference,
  isSimpleRing,
  type Point,
  type Region,
  regionArea,
  regionFromRing,
  ringArea,
} from '@bedledger/geometry';
import { boardRegion, shapeRegion } from '../features/regions.ts';
import type { Bed, Machine } from '../model/machine.ts';
import type { Shape } from '../model/shape.ts';
import { below, type Findings, type Locator, relatedTo, report, type Spot } from '../report.ts';
import { areaOutside, boxHolds, overhangs, overlap, TOUCH } from './boxes.ts';
import { repeatedNames } from './repeated.ts';
import { zoneContents } from './zone.ts';

/** More of the board than this beside the bed, mm, is a mistake and not an overhang. */
const LONGEST_OVERHANG = 100;

/** The outline of the bed where it is sound, and whether it is a rectangle. */
interface Outline {
  readonly region: Region;
  readonly isBox: boolean;
}

/** The bed: outline, zones and what is in them, keep-outs, holes, slots, clamps, and what must lie on it. */
export function* bedFindings(machine: Machine, at: Locator): Findings {
  const { bed } = machine;
  const { outline } = bed;
  yield* unsoundShape(outline, 'the bed', machine.units, below(at, 'bed', 'outline'));
  const region = soundRegion(outline);
  yield* cutLimit(bed, machine.units, below(at, 'bed'));
  yield* repeatedNames(bed.zones, 'zone', ['bed', 'zones'], at);
  yield* repeatedNames(bed.keepOuts, 'keep-out', ['bed', 'keep_outs'], at);
  yield* repeatedNames(bed.holes, 'hole', ['bed', 'holes'], at);
  yield* repeatedNames(bed.slots, 'slot', ['bed', 'slots'], at);
  yield* repeatedNames(machine.clamps, 'clamp', ['clamps'], at);
  const whole = region && { region, isBox: outline.kind === 'rect' };
  yield* zones(machine, whole, at);
  yield* keepOuts(machine, at);
  yield* clamps(machine, at);
  if (!whole) return;
  yield* holesAndSlots(bed, whole, below(at, 'bed'));
  yield* marks(machine, whole, at);
  yield* boardOnBed(machine, whole, at);
}

/** The region of a shape that encloses something, with edges that do not cross; null otherwise. */
function soundRegion(shape: Shape): Region | null {
  const sound =
    shape.kind !== 'polygon' || (isSimpleRing(shape.points) && Math.abs(ringArea(shape.points)) >= 1);
  return sound ? shapeRegion(shape, 'circumscribed') : null;
}

/** What is wrong with a shape that has no sound region. */
function* unsoundShape(shape: Shape, what: string, units: Units, at: Locator): Findings {
  if (shape.kind !== 'polygon') return;
  if (!isSimpleRing(shape.points)) {
    yield report({
      code: 'profile/crossed-polygon',
      ...at(['polygon']),
      message: `the edges of ${what} cross or touch each other`,
    });
    return;
  }
  const area = Math.abs(ringArea(shape.points));
  if (area >= 1) return;
  yield report({
    code: 'profile/flat-polygon',
    ...at(['polygon']),
    message: `${what} encloses ${areaText(area, units)}, next to nothing`,
  });
}

function* cutLimit(bed: Bed, units: Units, at: Locator): Findings {
  const thickness = writtenLength(bed.thickness, units);
  if (bed.cutLimit >= bed.thickness) {
    yield report({
      code: 'profile/cut-limit',
      ...at(['cut_limit']),
      message: `programs might go ${writtenLength(bed.cutLimit, units)} deep into a bed ${thickness} thick`,
      help: 'correct `cut_limit` or `thickness`',
    });
  } else if (bed.cutLimit + bed.floor >= bed.thickness) {
    yield report({
      code: 'profile/cut-limit',
      ...at(['floor']),
      message: `cut limit ${writtenLength(bed.cutLimit, units)} and floor ${writtenLength(bed.floor, units)} leave nothing of a bed ${thickness} thick`,
    });
  }
}

function* zones(machine: Machine, outline: Outline | null, at: Locator): Findings {
  const { bed, units } = machine;
  const regions = bed.zones.map((zone) => soundRegion(zone.shape));
  for (const [i, zone] of bed.zones.entries()) {
    const inside = below(at, 'bed', 'zones', i);
    yield* unsoundShape(zone.shape, `zone ${zone.id}`, units, inside);
    const region = regions[i];
    if (!region) continue;
    if (outline && areaOutside(region, outline.region, outline.isBox) > TOUCH) {
      yield report({
        code: 'profile/zone-outside-bed',
        ...inside([]),
        related: relatedTo(at(['bed', 'outline']), 'the outline of the bed'),
        message: `zone ${zone.id} reaches beyond the bed: ${beyond(region, outline.region, units)}`,
      });
      continue;
    }
    for (let j = 0; j < i; j++) {
      const other = regions[j];
      const common = other ? overlap(region, other) : [];
      if (regionArea(common) <= TOUCH) continue;
      const box = bounds(common);
      yield report({
        code: 'profile/zones-overlap',
        ...inside([]),
        related: relatedTo(at(['bed', 'zones', j]), `zone ${bed.zones[j]!.id}`),
        message: `zones ${bed.zones[j]!.id} and ${zone.id} overlap by ${writtenLength(box.maxX - box.minX, units)} × ${writtenLength(box.maxY - box.minY, units)}`,
      });
    }
    yield* zoneContents(zone, region, bed, units, inside);
  }
}

/** How far a region sticks out of another, side by side, for a message. */
function beyond(part: Region, whole: Region, units: Units): string {
  const sides = Object.entries(overhangs(bounds(part), bounds(whole))).filter(([, by]) => by > 0.001);
  if (sides.length === 0) return 'at an inner corner';
  return sides.map(([side, by]) => `${writtenLength(by, units)} at the ${side}`).join(', ');
}

function* keepOuts(machine: Machine, at: Locator): Findings {
  const { bed, units } = machine;
  const board = boardRegion(machine);
  for (const [i, k] of bed.keepOuts.entries()) {
    const inside = below(at, 'bed', 'keep_outs', i);
    yield* unsoundShape(k.shape, `keep-out ${k.id}`, units, inside);
    if (k.height === null) continue;
    const region = soundRegion(k.shape);
    if (region && regionArea(overlap(region, board)) > TOUCH) {
      yield report({
        code: 'profile/keep-out-under-board',
        ...inside([]),
        related: relatedTo(at(['board']), 'the board'),
        message: `keep-out ${k.id} stands ${writtenLength(k.height, units)} high where the board lies`,
      });
    }
    yield* belowClearHeight(machine, `keep-out ${k.id}`, k.height, at, inside(['height']));
  }
}

function* clamps(machine: Machine, at: Locator): Findings {
  for (const [i, c] of machine.clamps.entries()) {
    const inside = below(at, 'clamps', i);
    yield* unsoundShape(c.shape, `clamp ${c.id}`, machine.units, inside);
    yield* belowClearHeight(machine, `clamp ${c.id}`, c.height, at, inside(['height']));
  }
}

function* belowClearHeight(machine: Machine, what: string, height: number, at: Locator, own: Spot): Findings {
  const { clearHeight, units } = machine;
  if (height < clearHeight) return;
  yield report({
    code: 'profile/clear-height',
    ...at(['clear_height']),
    related: relatedTo(own, what),
    message: `${what} stands ${writtenLength(height, units)} high, but the clear height is ${writtenLength(clearHeight, units)}`,
    help: `write a clear height above ${writtenLength(height, units)}`,
  });
}

function* holesAndSlots(bed: Bed, outline: Outline, at: Locator): Findings {
  for (const [i, h] of bed.holes.entries()) {
    if (discInBed(h.at, h.diameter / 2, outline)) continue;
    yield report({
      code: 'profile/hole-outside-bed',
      ...at(['holes', i, 'at']),
      message: `hole ${h.id} is not wholly inside the bed`,
    });
  }
  for (const [i, s] of bed.slots.entries()) {
    const end = (['from', 'to'] as const).find((key) => !containsPoint(outline.region, s[key]));
    if (end === undefined) continue;
    yield report({
      code: 'profile/slot-outside-bed',
      ...at(['slots', i, end]),
      message: `slot ${s.id} leaves the bed`,
    });
  }
}

function discInBed(p: Point, radius: number, { region, isBox }: Outline): boolean {
  if (!containsPoint(region, p)) return false;
  if (isBox) return boxHolds(bounds(region), p, radius);
  const disc = regionFromRing(circleRing(p, Math.max(radius, 0.01), 'inscribed', 0.05));
  return regionArea(difference(disc, region)) <= TOUCH;
}

function* marks({ datum, units }: Machine, outline: Outline, at: Locator): Findings {
  for (const key of ['mark', 'second'] as const) {
    if (containsPoint(outline.region, datum[key])) continue;
    yield report({
      code: 'profile/mark-outside-bed',
      ...at(['datum', key]),
      related: relatedTo(at(['bed', 'outline']), 'the outline of the bed'),
      message: `the datum mark at ${placeText(datum[key], units)} is not on the bed`,
    });
  }
}

function* boardOnBed(machine: Machine, { region, isBox }: Outline, at: Locator): Findings {
  const board = boardRegion(machine);
  const outside = areaOutside(board, region, isBox);
  if (outside <= TOUCH) return;
  const longest = Math.max(...Object.values(overhangs(bounds(board), bounds(region))));
  const mistake = longest > LONGEST_OVERHANG || outside > regionArea(board) / 4;
  yield report({
    code: mistake ? 'profile/board-outside-bed' : 'profile/board-overhangs',
    ...at(['board']),
    message: `the board ${mistake ? 'reaches beyond' : 'overhangs'} the bed: ${beyond(board, region, machine.units)}`,
  });
}
