import type { Scene } from '../scene/scene.ts';
import { ARC, RAPID, type Trace } from '../trace.ts';
import type { CutterShape } from './cutter-shape.ts';
import { HeightField, UNITS } from './height-field.ts';
import {
  type Extents,
  emptyExtents,
  forEachPiece,
  isPlaced,
  type Motions,
  motionExtents,
  motionLength,
  motionsOf,
  programExtents,
} from './motions.ts';
import { type Approach, ProximityMap, type Turning } from './proximity.ts';
import { sweepLine } from './sweep.ts';
import { motionSeconds, waitSeconds } from './time.ts';

/** The cutter as the simulation needs it; `parts` are what turns above its tip. */
export interface SimulatedCutter {
  readonly shape: CutterShape;
  /** Flutes, then shank, collet and nose where their sizes are known. */
  readonly parts: readonly Turning[];
}

export interface Deepest {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly motion: number;
}

export interface Simulation {
  readonly motions: Motions;
  readonly cutter: SimulatedCutter;
  /** Box of the tip's path, or null when nothing moves to a known place. */
  readonly extents: Extents | null;
  /** mm³ that each motion took off. */
  readonly removed: Float64Array;
  readonly removedVolume: number;
  /** Seconds that each motion takes, and all of them with the waits the program orders. */
  readonly seconds: Float64Array;
  readonly totalSeconds: number;
  /** Motions that came below the material's top while over it: the tip is in bed or board there. */
  readonly inside: Uint8Array;
  readonly deepestBed: Deepest | null;
  readonly deepestBoard: Deepest | null;
  readonly approaches: readonly Approach[];
  /** Rapids that would cut, or might (`unsure`) because their path is not known to be straight. */
  readonly cuttingRapids: readonly {
    readonly motion: number;
    readonly volume: number;
    readonly unsure: boolean;
  }[];
  readonly field: HeightField | null;
  /** Work that was done: about one step a nanosecond on a machine of today, counted and not timed. */
  readonly steps: number;
  /** First motion that was not simulated because the budget was used up; null when all were. */
  readonly gaveUpAt: number | null;
}

/** Chords of arcs stay within this of the arc, mm. */
const CHORD = 0.002;
/** The same where distances to solids are measured. */
const NEAR_CHORD = 0.02;
/** Cells that one simulation may hold, and the finest and coarsest cell, mm. */
const CELL_BUDGET = 12_000_000;
const FINEST = 0.1;
const COARSEST = 1;
/** Cells of a job of very many motions are never coarser than the cutter's radius divided by this. */
const COARSE_FOR_MANY = 2.5;
/** A rapid that takes off less than this, mm³, is rounding of the raster. */
const RAPID_VOLUME = 0.02;

/**
 * Cell size for a program: a thirtieth of the cutter, at most 1 mm, but never so fine that the swept area needs more
 * cells than the budget.
 */
function chooseCell(radius: number, cutLength: number, area: number): number {
  const swept = Math.min(area, cutLength * 2 * radius + 4 * radius * radius);
  const affordable = Math.sqrt(Math.max(swept, 1) / CELL_BUDGET);
  return Math.max(FINEST, affordable, Math.min(COARSEST, (2 * radius) / 30));
}

export interface SimulationOptions {
  /** Height of the program's Z 0 above the bed, mm. */
  readonly zeroHeight: number;
  /** False: nothing is in the spindle that could cut. */
  readonly cuts?: boolean;
  /** The material as the parts before this one left it; it is cut further, in place. */
  readonly field?: HeightField | null;
  /** Radius of the smallest cutter that will cut this material, mm; the cutter's own when left out. */
  readonly finest?: number;
  /** Steps of work that the simulation may take, see {@link Simulation.steps}; when they are used up it ends where it is. */
  readonly budget?: number;
}

/**
 * Runs a program over the scene: sweeps the cutter through the height field, follows its lowest points in bed and
 * board, and measures how near every turning part comes to each solid. `cutter: null` moves a thin pointer that cuts
 * nothing, for programs that run with nothing in the spindle.
 */
