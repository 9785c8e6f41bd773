import type { Fixing, Insert, Stack } from '@bedledger/fasteners';
import {
  type BedFeature,
  bedFeatures,
  bedRegion,
  boardRegion,
  currentHeights,
  type Machine,
  type MachineRecord,
  shapeRegion,
} from '@bedledger/fleet';
import { type Box, bounds, boxOfBoth, mapRegion, type Point, type Region } from '@bedledger/geometry';
import type { InitialSurface } from '../simulation/height-field.ts';
import { type Layer, layeredSurface } from '../simulation/layered-surface.ts';
import { headTopAtWorst, stackAt } from './fasteners.ts';
import { readBoard } from './hold.ts';
import { type BedPlacement, placeBed } from './registration.ts';
import { discSolid, ringSolid, type Solid } from './solid.ts';

/** What is on the bed while a program runs. */
export interface Setting {
  readonly board: 'none' | 'fitted';
  /** Screws are in the board. */
  readonly screws: boolean;
  /** Clamps of the profile stand. */
  readonly clamps: boolean;
}

/** A feature of the bed where it really is. */
interface PlacedFeature extends Omit<BedFeature, 'region'> {
  readonly region: Region;
  readonly box: Box;
}

/** The bed as it stands today, in the frame that programs use, mm: everything a program can meet. */
export interface Scene {
  readonly record: MachineRecord;
  readonly machine: Machine;
  readonly setting: Setting;
  readonly placement: BedPlacement;
  readonly bed: Region;
  readonly board: Region | null;
  /** Top of the board (0 without one). */
  readonly boardTop: number;
  readonly features: readonly PlacedFeature[];
  readonly solids: readonly Solid[];
  /** Sites where screws stand in the board that nobody recorded: how high they reach is not known. */
  readonly unknownScrews: readonly string[];
  /** What the surface is painted from, the lowest first. */
  readonly layers: readonly Layer[];
  readonly surface: InitialSurface;
  /** Top of the highest thing that stands on the bed, mm: board, screw heads, clamps, keep-outs. */
  readonly highest: number;
  /** Box of everything that can be cut. */
  readonly box: Box;
  /** Does a tip moving through `box` reach over the board, the cutter's radius included? */
  readonly overBoard: (box: Box, radius: number) => boolean;
  readonly overBed: (box: Box, radius: number) => boolean;
}

/** Asks whether a tip moving through a box reaches over the region's, the cutter's radius included. */
export function meets(region: Box) {
  return (box: Box, radius: number): boolean =>
    box.maxX + radius > region.minX &&
    box.minX - radius < region.maxX &&
    box.maxY + radius > region.minY &&
    box.minY - radius < region.maxY;
}

/** Thickness of the board that is, or will be, on the bed. */
export function boardThickness(record: MachineRecord): number {
  return record.state.board?.thickness ?? record.stock.thickness;
}

/** Highest point of the board's top: the latest height map's where there is one for this board. */
function highestOfBoard(record: MachineRecord): number {
  const thickness = boardThickness(record);
  const map = currentHeights(record.heights, record.state);
  let highest = thickness;
  for (const [, , z] of map?.points ?? []) if (z > highest) highest = z;
  return highest;
}

const scenesByRecord = new WeakMap<MachineRecord, Map<string, Scene>>();

/** The scene of a record by what stands on the bed; each is built once for as long as the record lives. */
export function sceneOf(record: MachineRecord, setting: Setting): Scene {
  const scenes = scenesByRecord.get(record) ?? new Map<string, Scene>();
  scenesByRecord.set(record, scenes);
  const key = `${setting.board} ${setting.screws} ${setting.clamps}`;
  const scene = scenes.get(key) ?? buildScene(record, setting);
  scenes.set(key, scene);
  return scene;
}

