import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { type Box, bounds } from '@bedledger/geometry';
import type { GuardReport } from '../model.ts';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { emptyExtents, isPlaced, motionExtents } from '../simulation/motions.ts';

/** How many of the deepest and nearest places are listed. */
export const LISTED = 10;

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

/** The deepest places of a stretch, 25 mm apart at one depth. */
export function deepestOf(c: Case): GuardReport['deepest'] {
  const { motions: m, inside } = c.simulation;
  const list: { x: number; y: number; z: number; line: number; what: string }[] = [];
  const boardTop = c.record.state.board?.thickness ?? 0;
  for (let i = 0; i < m.length; i++) {
    if (inside[i] !== 1) continue;
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (list.length === LISTED && z >= list[list.length - 1]!.z - 1e-9) continue;
    const atEnd = m.toZ(i) <= m.fromZ(i);
    const x = atEnd ? m.toX(i) : m.fromX(i);
    const y = atEnd ? m.toY(i) : m.fromY(i);
    if (list.some((p) => Math.abs(p.z - z) < 1e-9 && Math.abs(p.x - x) + Math.abs(p.y - y) < 25)) continue;
    const what = z < 0 ? 'bed' : z < boardTop || c.scene.board === null ? 'board' : 'sheet';
    list.push({ x, y, z, line: c.trace.line[i]!, what });
    list.sort((a, b) => a.z - b.z || a.line - b.line);
    if (list.length > LISTED) list.pop();
  }
  return list;
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
