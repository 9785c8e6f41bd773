import { areaText, type Units, writtenLength } from '@bedledger/diagnostics';
import {
  bounds,
  circleRing,
  containsPoint,
  difference,
  isSimpleRing,
  type Region,
  regionArea,
  regionFromRing,
} from '@bedledger/geometry';
import { gridGrooves, gridLines } from '../features/grooves.ts';
import type { Bed, Gasket, GrooveChannels, GrooveGrid, Zone } from '../model/machine.ts';
import { below, type Findings, type Locator, report } from '../report.ts';
import { boxHolds, TOUCH } from './boxes.ts';

/** One zone as the checks of its contents see it: `at` locates below the zone. */
interface ZoneCase {
  readonly zone: Zone;
  readonly region: Region;
  readonly bed: Bed;
  readonly units: Units;
  readonly at: Locator;
}

/** What is in a zone: ports, grooves, gasket. `at` locates below the zone. */
export function* zoneContents(zone: Zone, region: Region, bed: Bed, units: Units, at: Locator): Findings {
  const c: ZoneCase = { zone, region, bed, units, at };
  yield* ports(c);
  switch (zone.grooves.kind) {
    case 'grid':
      yield* grid(c, zone.grooves);
      break;
    case 'channels':
      yield* channels(c, zone.grooves);
      break;
    case 'none':
      break;
    default:
      zone.grooves satisfies never;
  }
  if (zone.gasket) yield* gasket(c, zone.gasket);
}

function* ports({ zone, region, at }: ZoneCase): Findings {
  for (const [i, port] of zone.ports.entries()) {
    const radius = port.diameter / 2;
    if (zone.shape.kind === 'rect' && boxHolds(bounds(region), port.at, radius)) continue;
    const disc = regionFromRing(circleRing(port.at, radius, 'inscribed', 0.05));
    if (regionArea(difference(disc, region)) <= TOUCH) continue;
    yield report({
      code: 'profile/port-outside-zone',
      ...at(['ports', i, 'at']),
      message: `port ${i + 1} of zone ${zone.id} is not wholly inside the zone`,
    });
  }
}

function* grid(c: ZoneCase, g: GrooveGrid): Findings {
  const { zone, bed, units } = c;
  const at = below(c.at, 'grooves');
  const narrow = g.pitch.find((pitch) => g.width >= pitch);
  if (narrow !== undefined) {
    yield report({
      code: 'profile/no-land',
      ...at(['width']),
      message: `grooves ${writtenLength(g.width, units)} wide at a pitch of ${writtenLength(narrow, units)} leave no land between them`,
    });
    return;
  }
  if (g.depth >= bed.thickness) {
    yield report({
      code: 'profile/groove-depth',
      ...at(['depth']),
      message: `grooves ${writtenLength(g.depth, units)} deep go through the bed of ${writtenLength(bed.thickness, units)}`,
    });
  }
  if (grooveCount(c, g) === 0) {
    yield report({
      code: 'profile/no-groove',
      ...at([]),
      message: `no groove of the grid lies inside zone ${zone.id}`,
    });
  } else if (zone.shape.kind === 'rect') {
    const { at: low, size } = zone.shape;
    for (const axis of [0, 1] as const) {
      const first = g.offset?.[axis];
      if (first === undefined || (first - g.width / 2 >= 0 && first <= size[axis])) continue;
      yield report({
        code: 'profile/groove-outside-zone',
        ...at(['offset', axis]),
        message: `the first groove at ${writtenLength(low[axis] + first, units)} is not inside zone ${zone.id}`,
        help: 'correct `offset`, or leave it out to centre the grid',
      });
    }
  }
}

/** Grooves of the grid in the zone; of a rectangle, the lines of the axis that has fewer. */
function grooveCount({ zone, region }: ZoneCase, g: GrooveGrid): number {
  if (zone.shape.kind !== 'rect') return gridGrooves(zone, g).length;
  const box = bounds(region);
  return Math.min(
    gridLines(box.maxX - box.minX, g.pitch[0], g.offset?.[0]).length,
    gridLines(box.maxY - box.minY, g.pitch[1], g.offset?.[1]).length,
  );
}

function* channels({ zone, region, bed, units, at }: ZoneCase, g: GrooveChannels): Findings {
  for (const [i, channel] of g.channels.entries()) {
    if (channel.depth >= bed.thickness) {
      yield report({
        code: 'profile/groove-depth',
        ...at(['grooves', 'channels', i, 'depth']),
        message: `channel ${i + 1} is ${writtenLength(channel.depth, units)} deep and goes through the bed of ${writtenLength(bed.thickness, units)}`,
      });
    }
    const outside = channel.points.findIndex((p) => !containsPoint(region, p));
    if (outside < 0) continue;
    yield report({
      code: 'profile/groove-outside-zone',
      ...at(['grooves', 'channels', i, 'points', outside]),
      message: `channel ${i + 1} leaves zone ${zone.id} at its point ${outside + 1}`,
      help: 'correct the point',
    });
  }
}

function* gasket(c: ZoneCase, g: Gasket): Findings {
  const { zone, region, bed, units } = c;
  const at = below(c.at, 'gasket');
  if (g.depth >= bed.thickness) {
    yield report({
      code: 'profile/gasket-depth',
      ...at(['depth']),
      message: `the gasket channel is ${writtenLength(g.depth, units)} deep and goes through the bed`,
    });
  }
  if (g.path && !isSimpleRing(g.path)) {
    yield report({
      code: 'profile/crossed-polygon',
      ...at(['path']),
      message: `the gasket channel of zone ${zone.id} crosses itself`,
    });
  } else if (g.path) {
    const outside = g.path.findIndex((p) => !containsPoint(region, p));
    if (outside >= 0) {
      yield report({
        code: 'profile/gasket-outside-zone',
        ...at(['path', outside]),
        message: `the gasket channel leaves zone ${zone.id} at its corner ${outside + 1}`,
        help: 'correct the corner',
      });
    }
  } else if (g.inset < g.width / 2 - 1e-9) {
    yield report({
      code: 'profile/gasket-outside-zone',
      ...at(['inset']),
      message: `the gasket channel, ${writtenLength(g.width, units)} wide, leaves zone ${zone.id} at an inset of ${writtenLength(g.inset, units)}`,
      help: `write at least ${writtenLength(g.width / 2, units)}`,
    });
  }
  if (g.cord) yield* cord(g, g.cord, units, at(['cord', 'size']));
}

function* cord(
  channel: Gasket,
  { form, size }: NonNullable<Gasket['cord']>,
  units: Units,
  spot: ReturnType<Locator>,
): Findings {
  if (size > channel.width) {
    yield report({
      code: 'profile/cord-too-wide',
      ...spot,
      message: `a cord of ${writtenLength(size, units)} does not go into a channel ${writtenLength(channel.width, units)} wide`,
    });
    return;
  }
  if (size <= channel.depth) {
    yield report({
      code: 'profile/cord-too-thin',
      ...spot,
      message: `a cord of ${writtenLength(size, units)} does not stand out of a channel ${writtenLength(channel.depth, units)} deep: it cannot seal`,
    });
    return;
  }
  const section = form === 'round' ? (Math.PI * size * size) / 4 : size * size;
  const room = channel.width * channel.depth;
  if (section > room) {
    yield report({
      code: 'profile/cord-overfills',
      ...spot,
      message: `a ${form} cord of ${writtenLength(size, units)} has a section of ${areaText(section, units)}, its channel only ${areaText(room, units)}: it would lift the board`,
    });
  }
}
