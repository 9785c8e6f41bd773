import {
  type Box,
  bounds,
  circleRing,
  containsPoint,
  difference,
  intersection,
  isSimpleRing,
  type Point,
  type Region,
  regionArea,
  regionFromRing,
  ringArea,
} from '@bedledger/geometry';
import { gridGrooves, gridLines } from '../features/grooves.ts';
import { boardRegion, shapeRegion } from '../features/regions.ts';
import type { Machine, Zone } from '../model/machine.ts';
import type { Shape } from '../model/shape.ts';
import type { Path } from '../source/yaml-source.ts';
import type { Fault } from './fault.ts';
import { FaultList, repeated, show } from './report.ts';

/** Areas below this are rounding at an edge, mm². */
const TOUCH = 0.5;

/** A shape that encloses something, with edges that do not cross; null otherwise. */
function soundRegion(shape: Shape, path: Path, what: string, out: FaultList): Region | null {
  if (shape.kind === 'polygon') {
    const at = [...path, 'polygon'];
    if (!isSimpleRing(shape.points)) {
      out.stop(
        'crossed-polygon',
        at,
        `the edges of ${what} cross or touch each other`,
        'write the corners in order, round the outline, each once',
      );
      return null;
    }
    const area = Math.abs(ringArea(shape.points));
    if (area < 1) {
      out.stop(
        'flat-polygon',
        at,
        `${what} encloses ${area.toFixed(2)} mm2, next to nothing`,
        'correct the corners',
      );
      return null;
    }
  }
  return shapeRegion(shape, 'circumscribed');
}

/** Does a disc, given by centre and radius, lie inside the box? */
function boxHolds(box: Box, at: Point, radius: number): boolean {
  return (
    at[0] - radius >= box.minX &&
    at[0] + radius <= box.maxX &&
    at[1] - radius >= box.minY &&
    at[1] + radius <= box.maxY
  );
}

/**
 * Area of `part` outside `whole`, mm². Rectangles, which most beds and zones are, need no boolean operation: inside the
 * box is inside.
 */
function areaOutside(part: Region, whole: Region, wholeIsBox: boolean): number {
  if (wholeIsBox) {
    const a = bounds(part);
    const b = bounds(whole);
    if (a.minX >= b.minX && a.maxX <= b.maxX && a.minY >= b.minY && a.maxY <= b.maxY) return 0;
  }
  return regionArea(difference(part, whole));
}

/** Area common to two regions, mm²; 0 at once when their boxes are apart. */
function overlap(p: Region, q: Region): Region {
  const a = bounds(p);
  const b = bounds(q);
  if (a.maxX <= b.minX || b.maxX <= a.minX || a.maxY <= b.minY || b.maxY <= a.minY) return [];
  return intersection(p, q);
}

/** Where a region reaches beyond another, for a message: how far its box sticks out at most. */
function beyond(part: Region, whole: Region, units: 'mm' | 'in'): string {
  const a = bounds(part);
  const b = bounds(whole);
  const sides: [string, number][] = [
    ['left', b.minX - a.minX],
    ['right', a.maxX - b.maxX],
    ['front', b.minY - a.minY],
    ['back', a.maxY - b.maxY],
  ];
  const out = sides.filter(([, d]) => d > 0.001).map(([side, d]) => `${show(d, units)} at the ${side}`);
  return out.length > 0 ? out.join(', ') : 'at an inner corner';
}

