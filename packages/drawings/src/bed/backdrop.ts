import {
  type BedFeature,
  bedFeatures,
  bedRegion,
  boardRegion,
  type FeatureKind,
  type Machine,
  zoneRegion,
} from '@bedledger/fleet';
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

/** Grooves, ports and gaskets, which the board hides. */
const UNDER_BOARD = {
  'stroke-width': NARROW * 0.72,
  'stroke-dasharray': '1.4 0.7',
  stroke: INK.second,
  'fill-rule': 'evenodd',
} as const;

/** Corners of the area that the spindle's axis reaches, bed frame. */
function reachRing(machine: Machine): readonly Point[] {
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

/** How each kind of feature is drawn; null: a keep-out, which every detail but the board's edge shows. */
const FEATURE_LINES: Readonly<Record<FeatureKind, Readonly<Record<string, string | number>> | null>> = {
  groove: UNDER_BOARD,
  port: UNDER_BOARD,
  gasket: UNDER_BOARD,
  hole: { ...LINE.hidden, stroke: INK.ink },
  slot: { ...LINE.hidden, stroke: INK.ink },
  'keep-out': null,
};

function featurePath(feature: BedFeature, d: string, detail: BackdropDetail): string | null {
  const lines = FEATURE_LINES[feature.kind];
  if (lines !== null) return detail === 'full' ? element('path', { d, ...lines }) : null;
  const stroke = feature.metal ? INK.metal : INK.ink;
  return element('path', { d, ...LINE.narrow, fill: hatch('keepOut'), stroke, 'fill-rule': 'evenodd' });
}

/**
 * Zones, grooves, ports, keep-outs and the edge of the bed, mapped by `transform` from the drawing of the bed to where things
 * were found; the board's edge and the reach of the spindle, which lie along the machine's axes whatever the bed does.
 */
export function backdrop(
  machine: Machine,
  transform: Transform,
  view: View,
  detail: BackdropDetail,
): string[] {
  const mapped = (region: Region): string => view.region(mapRegion(region, transform));
  const boardEdge = element('path', { d: view.region(boardRegion(machine)), ...LINE.wide });
  if (detail === 'board') return [boardEdge];
  const zones = detail === 'full' ? machine.bed.zones : [];
  const features = bedFeatures(machine).flatMap((feature) => {
    const d = mapped(feature.region);
    return d === '' ? [] : (featurePath(feature, d, detail) ?? []);
  });
  return [
    ...zones.map((zone) =>
      element('path', { d: mapped(zoneRegion(zone)), ...LINE.hidden, stroke: INK.second }),
    ),
    ...features,
    element('path', { d: mapped(bedRegion(machine)), ...LINE.wide }),
    boardEdge,
    element('path', { d: view.ring(reachRing(machine)), ...LINE.reach, stroke: INK.second }),
  ];
}
