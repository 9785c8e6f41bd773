import {
  type BedFeature,
  bedFeatures,
  bedRegion,
  boardRegion,
  type Machine,
  type MachineRecord,
  shapeRegion,
} from '@bedledger/fleet';
import { applyTransform, type Box, bounds, mapRegion, type Point, type Region } from '@bedledger/geometry';
import type { InitialSurface } from '../simulation/height-field.ts';
import { type Layer, layeredSurface } from '../simulation/layered-surface.ts';
import { headTopAtWorst, stackAt } from './fasteners.ts';
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
export interface PlacedFeature extends Omit<BedFeature, 'region'> {
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
  readonly surface: InitialSurface;
  /** Box of everything that can be cut. */
  readonly box: Box;
  /** Does a tip moving through `box` reach over the board, the cutter's radius included? */
  readonly overBoard: (
    box: { minX: number; maxX: number; minY: number; maxY: number },
    radius: number,
  ) => boolean;
  readonly overBed: (
    box: { minX: number; maxX: number; minY: number; maxY: number },
    radius: number,
  ) => boolean;
}

function meets(region: Box) {
  return (box: { minX: number; maxX: number; minY: number; maxY: number }, radius: number): boolean =>
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
export function highestOfBoard(record: MachineRecord): number {
  const thickness = boardThickness(record);
  const latest = record.state.latestHeights;
  const map = latest === null ? undefined : record.heights.find((h) => h.file.endsWith(latest));
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
  const { machine, state, fixing } = record;
  const placement = placeBed(record);
  const { transform } = placement;
  const bed = mapRegion(bedRegion(machine), transform);
  const features: PlacedFeature[] = bedFeatures(machine).map((feature) => {
    const region = mapRegion(feature.region, transform);
    return { ...feature, region, box: bounds(region) };
  });
  const onBed = setting.board === 'fitted';
  const board = onBed ? boardRegion(machine) : null;
  const boardTop = onBed ? highestOfBoard(record) : 0;

  const solids: Solid[] = [];
  for (const insert of state.inserts) {
    solids.push(
      discSolid({
        name: `insert at ${insert.site}`,
        kind: 'insert',
        metal: fixing.insert.material !== 'pa66',
        x: insert.at[0],
        y: insert.at[1],
        radius: (fixing.insert.outside.value + fixing.insert.outside.uncertainty) / 2,
        bottom: -fixing.insert.length.value,
        top: 0,
        uncertainty: 0,
        site: insert.site,
      }),
    );
    if (!setting.screws) continue;
    const solved = stackAt(record, insert.at, 0);
    if (!solved.feasible) continue;
    const { stack } = solved;
    const head = fixing.screw.headDiameter;
    const width = Math.max(
      head.value + head.uncertainty,
      fixing.washer ? fixing.washer.outside.value + fixing.washer.outside.uncertainty : 0,
    );
    solids.push(
      discSolid({
        name: `screw head at ${insert.site}`,
        kind: 'screw',
        metal: fixing.screw.material !== 'pa66',
        x: insert.at[0],
        y: insert.at[1],
        radius: width / 2,
        bottom: stack.web,
        top: headTopAtWorst(record, stack),
        uncertainty: 0,
        site: insert.site,
      }),
      discSolid({
        name: `screw at ${insert.site}`,
        kind: 'screw',
        metal: fixing.screw.material !== 'pa66',
        x: insert.at[0],
        y: insert.at[1],
        radius: fixing.screw.thread.majorDiameter / 2,
        bottom: -fixing.insert.length.value,
        top: stack.web,
        uncertainty: 0,
        site: insert.site,
      }),
    );
  }
  for (const feature of features) {
    if (feature.kind !== 'keep-out' || feature.height === null) continue;
    const middle: Point = [
      (feature.box.minX + feature.box.maxX) / 2,
      (feature.box.minY + feature.box.maxY) / 2,
    ];
    solids.push(
      ringSolid({
        name: feature.name,
        kind: 'keep-out',
        metal: feature.metal,
        rings: feature.region.flatMap((polygon) => [polygon.outer, ...polygon.holes]),
        bottom: -machine.bed.thickness,
        top: feature.height,
        uncertainty: placement.uncertaintyAt(middle),
        site: null,
      }),
    );
  }
  if (setting.clamps) {
    for (const clamp of machine.clamps) {
      const region = shapeRegion(clamp.shape, 'circumscribed');
      solids.push(
        ringSolid({
          name: `clamp ${clamp.id}`,
          kind: 'clamp',
          metal: true,
          rings: region.flatMap((polygon) => [polygon.outer, ...polygon.holes]),
          bottom: 0,
          top: clamp.height,
          uncertainty: 0,
          site: null,
        }),
      );
    }
  }

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
  const box: Box = boardBox
    ? {
        minX: Math.min(bedBox.minX, boardBox.minX),
        minY: Math.min(bedBox.minY, boardBox.minY),
        maxX: Math.max(bedBox.maxX, boardBox.maxX),
        maxY: Math.max(bedBox.maxY, boardBox.maxY),
      }
    : bedBox;
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
    surface,
    box,
    overBoard: boardBox ? meets(boardBox) : () => false,
    overBed: meets(bedBox),
  };
}

/** Image of a nominal point in the frame programs use. */
export function toActual(scene: Scene, nominal: Point): Point {
  return applyTransform(scene.placement.transform, nominal);
}
