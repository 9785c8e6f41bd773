import { bedFeatures, bedRegion, boardRegion, type Machine, zoneRegion } from '@bedledger/fleet';
import {
  type Box,
  boxOfRings,
  mapRegion,
  type Point,
  type Region,
  type Transform,
} from '@bedledger/geometry';
import { hatch } from '../svg/hatch.ts';
import { INK, LINE, NARROW } from '../svg/ink.ts';
import { element } from '../svg/markup.ts';
import type { View } from '../svg/view.ts';

/** Corners of the area that the spindle's axis reaches, bed frame. */
export function reachRing(machine: Machine): readonly Point[] {
  const { x, y } = machine.travel;
  return [
    [x[0], y[0]],
    [x[1], y[0]],
    [x[1], y[1]],
    [x[0], y[1]],
  ];
}

/** Box of bed, board and reach together: what a drawing of the whole machine must show. */
export function machineBox(machine: Machine, transform: Transform): Box {
  const outers = (region: Region): (readonly Point[])[] => region.map((p) => p.outer);
  return boxOfRings([
    ...outers(mapRegion(bedRegion(machine), transform)),
    ...outers(boardRegion(machine)),
    reachRing(machine),
  ]);
}

/** How much of the bed a picture shows behind its own matter: all of it, the edges and keep-outs alone, or the board's edge. */
export type BackdropDetail = 'full' | 'edges' | 'board';

/**
 * Zones, grooves, ports, keep-outs, the edges of bed and board and the reach of the spindle, mapped by `transform` from the drawing of
 * the bed to where things were found.
 */
export function backdrop(
  machine: Machine,
  transform: Transform,
  view: View,
  detail: BackdropDetail,
): string[] {
  const mapped = (region: Region): string => view.region(mapRegion(region, transform));
  const out: string[] = [];
  if (detail === 'board') return [element('path', { d: view.region(boardRegion(machine)), ...LINE.wide })];
  if (detail === 'full') {
    for (const zone of machine.bed.zones) {
      out.push(element('path', { d: mapped(zoneRegion(zone)), ...LINE.hidden, stroke: INK.second }));
    }
  }
  for (const feature of bedFeatures(machine)) {
    const d = mapped(feature.region);
    if (d === '') continue;
    if (feature.kind === 'keep-out') {
      const stroke = feature.metal ? INK.metal : INK.ink;
      out.push(
        element('path', { d, ...LINE.narrow, fill: hatch('keepOut'), stroke, 'fill-rule': 'evenodd' }),
      );
    } else if (detail === 'edges') {
    } else if (feature.kind === 'hole' || feature.kind === 'slot') {
      out.push(element('path', { d, ...LINE.hidden, stroke: INK.ink }));
    } else {
      out.push(
        element('path', {
          d,
          'stroke-width': NARROW * 0.72,
          'stroke-dasharray': '1.4 0.7',
          stroke: INK.second,
          'fill-rule': 'evenodd',
        }),
      );
    }
  }
  out.push(element('path', { d: mapped(bedRegion(machine)), ...LINE.wide }));
  out.push(element('path', { d: view.region(boardRegion(machine)), ...LINE.wide }));
  out.push(element('path', { d: view.ring(reachRing(machine)), ...LINE.reach, stroke: INK.second }));
  return out;
}