function zoneContents(zone: Zone, region: Region, path: Path, machine: Machine, out: FaultList): void {
  const { units, bed } = machine;
  const name = `zone ${zone.id}`;
  for (const [i, port] of zone.ports.entries()) {
    if (zone.shape.kind === 'rect' && boxHolds(bounds(region), port.at, port.diameter / 2)) continue;
    const ring = regionFromRing(circleRing(port.at, port.diameter / 2, 'inscribed', 0.05));
    if (regionArea(difference(ring, region)) > TOUCH) {
      out.stop(
        'port-outside-zone',
        [...path, 'ports', i, 'at'],
        `port ${i + 1} of ${name} is not wholly inside the zone`,
        'correct its position or diameter',
      );
    }
  }
  const g = zone.grooves;
  if (g.kind === 'grid') {
    const at = [...path, 'grooves'];
    for (const axis of [0, 1] as const) {
      if (g.width >= g.pitch[axis]) {
        out.stop(
          'no-land',
          [...at, 'width'],
          `grooves ${show(g.width, units)} wide at a pitch of ${show(g.pitch[axis], units)} leave no land between them`,
          'correct `width` or `pitch`',
        );
        return;
      }
    }
    if (g.depth >= bed.thickness) {
      out.stop(
        'groove-depth',
        [...at, 'depth'],
        `grooves ${show(g.depth, units)} deep go through the bed of ${show(bed.thickness, units)}`,
        'correct `depth` or the thickness of the bed',
      );
    }
    const box = bounds(region);
    const lines =
      zone.shape.kind === 'rect'
        ? Math.min(
            gridLines(box.maxX - box.minX, g.pitch[0], g.offset?.[0]).length,
            gridLines(box.maxY - box.minY, g.pitch[1], g.offset?.[1]).length,
          )
        : gridGrooves(zone, g).length;
    if (lines === 0) {
      out.stop(
        'no-groove',
        at,
        `no groove of the grid lies inside ${name}`,
        'correct `pitch` or `offset`, or leave `grooves` out',
      );
    } else if (zone.shape.kind === 'rect') {
      const { at: low, size } = zone.shape;
      for (const axis of [0, 1] as const) {
        const first = g.offset?.[axis];
        if (first !== undefined && (first - g.width / 2 < 0 || first > size[axis])) {
          out.stop(
            'groove-outside-zone',
            [...at, 'offset', axis],
            `the first groove at ${show(low[axis] + first, units)} is not inside ${name}`,
            'correct `offset`, or leave it out to centre the grid',
          );
        }
      }
    }
  } else if (g.kind === 'channels') {
    for (const [i, c] of g.channels.entries()) {
      const at = [...path, 'grooves', 'channels', i];
      if (c.depth >= bed.thickness) {
        out.stop(
          'groove-depth',
          [...at, 'depth'],
          `channel ${i + 1} is ${show(c.depth, units)} deep and goes through the bed of ${show(bed.thickness, units)}`,
          'correct `depth`',
        );
      }
      const outside = c.points.findIndex((p) => !containsPoint(region, p));
      if (outside >= 0) {
        out.stop(
          'groove-outside-zone',
          [...at, 'points', outside],
          `channel ${i + 1} leaves ${name} at its point ${outside + 1}`,
          'correct the point',
        );
      }
    }
  }
  const gasket = zone.gasket;
  if (!gasket) return;
  const at = [...path, 'gasket'];
  if (gasket.depth >= bed.thickness) {
    out.stop(
      'gasket-depth',
      [...at, 'depth'],
      `the gasket channel is ${show(gasket.depth, units)} deep and goes through the bed`,
      'correct `depth`',
    );
  }
  if (gasket.path) {
    if (!isSimpleRing(gasket.path)) {
      out.stop(
        'crossed-polygon',
        [...at, 'path'],
        `the gasket channel of ${name} crosses itself`,
        'write the corners in order',
      );
    } else {
      const outside = gasket.path.findIndex((p) => !containsPoint(region, p));
      if (outside >= 0) {
        out.stop(
          'gasket-outside-zone',
          [...at, 'path', outside],
          `the gasket channel leaves ${name} at its corner ${outside + 1}`,
          'correct the corner',
        );
      }
    }
  } else if (gasket.inset < gasket.width / 2 - 1e-9) {
    out.stop(
      'gasket-outside-zone',
      [...at, 'inset'],
      `the gasket channel, ${show(gasket.width, units)} wide, leaves ${name} at an inset of ${show(gasket.inset, units)}`,
      `write at least ${show(gasket.width / 2, units)}`,
    );
  }
  if (gasket.cord) {
    const { form, size } = gasket.cord;
    if (size > gasket.width) {
      out.stop(
        'cord-too-wide',
        [...at, 'cord', 'size'],
        `a cord of ${show(size, units)} does not go into a channel ${show(gasket.width, units)} wide`,
        'choose a thinner cord',
      );
    } else if (size <= gasket.depth) {
      out.stop(
        'cord-too-thin',
        [...at, 'cord', 'size'],
        `a cord of ${show(size, units)} does not stand out of a channel ${show(gasket.depth, units)} deep: it cannot seal`,
        'choose a thicker cord',
      );
    }
    const area = form === 'round' ? (Math.PI * size * size) / 4 : size * size;
    if (size <= gasket.width && size > gasket.depth && area > gasket.width * gasket.depth) {
      out.stop(
        'cord-overfills',
        [...at, 'cord', 'size'],
        `a ${form} cord of ${show(size, units)} has ${area.toFixed(1)} mm2, its channel only ${(gasket.width * gasket.depth).toFixed(1)} mm2: it would lift the board`,
        'choose a thinner cord or a wider channel',
      );
    }
  }
}

