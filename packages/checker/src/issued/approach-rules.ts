import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';

/**
 * Air that a rapid down leaves above the board, for the error of its thickness, its unevenness and the touch-off, mm (common
 * practice, no source).
 */
const GAP = 0.5;

/**
 * Rapids that end on the board's measured top, and feeds across that run so little above it that they were meant to cut.
 * @param leaning the program follows a plane that leans: a pass may cut at one side of the board and run above it at the other
 */
export function checkApproach(c: Case, leaning: boolean): Diagnostic[] {
  const { scene, trace, simulation, record } = c;
  if (!scene.board) return [];
  const { units, controller } = record.machine;
  const m = simulation.motions;
  const radius = simulation.cutter.shape.radius;
  const rounding = roundingOf(controller);
  const step = gridStep(controller) / 2;
  const thickness = record.state.board?.thickness ?? scene.boardTop;
  const low = Math.min(thickness, scene.boardTop) - rounding;
  const high = scene.boardTop + GAP - rounding;
  const found = new Map<string, Diagnostic>();
  for (let i = 0; i < m.length && found.size < 2; i++) {
    const z = m.toZ(i);
    if (!(z >= low && z < high) || !isPlaced(m, i)) continue;
    const end = { minX: m.toX(i), maxX: m.toX(i), minY: m.toY(i), maxY: m.toY(i) };
    if (!scene.overBoard(end, radius)) continue;
    const place = inFile(c.file, trace.line[i]!, 'Z');
    const above = `Z ${exactLength(z, units)} above the bed, the board’s top is at ${exactLength(scene.boardTop, units)}`;
    if (trace.kind[i] === RAPID) {
      if (found.has('rapid') || !(m.fromZ(i) - z > step)) continue;
      const message = `a rapid goes down to ${above}, ${exactLength(GAP, units)} of air is needed`;
      found.set('rapid', report({ code: 'work/rapid-to-top', ...place, message, facts: { found: z } }));
      continue;
    }
    const across = Math.abs(m.toX(i) - m.fromX(i)) + Math.abs(m.toY(i) - m.fromY(i));
    if (
      leaning ||
      found.has('feed') ||
      across < 1 ||
      m.fromZ(i) < scene.boardTop + rounding ||
      z < scene.boardTop + rounding
    )
      continue;
    const message = `a feed across runs at ${above}: nothing is cut`;
    found.set('feed', report({ code: 'work/above-board', ...place, message, facts: { found: z } }));
  }
  return [...found.values()];
}
