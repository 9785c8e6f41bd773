import { areaText, type Diagnostic, exactLength, exactPlace, slopeText } from '@bedledger/diagnostics';
import { currentHeights, type ManifestProgram } from '@bedledger/fleet';
import { bounds } from '@bedledger/geometry';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { headTopAtWorst, stackAt } from '../scene/fasteners.ts';
import { NOTHING, TILE, UNITS } from '../simulation/height-field.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';
import { LEVEL, type Slope, slopeOf } from './target-plane.ts';

/** Passes are equal to this, mm: where their heights are rounded and the board’s top is a mean. */
const UNEVEN_PASSES = 0.12;

export interface SurfaceReport {
  readonly findings: Diagnostic[];
  readonly unsurfacedArea: number;
  /** Height of the finished surface above the bed, mm; null when nothing is surfaced. */
  readonly floor: number | null;
  /** Heights of the passes in this part and the parts before it, mm above the bed. */
  readonly levels: readonly number[];
}

interface Levels {
  /** Heights of the level cutting motions, each with the first line that runs there. */
  readonly levels: readonly { readonly z: number; readonly line: number }[];
  readonly lowest: number;
  readonly lowestLine: number;
}

function levelsOf(c: Case, slope: Slope): Levels {
  const { motions: m, inside } = c.simulation;
  const rounding = roundingOf(c.record.machine.controller);
  const levels = new Map<number, { z: number; line: number }>();
  let lowest = Infinity;
  let lowestLine = 0;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const start = m.fromZ(i) - slope.b * m.fromX(i) - slope.c * m.fromY(i);
    const end = m.toZ(i) - slope.b * m.toX(i) - slope.c * m.toY(i);
    const z = Math.min(start, end);
    if (z < lowest) {
      lowest = z;
      lowestLine = c.trace.line[i]!;
    }
    // On a slope both ends are rounded on their own.
    if (Math.abs(end - start) > (slope === LEVEL ? rounding : 2 * rounding)) continue;
    const key = Math.round(z / (2 * rounding));
    if (!levels.has(key)) levels.set(key, { z, line: c.trace.line[i]! });
  }
  return { levels: [...levels.values()], lowest, lowestLine };
}

/**
 * Everything reachable cut to one height, in passes that are not too deep, with cover and thickness left.
 * @param earlier heights of the passes that earlier parts of the program cut, mm above the bed
 */