/** Builds the scene of one setting from the record alone. */
function buildScene(record: MachineRecord, setting: Setting): Scene {
  const { machine } = record;
  const placement = placeBed(record);
  const bed = mapRegion(bedRegion(machine), placement.transform);
  const features: PlacedFeature[] = bedFeatures(machine).map((feature) => {
    const region = mapRegion(feature.region, placement.transform);
    return { ...feature, region, box: bounds(region) };
  });
  const onBed = setting.board === 'fitted';
  const board = onBed ? boardRegion(machine) : null;
  const boardTop = onBed ? highestOfBoard(record) : 0;
  const fixings = fixingSolids(record, setting.screws);
  const solids = [
    ...fixings.solids,
    ...keepOutSolids(machine, features, placement),
    ...(setting.clamps ? clampSolids(machine) : []),
  ];

  const layers: Layer[] = [{ region: bed, height: 0 }];
  for (const feature of features) {
    if (feature.kind === 'keep-out') continue;
    const depth = feature.depth ?? machine.bed.thickness;
    layers.push({ region: feature.region, height: -depth });
  }
  if (board) layers.push({ region: board, height: boardTop });
  const surface = layeredSurface(layers);
  const bedBox = bounds(bed);
  const boardBox = board ? bounds(board) : null;
  return {
    record,
    machine,
    setting,
    placement,
    bed,
    board,
    boardTop,
    features,
    solids,
    unknownScrews: fixings.unknownScrews,
    layers,
    surface,
    highest: solids.reduce((top, solid) => Math.max(top, solid.top), surface.highest),
    box: boardBox ? boxOfBoth(bedBox, boardBox) : bedBox,
    overBoard: boardBox ? meets(boardBox) : () => false,
    overBed: meets(bedBox),
  };
}

type InsertInBed = MachineRecord['state']['inserts'][number];

/** Inserts, and with them the screws where these are in the board; and the sites of which nobody recorded the screws. */
function fixingSolids(
  record: MachineRecord,
  screws: boolean,
): { readonly solids: Solid[]; readonly unknownScrews: string[] } {
  const solids: Solid[] = [];
  const unknownScrews: string[] = [];
  const board = readBoard(record, record.state.inserts);
  for (const insert of record.state.inserts) {
    const own = stackAt(record, board, { site: insert.site, at: insert.at, uncertainty: 0 });
    solids.push(insertSolid(record, insert, own.fixing.insert));
    if (!screws) continue;
    if (own.stack) solids.push(...screwSolids(insert, own.fixing, own.stack));
    else if (own.unknown) unknownScrews.push(insert.site);
  }
  return { solids, unknownScrews };
}

/** The insert; where its own figures are not recorded, no slimmer than its bore. */
function insertSolid(record: MachineRecord, { site, at, figures }: InsertInBed, insert: Insert): Solid {
  const bore = figures ? 0 : (record.state.sites.get(site)?.diameter ?? 0) / 2;
  return discSolid({
    name: `insert at ${site}`,
    kind: 'insert',
    metal: insert.material !== 'pa66',
    x: at[0],
    y: at[1],
    radius: Math.max((insert.outside.value + insert.outside.uncertainty) / 2, bore),
    bottom: -insert.length.value,
    top: 0,
    uncertainty: 0,
    site,
  });
}

/** Head, with its washer, and shaft of the screw at a site. */
function screwSolids({ site, at }: InsertInBed, fixing: Fixing, stack: Stack): Solid[] {
  const { insert, screw, washer } = fixing;
  const head = screw.headDiameter.value + screw.headDiameter.uncertainty;
  const width = Math.max(head, washer ? washer.outside.value + washer.outside.uncertainty : 0);
  const common = {
    kind: 'screw',
    metal: screw.material !== 'pa66',
    x: at[0],
    y: at[1],
    uncertainty: 0,
    site,
  } as const;
  return [
    discSolid({
      ...common,
      name: `screw head at ${site}`,
      radius: width / 2,
      bottom: stack.web,
      top: headTopAtWorst({ fixing, stack }),
    }),
    discSolid({
      ...common,
      name: `screw at ${site}`,
      radius: screw.thread.majorDiameter / 2,
      bottom: -insert.length.value,
      top: stack.web,
    }),
  ];
}

/** Keep-outs that stand up from the bed; one without a height is a place and no solid. */
function keepOutSolids(
  machine: Machine,
  features: readonly PlacedFeature[],
  placement: BedPlacement,
): Solid[] {
  return features.flatMap(({ kind, name, metal, height, region, box }) => {
    if (kind !== 'keep-out' || height === null) return [];
    const middle: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
    return [
      ringSolid({
        name,
        kind: 'keep-out',
        metal,
        rings: ringsOf(region),
        bottom: -machine.bed.thickness,
        top: height,
        uncertainty: placement.uncertaintyAt(middle),
        site: null,
      }),
    ];
  });
}

function clampSolids(machine: Machine): Solid[] {
  return machine.clamps.map((clamp) =>
    ringSolid({
      name: `clamp ${clamp.id}`,
      kind: 'clamp',
      metal: true,
      rings: ringsOf(shapeRegion(clamp.shape, 'circumscribed')),
      bottom: 0,
      top: clamp.height,
      uncertainty: 0,
      site: null,
    }),
  );
}

function ringsOf(region: Region): Region[number]['outer'][] {
  return region.flatMap((polygon) => [polygon.outer, ...polygon.holes]);
}
