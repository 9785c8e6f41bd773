import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { forEachPiece, isPlaced, motionLength } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';

/** A cut may be this share of the squared diameter in cross-section: a slot one diameter deep is 1 (common practice), and what a helix leaves on its slope comes on top. */
const ENGAGEMENT = 1.3;
/** One stroke of a peck, in diameters (common practice: a peck every one or two). */
const STROKE = 2.1;
/** Shorter motions than this share of the diameter only press the flank into the wall. */
const SHORT = 0.3;

/**
 * Round cuts turn counter-clockwise, so that a clockwise spindle climbs inside a hole, and no level takes more than a slot
 * one diameter deep.
 */
export function checkTurning(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { simulation, trace } = c;
  const { motions: m, inside, removed, cutter } = simulation;
  const d = 2 * cutter.shape.radius;
  const found: Diagnostic[] = [];
  let area = 0;
  let startX = Number.NaN;
  let startY = Number.NaN;
  let from = 0;
  let told = false;
  let deep = false;
  let idle = false;
  let unpecked = false;
  const area0 = (Math.PI * d * d) / 4;
  // signed area of each run of feed motions at one height: the sense of the path, as arcs or as chords
  const close = (end: number): void => {
    if (!told && area < -0.05) {
      told = true;
      found.push(
        report({
          code: 'work/direction',
          ...inFile(c.file, trace.line[Math.min(from, end - 1)]!),
          message: 'this path turns clockwise: a clockwise spindle cuts conventionally inside a hole',
        }),
      );
    }
    area = 0;
    startX = Number.NaN;
    from = end;
  };
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || !isPlaced(m, i)) {
      close(i + 1);
      continue;
    }
    if (inside[i] !== 1) continue;
    if (Number.isNaN(startX)) {
      startX = m.fromX(i);
      startY = m.fromY(i);
    }
    forEachPiece(m, i, 0.05, (ax, ay, _az, bx, by) => {
      area += ((ax - startX) * (by - startY) - (bx - startX) * (ay - startY)) / 2;
    });
    const down = m.fromZ(i) - m.toZ(i);
    if (
      !idle &&
      trace.kind[i] !== ARC &&
      down > 2 &&
      removed[i]! < 0.005 &&
      m.toX(i) === m.fromX(i) &&
      m.toY(i) === m.fromY(i)
    ) {
      idle = true;
      found.push(
        report({
          code: 'work/idle-cut',
          ...inFile(c.file, trace.line[i]!),
          message: `this motion feeds ${exactLength(down, units)} down through what is cut already`,
          facts: { found: down },
        }),
      );
    }
    const upright = trace.kind[i] !== ARC && m.toX(i) === m.fromX(i) && m.toY(i) === m.fromY(i);
    if (!unpecked && upright && removed[i]! > STROKE * d * area0) {
      unpecked = true;
      found.push(
        report({
          code: 'work/peck',
          ...inFile(c.file, trace.line[i]!),
          message: `one stroke goes ${exactLength(removed[i]! / area0, units)} down through the material, ${exactLength(STROKE * d, units)} are cleared of chips at a time`,
          facts: { found: removed[i]! / area0, allowed: STROKE * d },
        }),
      );
    }
    const length = motionLength(m, i);
    // on small circles the rim makes far more way than the axis: only straight ways are measured
    const level = trace.kind[i] !== ARC && Math.abs(m.toZ(i) - m.fromZ(i)) < 0.02;
    if (!deep && level && length > SHORT * d && removed[i]! / length > ENGAGEMENT * d * d) {
      deep = true;
      found.push(
        report({
          code: 'work/engagement',
          ...inFile(c.file, trace.line[i]!),
          message: `this motion cuts as much as a slot ${exactLength(removed[i]! / length / d, units)} deep, a cutter of ${exactLength(d, units)} takes ${exactLength(ENGAGEMENT * d, units)}`,
          facts: { found: removed[i]! / length, allowed: ENGAGEMENT * d * d },
        }),
      );
    }
  }
  close(m.length);
  return found;
}