export function checkSurface(c: Case, entry: ManifestProgram, earlier: readonly number[]): SurfaceReport {
  const { units } = c.record.machine;
  const { house, machine, state } = c.record;
  const lastPart = entry.part === entry.parts;
  const { simulation, scene } = c;
  const { field } = simulation;
  const found: Diagnostic[] = [];
  const rounding = roundingOf(machine.controller);

  const turned = entry.operation === 'underside-skim';
  const { skim } = machine.surfacing;
  const map = turned || skim.from === 'depth' ? null : currentHeights(c.record.heights, state);
  const tilted = skim.plane === 'best' && map !== null && map.points.length > 0;
  // heights of this rule are counted from the plane through X0 Y0 that the rows lie in; a level one by the profile
  const slope = tilted ? slopeOf(c, house.surfacing.maxTilt) : LEVEL;
  const above = (x: number, y: number): number => slope.b * x + slope.c * y;
  const top = tilted ? Math.max(...map.points.map(([x, y, z]) => z - above(x, y))) : scene.boardTop;
  const box = scene.board ? bounds(scene.board) : null;
  const corners = box
    ? [
        above(box.minX, box.minY),
        above(box.maxX, box.minY),
        above(box.minX, box.maxY),
        above(box.maxX, box.maxY),
      ]
    : [0];
  const { levels, lowest: ownLowest, lowestLine } = levelsOf(c, slope);
  const lowest = Math.min(ownLowest, ...earlier);
  if (lowest === Infinity) {
    found.push(
      report({ code: 'work/unsurfaced', ...inFile(c.file), message: 'the program surfaces nothing' }),
    );
    return { findings: found, unsurfacedArea: 0, floor: null, levels: earlier };
  }
  // every level of this part against the one above it, in this part or an earlier one
  const all = [top, ...earlier, ...levels.map((level) => level.z)];
  for (const level of levels) {
    const next = Math.min(...all.filter((z) => z > level.z + 2 * rounding));
    const step = next - level.z;
    if (Number.isFinite(step) && step > machine.surfacing.depthPerPass + 2 * rounding + 1e-3) {
      found.push(
        report({
          code: 'work/pass-depth',
          ...inFile(c.file, level.line, 'Z'),
          message: `a pass at ${exactLength(level.z, units)} takes ${exactLength(step, units)}, the depth per pass is ${exactLength(machine.surfacing.depthPerPass, units)}`,
          facts: { found: step, allowed: machine.surfacing.depthPerPass },
        }),
      );
    }
  }

  // passes share what is to be taken off; one that differs from the next hides a slip in the other
  if (lastPart) {
    const heights = [top, ...earlier, ...levels.map((level) => level.z)].sort((a, b) => b - a);
    const steps = heights
      .slice(1)
      .map((z, k) => heights[k]! - z)
      .filter((step) => step > 2 * rounding);
    const most = Math.max(...steps);
    const least = Math.min(...steps);
    if (steps.length > 1 && most - least > UNEVEN_PASSES) {
      found.push(
        report({
          code: 'work/uneven-passes',
          ...inFile(c.file, lowestLine),
          message: `the passes take between ${exactLength(least, units)} and ${exactLength(most, units)}: passes should be equally deep`,
          facts: { least, most },
        }),
      );
    }
  }
  const board = state.board;
  if (lastPart) found.push(...checkDepth(c, lowest, lowestLine, slope, turned));
  const thinnest = lowest + Math.min(...corners);
  if (thinnest < machine.board.leastThickness - rounding) {
    found.push(
      report({
        code: 'work/least-thickness',
        ...inFile(c.file, lowestLine, 'Z'),
        message: `the board would be ${exactLength(thinnest, units)} thick, its least thickness is ${exactLength(machine.board.leastThickness, units)}`,
        facts: { found: thinnest, allowed: machine.board.leastThickness },
      }),
    );
  }
  if (!turned && board?.pocketed) {
    for (const insert of state.inserts) {
      const solved = stackAt(c.record, insert.at, 0);
      if (!solved.feasible) continue;
      const cover = lowest + above(insert.at[0], insert.at[1]) - solved.stack.headTop;
      if (cover < house.stack.coverMin - rounding) {
        found.push(
          report({
            code: 'work/cover',
            ...inFile(c.file, lowestLine, 'Z'),
            message: `${exactLength(cover, units)} of board would be left over the head at ${insert.site} (its top may reach ${exactLength(headTopAtWorst(c.record, solved.stack), units)}), the house needs ${exactLength(house.stack.coverMin, units)}`,
            facts: { site: insert.site, found: cover, needed: house.stack.coverMin },
          }),
        );
        break;
      }
    }
  }

  let unsurfacedArea = 0;
  if (field && scene.board && lastPart) {
    // what the cutter's rim can reach from inside the travel, shrunk by one cell against the raster's own edge
    const r = simulation.cutter.shape.radius;
    const { cell } = field;
    const box = bounds(scene.board);
    // beside a strip that stays uncut anyway, the round ends of the rows leave their triangles: r − √(r² − (s/2)²)
    const halfStep = Math.min(r, machine.surfacing.stepover * r);
    const triangle = r - Math.sqrt(r * r - halfStep * halfStep);
    const near = (edge: number, limit: number): number =>
      limit > edge ? limit + cell + triangle : edge + cell;
    const reach = {
      minX: near(box.minX, machine.travel.x[0] - r),
      maxX: -near(-box.maxX, -(machine.travel.x[1] + r)),
      minY: near(box.minY, machine.travel.y[0] - r),
      maxY: -near(-box.maxY, -(machine.travel.y[1] + r)),
    };
    const limit = (x: number, y: number): number => Math.round((lowest + above(x, y) + 0.02) * UNITS);
    let cells = 0;
    let firstX = 0;
    let firstY = 0;
    const c0 = Math.max(0, Math.ceil((reach.minX - field.x0) / cell - 0.5));
    const c1 = Math.min(field.columns - 1, Math.floor((reach.maxX - field.x0) / cell - 0.5));
    const r0 = Math.max(0, Math.ceil((reach.minY - field.y0) / cell - 0.5));
    const r1 = Math.min(field.rows - 1, Math.floor((reach.maxY - field.y0) / cell - 0.5));
    for (let tileY = Math.floor(r0 / TILE); tileY * TILE <= r1; tileY++) {
      for (let tileX = Math.floor(c0 / TILE); tileX * TILE <= c1; tileX++) {
        const heights = field.tileIfTouched(tileX, tileY) ?? field.untouched(tileX, tileY);
        const iFrom = Math.max(0, c0 - tileX * TILE);
        const iTo = Math.min(TILE - 1, c1 - tileX * TILE);
        const jTo = Math.min(TILE - 1, r1 - tileY * TILE);
        for (let j = Math.max(0, r0 - tileY * TILE); j <= jTo; j++) {
          for (let k = j * TILE + iFrom; k <= j * TILE + iTo; k++) {
            const h = heights[k]!;
            const x = field.x0 + (tileX * TILE + (k - j * TILE) + 0.5) * cell;
            const y = field.y0 + (tileY * TILE + j + 0.5) * cell;
            if (h > limit(x, y) && h !== NOTHING) {
              if (cells === 0) {
                firstX = x;
                firstY = y;
              }
              cells++;
            }
          }
        }
      }
    }
    unsurfacedArea = cells * cell * cell;
    // corners beyond both travels are out of a round cutter's reach: cells there are not held against the program
    if (cells > 0 && !onlyUnreachableCorners(c, limit, reach, r)) {
      found.push(
        report({
          code: 'work/unsurfaced',
          ...inFile(c.file),
          message: `${areaText(unsurfacedArea, units)} of the board stay above ${exactLength(lowest, units)}, the first at ${exactPlace([firstX, firstY], units)}`,
          facts: { area: unsurfacedArea, x: firstX, y: firstY },
        }),
      );
    }
  }
  return {
    findings: found,
    unsurfacedArea,
    floor: lowest,
    levels: [...earlier, ...levels.map((level) => level.z)],
  };
}