export function simulate(
  trace: Trace,
  scene: Scene,
  cutter: SimulatedCutter,
  options: SimulationOptions,
): Simulation {
  const m = motionsOf(trace, options.zeroHeight);
  const { shape } = cutter;
  const removed = new Float64Array(m.length);
  const inside = new Uint8Array(m.length);
  const cuttingRapids: { motion: number; volume: number; unsure: boolean }[] = [];
  const straightRapids = scene.machine.controller.rapids.path === 'straight';
  const top = scene.surface.highest;
  const proximity = new ProximityMap(scene.solids, cutter.parts);
  const field = options.cuts === false ? null : fieldFor(m, scene, options.finest ?? shape.radius, options);
  const box = emptyExtents();
  const own = emptyExtents();
  let deepestBed: Deepest | null = null;
  let deepestBoard: Deepest | null = null;
  let removedVolume = 0;
  const budget = options.budget ?? Infinity;
  let steps = 0;
  let gaveUpAt: number | null = null;

  for (let i = 0; i < m.length; i++) {
    if (steps + proximity.steps > budget) {
      gaveUpAt = i;
      break;
    }
    steps += STEPS_A_MOTION;
    programExtents(m, i, box);
    if (!isPlaced(m, i)) continue;
    const rapid = trace.kind[i] === RAPID;
    reset(own);
    motionExtents(m, i, own);
    if (field && rapid && !straightRapids) {
      steps += boxSteps(field, own, top);
      if (mightCut(field, own, shape.radius, top)) cuttingRapids.push({ motion: i, volume: 0, unsure: true });
    }
    let volume = 0;
    if (field && own.minZ < top) {
      forEachPiece(m, i, Math.max(CHORD, field.cell / 20), (ax, ay, az, bx, by, bz) => {
        steps += sweepSteps(field, shape, ax, ay, az, bx, by, bz);
        if (steps <= budget && Math.min(az, bz) < top)
          volume += sweepLine(field, shape, ax, ay, az, bx, by, bz);
      });
    }
    if (rapid && !straightRapids && axesMoved(own) > 1) proximity.addRegion(i, own);
    else proximity.addMotion(i, own, (visit) => forEachPiece(m, i, NEAR_CHORD, visit));
    removed[i] = volume;
    removedVolume += volume;
    if (rapid && volume > RAPID_VOLUME) cuttingRapids.push({ motion: i, volume, unsure: false });
    if (own.minZ < top && scene.overBoard(own, shape.radius)) {
      inside[i] = 1;
      if (!deepestBoard || own.minZ < deepestBoard.z) deepestBoard = { ...lowPoint(m, i), motion: i };
    }
    if (own.minZ < 0 && scene.overBed(own, shape.radius)) {
      inside[i] = 1;
      if (!deepestBed || own.minZ < deepestBed.z) deepestBed = { ...lowPoint(m, i), motion: i };
    }
  }

  const seconds = motionSeconds(m, scene.machine);
  return {
    motions: m,
    cutter,
    extents: box.minX <= box.maxX || box.minZ <= box.maxZ ? box : null,
    removed,
    removedVolume,
    seconds,
    totalSeconds: seconds.reduce((sum, s) => sum + s, waitSeconds(m, scene.machine)),
    inside,
    deepestBed,
    deepestBoard,
    approaches: proximity.approaches(),
    cuttingRapids,
    field,
    steps: steps + proximity.steps,
    gaveUpAt,
  };
}

/** What a motion costs besides the cells that it sweeps. */
const STEPS_A_MOTION = 400;
/** What a straight piece costs besides its cells, a row of cells under it, a cell of a level sweep with a flat end, and any other cell. */
const STEPS_A_PIECE = 200;
const STEPS_A_ROW = 25;
const STEPS_A_LEVEL_CELL = 1;
const STEPS_A_CELL = 25;