function inBed(p: Point, radius: number, bed: Region, isBox: boolean): boolean {
  if (!containsPoint(bed, p)) return false;
  if (isBox) return boxHolds(bounds(bed), p, radius);
  const ring = circleRing(p, Math.max(radius, 0.01), 'inscribed', 0.05);
  return regionArea(difference(regionFromRing(ring), bed)) <= TOUCH;
}

/** The bed: outline, zones and what is in them, keep-outs, holes, slots. */
export function bedFaults(machine: Machine): Fault[] {
  const out = new FaultList();
  const { bed, units } = machine;
  const isBox = bed.outline.kind === 'rect';
  const outline = soundRegion(bed.outline, ['bed', 'outline'], 'the bed', out);

  if (bed.cutLimit >= bed.thickness) {
    out.stop(
      'cut-limit',
      ['bed', 'cut_limit'],
      `programs might go ${show(bed.cutLimit, units)} deep into a bed ${show(bed.thickness, units)} thick`,
      'correct `cut_limit` or `thickness`',
    );
  } else if (bed.cutLimit + bed.floor >= bed.thickness) {
    out.stop(
      'cut-limit',
      ['bed', 'floor'],
      `cut limit ${show(bed.cutLimit, units)} and floor ${show(bed.floor, units)} leave nothing of a bed ${show(bed.thickness, units)} thick`,
      'correct `floor`, `cut_limit` or `thickness`',
    );
  }

  const lists = [
    ['zones', 'zone', bed.zones],
    ['keep_outs', 'keep-out', bed.keepOuts],
    ['holes', 'hole', bed.holes],
    ['slots', 'slot', bed.slots],
  ] as const;
  for (const [key, what, list] of lists) {
    for (const { index, first, id } of repeated(list)) {
      out.stop(
        'repeated-name',
        ['bed', key, index, 'id'],
        `${what} \`${id}\` is here twice`,
        'give each its own name',
        { related: { path: ['bed', key, first, 'id'], message: 'the first one' } },
      );
    }
  }

  const regions = bed.zones.map((zone, i) =>
    soundRegion(zone.shape, ['bed', 'zones', i], `zone ${zone.id}`, out),
  );
  for (const [i, zone] of bed.zones.entries()) {
    const region = regions[i];
    if (!region) continue;
    const path = ['bed', 'zones', i];
    if (outline && areaOutside(region, outline, isBox) > TOUCH) {
      out.stop(
        'zone-outside-bed',
        path,
        `zone ${zone.id} reaches beyond the bed: ${beyond(region, outline, units)}`,
        'correct the zone, or the outline of the bed',
        { related: { path: ['bed', 'outline'], message: 'the outline of the bed' } },
      );
      continue;
    }
    for (let j = 0; j < i; j++) {
      const other = regions[j];
      const both = other ? overlap(region, other) : [];
      if (regionArea(both) > TOUCH) {
        const box = bounds(both);
        out.stop(
          'zones-overlap',
          path,
          `zones ${bed.zones[j]!.id} and ${zone.id} overlap by ${show(box.maxX - box.minX, units)} × ${show(box.maxY - box.minY, units)}`,
          'a place belongs to one zone: correct one of them',
          { related: { path: ['bed', 'zones', j], message: `zone ${bed.zones[j]!.id}` } },
        );
      }
    }
    zoneContents(zone, region, path, machine, out);
  }

  const board = boardRegion(machine);
  for (const [i, k] of bed.keepOuts.entries()) {
    const path = ['bed', 'keep_outs', i];
    const region = soundRegion(k.shape, path, `keep-out ${k.id}`, out);
    if (region && k.height !== null && regionArea(overlap(region, board)) > TOUCH) {
      out.stop(
        'keep-out-under-board',
        path,
        `keep-out ${k.id} stands ${show(k.height, units)} high where the board lies`,
        'correct its place, or the place of the board',
        { related: { path: ['board'], message: 'the board' } },
      );
    }
    if (k.height !== null && k.height >= machine.clearHeight) {
      out.stop(
        'clear-height',
        ['clear_height'],
        `keep-out ${k.id} stands ${show(k.height, units)} high, but the clear height is ${show(machine.clearHeight, units)}`,
        `write a clear height above ${show(k.height, units)}`,
        { related: { path: [...path, 'height'], message: `keep-out ${k.id}` } },
      );
    }
  }
  if (outline) {
    for (const [i, h] of bed.holes.entries()) {
      if (!inBed(h.at, h.diameter / 2, outline, isBox)) {
        out.stop(
          'hole-outside-bed',
          ['bed', 'holes', i, 'at'],
          `hole ${h.id} is not wholly inside the bed`,
          'correct its position or diameter',
        );
      }
    }
    for (const [i, s] of bed.slots.entries()) {
      for (const end of ['from', 'to'] as const) {
        if (!containsPoint(outline, s[end])) {
          out.stop(
            'slot-outside-bed',
            ['bed', 'slots', i, end],
            `slot ${s.id} leaves the bed`,
            'correct its ends',
          );
          break;
        }
      }
    }
    for (const key of ['mark', 'second'] as const) {
      if (!containsPoint(outline, machine.datum[key])) {
        out.stop(
          'mark-outside-bed',
          ['datum', key],
          `the datum mark at ${show(machine.datum[key][0], units)}, ${show(machine.datum[key][1], units)} is not on the bed`,
          'the marks are cut into the bed: correct the position, or the outline',
          { related: { path: ['bed', 'outline'], message: 'the outline of the bed' } },
        );
      }
    }
    const over = areaOutside(board, outline, isBox);
    if (over > TOUCH) {
      const far = beyond(board, outline, units);
      const b = bounds(board);
      const o = bounds(outline);
      const most = Math.max(o.minX - b.minX, b.maxX - o.maxX, o.minY - b.minY, b.maxY - o.maxY);
      if (most > 100 || over > regionArea(board) / 4) {
        out.stop(
          'board-outside-bed',
          ['board'],
          `the board reaches beyond the bed: ${far}`,
          'correct `at` or `size` of the board',
        );
      } else {
        out.warn(
          'board-overhangs',
          ['board'],
          `the board overhangs the bed: ${far}`,
          'nothing holds it there; correct `at` or `size` unless it is meant',
        );
      }
    }
  }
  for (const [i, c] of machine.clamps.entries()) {
    soundRegion(c.shape, ['clamps', i], `clamp ${c.id}`, out);
    if (c.height >= machine.clearHeight) {
      out.stop(
        'clear-height',
        ['clear_height'],
        `clamp ${c.id} stands ${show(c.height, units)} high, but the clear height is ${show(machine.clearHeight, units)}`,
        `write a clear height above ${show(c.height, units)}`,
      );
    }
  }
  for (const { index, first, id } of repeated(machine.clamps)) {
    out.stop(
      'repeated-name',
      ['clamps', index, 'id'],
      `clamp \`${id}\` is here twice`,
      'give each its own name',
      { related: { path: ['clamps', first, 'id'], message: 'the first one' } },
    );
  }
  return out.faults;
}
