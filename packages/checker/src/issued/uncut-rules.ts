import { areaText, type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { type Box, bounds } from '@bedledger/geometry';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { type HeightField, NOTHING, TILE, UNITS } from '../simulation/height-field.ts';

/** A cell counts as uncut when it stands this much above the finished surface, mm. */
export const STANDING = 0.02;

type Height = (x: number, y: number) => number;

/**
 * What a finished skim leaves uncut although the cutter could reach it.
 * @param surface the finished surface, mm above the bed
 * @param lowest its height at X0 Y0, for the message
 */
export function checkUncut(
  c: Case,
  surface: Height,
  lowest: number,
): { findings: Diagnostic[]; area: number } {
  const { field } = c.simulation;
  if (!field || !c.scene.board) return { findings: [], area: 0 };
  const reach = reachOf(c, bounds(c.scene.board), field.cell);
  const limit: Height = (x, y) => Math.round((surface(x, y) + STANDING) * UNITS);
  const { cells, first } = standingCells(field, reach, limit);
  const area = cells * field.cell * field.cell;
  if (cells === 0 || onlyUnreachableCorners(c, field, reach, limit)) return { findings: [], area };
  const { units } = c.record.machine;
  const message = `${areaText(area, units)} of the board stay above ${exactLength(lowest, units)}, the first at ${exactPlace(first, units)}`;
  const facts = { area, x: first[0], y: first[1] };
  return { findings: [report({ code: 'work/unsurfaced', ...inFile(c.file), message, facts })], area };
}

/** What the cutter's rim can reach from inside the travel, shrunk by one cell against the raster's own edge. */
function reachOf(c: Case, board: Box, cell: number): Box {
  const { travel, surfacing } = c.record.machine;
  const r = c.simulation.cutter.shape.radius;
  // beside a strip that stays uncut anyway, the round ends of the rows leave their triangles: r − √(r² − (s/2)²)
  const halfStep = Math.min(r, surfacing.stepover * r);
  const triangle = r - Math.sqrt(r * r - halfStep * halfStep);
  const near = (edge: number, limit: number): number =>
    limit > edge ? limit + cell + triangle : edge + cell;
  return {
    minX: near(board.minX, travel.x[0] - r),
    maxX: -near(-board.maxX, -(travel.x[1] + r)),
    minY: near(board.minY, travel.y[0] - r),
    maxY: -near(-board.maxY, -(travel.y[1] + r)),
  };
}

/** Counts the cells inside `reach` that stand higher than `limit` (in units of the field), and says where the first is. */
export function standingCells(
  field: HeightField,
  reach: Box,
  limit: Height,
): { cells: number; first: [number, number] } {
  const { cell } = field;
  const c0 = Math.max(0, Math.ceil((reach.minX - field.x0) / cell - 0.5));
  const c1 = Math.min(field.columns - 1, Math.floor((reach.maxX - field.x0) / cell - 0.5));
  const r0 = Math.max(0, Math.ceil((reach.minY - field.y0) / cell - 0.5));
  const r1 = Math.min(field.rows - 1, Math.floor((reach.maxY - field.y0) / cell - 0.5));
  let cells = 0;
  let first: [number, number] = [0, 0];
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
          if (h <= limit(x, y) || h === NOTHING) continue;
          if (cells === 0) first = [x, y];
          cells++;
        }
      }
    }
  }
  return { cells, first };
}

/**
 * True when every cell left standing is farther than the cutter's radius from the box of the travel: corners beyond both
 * travels are out of a round cutter's reach and are not held against the program.
 */
function onlyUnreachableCorners(c: Case, field: HeightField, reach: Box, limit: Height): boolean {
  const { travel } = c.record.machine;
  const { cell } = field;
  const near = c.simulation.cutter.shape.radius - cell;
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
      if (dx * dx + dy * dy < near * near) return false;
    }
  }
  return true;
}