/** What sweeping a straight piece costs: the cells under it, more where each needs its own height. */
function sweepSteps(
  field: HeightField,
  shape: CutterShape,
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
): number {
  const r = shape.radius;
  const width = Math.min(Math.abs(bx - ax) + 2 * r, field.columns * field.cell);
  const height = Math.min(Math.abs(by - ay) + 2 * r, field.rows * field.cell);
  const along = Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay)) + 2 * r;
  const cells = Math.min(width * height, along * 2 * r) / (field.cell * field.cell);
  const level = shape.form === 'flat' && Math.abs(bz - az) <= 0.02;
  const rows = height / field.cell;
  return STEPS_A_PIECE + rows * STEPS_A_ROW + cells * (level ? STEPS_A_LEVEL_CELL : STEPS_A_CELL);
}

/** What looking at every cell of a box costs; nothing where the box is clear of the material or a line. */
function boxSteps(field: HeightField, box: Extents, top: number): number {
  if (!(box.maxX > box.minX + 1e-9 && box.maxY > box.minY + 1e-9 && box.minZ < top)) return 0;
  const width = Math.min(box.maxX - box.minX, field.columns * field.cell);
  const height = Math.min(box.maxY - box.minY, field.rows * field.cell);
  return (width * height * 2) / (field.cell * field.cell);
}

/** The material of a simulation: what is given, or untouched in cells that fit the work; null when nothing is cut. */
function fieldFor(
  m: Motions,
  scene: Scene,
  radius: number,
  { field, budget }: SimulationOptions,
): HeightField | null {
  let cutLength = 0;
  let cuts = 0;
  for (let i = 0; i < m.length; i++) {
    const low = Math.min(m.fromZ(i), m.toZ(i));
    if (!(isPlaced(m, i) && low < scene.surface.highest)) continue;
    cutLength += motionLength(m, i);
    cuts++;
  }
  const area = (scene.box.maxX - scene.box.minX) * (scene.box.maxY - scene.box.minY);
  if (!(cutLength > 0) || !(area > 0)) return null;
  if (field) return field;
  // A job of very many motions is looked at more coarsely, so that half of what it may cost goes into its cells.
  const swept = cutLength * 2 * radius + cuts * Math.PI * radius * radius;
  const within = Math.sqrt((swept * STEPS_A_CELL) / ((budget ?? Infinity) / 2));
  const cell = Math.max(chooseCell(radius, cutLength, area), Math.min(within, radius / COARSE_FOR_MANY));
  return new HeightField(scene.box, cell, scene.surface);
}

function axesMoved(box: Extents): number {
  const moved = (from: number, to: number): number => (to > from + 1e-9 ? 1 : 0);
  return moved(box.minX, box.maxX) + moved(box.minY, box.maxY) + moved(box.minZ, box.maxZ);
}

/** Does material stand in the box of a rapid of several axes, which need not run straight? */
function mightCut(field: HeightField, box: Extents, radius: number, top: number): boolean {
  if (!(axesMoved(box) > 1 && box.minZ < top)) return false;
  const margin = radius - 1e-9;
  const height = field.highestIn(box.minX - margin, box.minY - margin, box.maxX + margin, box.maxY + margin);
  return height > Math.round(box.minZ * UNITS) + 1;
}

function reset(box: Extents): void {
  box.minX = Infinity;
  box.maxX = -Infinity;
  box.minY = Infinity;
  box.maxY = -Infinity;
  box.minZ = Infinity;
  box.maxZ = -Infinity;
}

/** The lower end of a motion; the lowest point of an upright arc lies between its ends and is in its box. */
function lowPoint(m: Motions, i: number): { x: number; y: number; z: number } {
  const atEnd = m.toZ(i) <= m.fromZ(i);
  let x = atEnd ? m.toX(i) : m.fromX(i);
  let y = atEnd ? m.toY(i) : m.fromY(i);
  let z = Math.min(m.fromZ(i), m.toZ(i));
  if (m.trace.kind[i] === ARC && m.trace.plane[i] !== 17) {
    forEachPiece(m, i, CHORD, (_ax, _ay, _az, bx, by, bz) => {
      if (bz < z) {
        x = bx;
        y = by;
        z = bz;
      }
    });
  }
  return { x, y, z };
}