/** What the profile and the ledger say a skim is to take off, against what the program does. */
function checkDepth(c: Case, lowest: number, line: number, slope: Slope, turned: boolean): Diagnostic[] {
  const { units } = c.record.machine;
  const { house, machine, state, heights } = c.record;
  const { skim } = machine.surfacing;
  const board = state.board;
  if (!board) return [];
  const found: Diagnostic[] = [];
  const tell = (message: string, facts: Record<string, number>): void => {
    found.push(report({ code: 'work/skim-depth', ...inFile(c.file, line, 'Z'), message, facts }));
  };
  const tolerance = 2 * roundingOf(machine.controller) + 0.01;
  const tilt = Math.sqrt(slope.b * slope.b + slope.c * slope.c);
  const steepest = Math.tan(house.surfacing.maxTilt);
  if (tilt > steepest * 1.01 + 1e-6) {
    tell(
      `the finished surface leans by ${slopeText(tilt, units)}, the house allows ${slopeText(steepest, units)}`,
      { found: tilt, allowed: steepest },
    );
  }
  const map = turned || skim.from === 'depth' ? null : currentHeights(heights, state);
  if (map && map.points.length > 0) {
    let least = Infinity;
    for (const [x, y, z] of map.points) least = Math.min(least, z - slope.b * x - slope.c * y - lowest);
    if (least < machine.surfacing.margin - tolerance) {
      tell(
        `the surface lies ${exactLength(least, units)} below the lowest point of ${map.file}, the profile's margin is ${exactLength(machine.surfacing.margin, units)}: places would stay uncut`,
        { found: least, needed: machine.surfacing.margin },
      );
    }
    return found;
  }
  const depth = turned ? (machine.board.undersideSkim ?? house.stack.skim) : (skim.depth ?? house.stack.skim);
  const wanted = board.thinnest - depth;
  if (Math.abs(lowest - wanted) > tolerance) {
    tell(
      `the surface ends ${exactLength(lowest, units)} above the bed; ${exactLength(depth, units)} below the thinnest place measured, ${exactLength(board.thinnest, units)}, is ${exactLength(wanted, units)}`,
      { found: lowest, wanted },
    );
  }
  return found;
}

/** True when every cell left standing is farther than the cutter's radius from the box of the travel. */
function onlyUnreachableCorners(
  c: Case,
  limit: (x: number, y: number) => number,
  reach: { minX: number; maxX: number; minY: number; maxY: number },
  r: number,
): boolean {
  const field = c.simulation.field!;
  const { travel } = c.record.machine;
  const { cell } = field;
  for (let row = 0; row < field.rows; row++) {
    const y = field.y0 + (row + 0.5) * cell;
    if (y < reach.minY || y > reach.maxY) continue;
    const dy = Math.max(0, travel.y[0] - y, y - travel.y[1]);
    for (let column = 0; column < field.columns; column++) {
      const x = field.x0 + (column + 0.5) * cell;
      if (x < reach.minX || x > reach.maxX) continue;
      const h = field.heightAt(column, row);
      if (h <= limit(x, y) || h === NOTHING) continue;
      const dx = Math.max(0, travel.x[0] - x, x - travel.x[1]);
      if (dx * dx + dy * dy < (r - cell) * (r - cell)) return false;
    }
  }
  return true;
}
