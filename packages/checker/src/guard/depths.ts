import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { type Box, bounds } from '@bedledger/geometry';
import type { GuardReport } from '../model.ts';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { emptyExtents, isPlaced, motionExtents } from '../simulation/motions.ts';

/** How many of the deepest and nearest places are listed. */
const LISTED = 10;

/** Below the bed surface, and deeper into the board than allowed. */
export function checkDepths(c: Case, allowedDepth: number): Diagnostic[] {
  const { machine, state } = c.record;
  const { units } = machine;
  const { simulation, scene, trace } = c;
  const rounding = roundingOf(machine.controller);
  const found: Diagnostic[] = [];
  const { deepestBed, deepestBoard } = simulation;
  if (deepestBed && deepestBed.z < -rounding) {
    found.push(
      report({
        code: 'guard/into-bed',
        ...inFile(c.file, trace.line[deepestBed.motion]!, 'Z'),
        message: `the tip goes ${exactLength(-deepestBed.z, units)} below the bed surface at ${exactPlace([deepestBed.x, deepestBed.y], units)}`,
        facts: { found: -deepestBed.z, x: deepestBed.x, y: deepestBed.y },
      }),
    );
  }
  if (deepestBoard && (scene.board || allowedDepth > 0 || deepestBoard.z < 0)) {
    const depth = (state.board?.thickness ?? 0) - deepestBoard.z;
    if (depth > allowedDepth + rounding) {
      found.push(
        report({
          code: 'guard/too-deep',
          ...inFile(c.file, trace.line[deepestBoard.motion]!, 'Z'),
          message: `the tip goes ${exactLength(depth, units)} into the board at ${exactPlace([deepestBoard.x, deepestBoard.y], units)}, allowed are ${exactLength(allowedDepth, units)}`,
          facts: { found: depth, allowed: allowedDepth, x: deepestBoard.x, y: deepestBoard.y },
        }),
      );
    }
  }
  return found;
}

/** A board's edge and what is near it may be trimmed; farther out there is nothing to cut, mm. */
const BESIDE = 25;

/** The first place where the tip is below the board's top beside the board, and where it is below the bed's surface beside the bed. */
export function checkBeside(c: Case): Diagnostic[] {
  const { scene, simulation, trace } = c;
  const { units, controller } = c.record.machine;
  const m = simulation.motions;
  const r = simulation.cutter.shape.radius;
  const rounding = roundingOf(controller);
  const found = new Map<string, Diagnostic>();
  const bed = bounds(scene.bed);
  const box = emptyExtents();
  for (let i = 0; i < m.length && found.size < 2; i++) {
    const low = Math.min(m.fromZ(i), m.toZ(i));
    if (!(low < scene.boardTop - rounding) || !isPlaced(m, i)) continue;
    Object.assign(box, emptyExtents());
    motionExtents(m, i, box);
    const at = exactPlace([m.toX(i), m.toY(i)], units);
    const line = inFile(c.file, trace.line[i]!);
    if (!found.has('bed') && box.minZ < -rounding && leavesBox(bed, box, r)) {
      const message = `the tip is ${exactLength(-box.minZ, units)} below the surface of the bed beside the bed, at ${at}`;
      found.set('bed', report({ code: 'guard/off-bed', ...line, message }));
    }
    const end = { minX: m.toX(i), maxX: m.toX(i), minY: m.toY(i), maxY: m.toY(i) };
    if (found.has('board') || !scene.board || scene.overBoard(end, r + BESIDE)) continue;
    const message = `the tip is at Z ${exactLength(low, units)} above the bed beside the board, at ${at}`;
    found.set('board', report({ code: 'guard/outside-board', ...line, message }));
  }
  return [...found.values()];
}

/** Does a cutter of radius `r` that moves through `box` reach past the box of the bed? */
function leavesBox(bed: Box, box: Box, r: number): boolean {
  return (
    box.minX - r < bed.minX || box.maxX + r > bed.maxX || box.minY - r < bed.minY || box.maxY + r > bed.maxY
  );
}

type Deep = GuardReport['deepest'][number];

/** The deepest places of a stretch, 25 mm apart. */
export function deepestOf(c: Case): GuardReport['deepest'] {
  const { motions: m, inside } = c.simulation;
  const boardTop = c.record.state.board?.thickness ?? 0;
  let list: Deep[] = [];
  for (let i = 0; i < m.length; i++) {
    if (inside[i] !== 1) continue;
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (list.length === LISTED && z >= list[list.length - 1]!.z - 1e-9) continue;
    const atEnd = m.toZ(i) <= m.fromZ(i);
    const x = atEnd ? m.toX(i) : m.fromX(i);
    const y = atEnd ? m.toY(i) : m.fromY(i);
    if (list.some((known) => known.z <= z && isBeside(known, x, y))) continue;
    const what = z < 0 ? 'bed' : z < boardTop || c.scene.board === null ? 'board' : 'sheet';
    list = deepestFirst([...list, { x, y, z, line: c.trace.line[i]!, what }]);
  }
  return list;
}

/** The deepest of places, the deepest first; of several that lie side by side, as the pecks of one hole do, the deepest alone. */
export function deepestFirst(all: GuardReport['deepest']): Deep[] {
  const listed: Deep[] = [];
  for (const one of all.toSorted((a, b) => (Math.abs(a.z - b.z) < 1e-9 ? a.line - b.line : a.z - b.z))) {
    if (listed.length === LISTED) break;
    if (!listed.some((known) => isBeside(known, one.x, one.y))) listed.push(one);
  }
  return listed;
}

function isBeside(one: Deep, x: number, y: number): boolean {
  return Math.abs(one.x - x) + Math.abs(one.y - y) < 25;
}

export function nearestOf(all: GuardReport['nearest']): GuardReport['nearest'] {
  const best = new Map<string, GuardReport['nearest'][number]>();
  for (const one of all) {
    const known = best.get(one.name);
    if (!known || one.distance < known.distance) best.set(one.name, one);
  }
  return [...best.values()]
    .sort((a, b) => a.distance - b.distance || (a.name < b.name ? -1 : 1))
    .slice(0, LISTED);
}
