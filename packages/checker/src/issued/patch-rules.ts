import { areaText, type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { distance, nearestPointIn, type Point, rectangleRing, regionFromRing } from '@bedledger/geometry';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { stackAt } from '../scene/fasteners.ts';
import { readBoard } from '../scene/hold.ts';
import { UNITS } from '../simulation/height-field.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';
import { STANDING, standingCells } from './uncut-rules.ts';

/**
 * A patch is cut inside its rectangle and nowhere else, to its depth below the thinnest place measured and no deeper, whole but
 * for its rounded corners; the board keeps its least thickness there, and every head its cover.
 */
export function checkPatch(c: Case): Diagnostic[] {
  const { machine, state } = c.record;
  const { patch } = machine.board;
  if (patch === null || state.board === null) return [];
  const floor = state.board.thinnest - patch.depth;
  const lowest = lowestCut(c);
  const { units } = machine;
  const wrong = (message: string, line?: number): Diagnostic =>
    report({ code: 'work/patch', ...inFile(c.file, line), message });
  const found: Diagnostic[] = [];
  if (lowest === null || Math.abs(lowest.z - floor) > 2 * roundingOf(machine.controller)) {
    const reached = lowest === null ? 'cuts nothing' : `ends ${exactLength(lowest.z, units)} above the bed`;
    const message = `the patch ${reached}; ${exactLength(patch.depth, units)} below the thinnest place measured is ${exactLength(floor, units)}`;
    found.push(wrong(message, lowest?.line));
  }
  const outside = firstOutside(c, patch);
  if (outside !== null) {
    found.push(wrong(`the cutter leaves the patch at ${exactPlace(outside.at, units)}`, outside.line));
  }
  return [...found, ...leftStanding(c, patch, floor), ...heads(c, patch, lowest?.z ?? floor)];
}

type Patch = NonNullable<Case['record']['machine']['board']['patch']>;

function lowestCut(c: Case): { readonly z: number; readonly line: number } | null {
  const { motions: m, inside } = c.simulation;
  let lowest: { z: number; line: number } | null = null;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (lowest === null || z < lowest.z) lowest = { z, line: c.trace.line[i]! };
  }
  return lowest;
}

/** The first cut whose axis comes nearer to the rim of the patch than the cutter's radius. */
function firstOutside(c: Case, { at, size }: Patch): { readonly at: Point; readonly line: number } | null {
  const { motions: m, inside, cutter } = c.simulation;
  const r = cutter.shape.radius - 2 * roundingOf(c.record.machine.controller);
  const holds = ([x, y]: Point): boolean =>
    x >= at[0] + r && x <= at[0] + size[0] - r && y >= at[1] + r && y <= at[1] + size[1] - r;
  for (let i = 0; i < m.length; i++) {
    if (inside[i] !== 1 || !isPlaced(m, i)) continue;
    const out = [[m.fromX(i), m.fromY(i)] as const, [m.toX(i), m.toY(i)] as const].find((p) => !holds(p));
    if (out !== undefined) return { at: out, line: c.trace.line[i]! };
  }
  return null;
}

/** Cells inside the rectangle that stand above the floor; its corners, which a round cutter cannot reach, left out. */
function leftStanding(c: Case, { at, size }: Patch, floor: number): Diagnostic[] {
  const { field, cutter } = c.simulation;
  if (!field) return [];
  const { units } = c.record.machine;
  const limit = Math.round((floor + STANDING) * UNITS);
  const inset = (dx: number, dy: number) => ({
    minX: at[0] + dx,
    maxX: at[0] + size[0] - dx,
    minY: at[1] + dy,
    maxY: at[1] + size[1] - dy,
  });
  const [edge, corner] = [field.cell, cutter.shape.radius + field.cell];
  for (const box of [inset(edge, corner), inset(corner, edge)]) {
    const { cells, first } = standingCells(field, box, () => limit);
    if (cells === 0) continue;
    const area = areaText(cells * field.cell * field.cell, units);
    const message = `${area} of the patch stay above ${exactLength(floor, units)}, the first at ${exactPlace(first, units)}`;
    return [report({ code: 'work/patch', ...inFile(c.file), message })];
  }
  return [];
}

/** Least thickness, and cover over every head whose pocket the patch comes over. */
function heads(c: Case, { at, size }: Patch, floor: number): Diagnostic[] {
  const { machine, house, state } = c.record;
  const { units } = machine;
  const rounding = roundingOf(machine.controller);
  if (floor < machine.board.leastThickness - rounding) {
    const message = `the patch would leave ${exactLength(floor, units)} of board, its least thickness is ${exactLength(machine.board.leastThickness, units)}`;
    return [report({ code: 'work/least-thickness', ...inFile(c.file), message })];
  }
  const region = regionFromRing(rectangleRing(at, size));
  const board = readBoard(c.record, state.inserts);
  for (const { site, at: place } of state.inserts) {
    const { stack } = stackAt(c.record, board, { site, at: place, uncertainty: 0 });
    if (!stack) continue;
    const beside = distance(place, nearestPointIn(region, place)!);
    const cover = floor - stack.headTop;
    if (beside > stack.pocketDiameter / 2 || cover >= house.stack.coverMin - rounding) continue;
    const message = `${exactLength(cover, units)} of board would be left over the head at ${site}, the house needs ${exactLength(house.stack.coverMin, units)}`;
    return [report({ code: 'work/cover', ...inFile(c.file), message })];
  }
  return [];
}
