import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { containsPoint, nearestOnBoundary, type Point } from '@bedledger/geometry';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { forEachPiece } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';

/** Trimming stays outside the outline: no point of the path nearer to the board than the cutter's radius. */
export function checkTrim(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { board, boardTop } = c.scene;
  if (!board) return [];
  const { motions: m, cutter } = c.simulation;
  const r = cutter.shape.radius;
  const rounding = roundingOf(c.record.machine.controller);
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] === RAPID || Math.min(m.fromZ(i), m.toZ(i)) >= boardTop) continue;
    let least = Infinity;
    let at: Point = [0, 0];
    forEachPiece(m, i, 0.01, (ax, ay, _az, bx, by) => {
      for (const f of [0, 0.25, 0.5, 0.75, 1]) {
        const p: Point = [ax + (bx - ax) * f, ay + (by - ay) * f];
        const { distance } = nearestOnBoundary(board, p);
        const away = containsPoint(board, p) ? -Math.abs(distance) : Math.abs(distance);
        if (away < least) {
          least = away;
          at = p;
        }
      }
    });
    if (least < r - 2 * rounding - 0.011) {
      return [
        report({
          code: 'work/trim-outline',
          ...inFile(c.file, c.trace.line[i]!),
          message: `the cutter reaches ${exactLength(r - least, units)} into the board at ${exactPlace([at[0], at[1]], units)}`,
          facts: { into: r - least },
        }),
      ];
    }
  }
  return [];
}
