import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';

/** A step between rows of more than this is found by a fingernail, mm (ours). */
const RIDGE = 0.05;

/**
 * How far the real floor of a skim lies below its program's heights, mm: a flat disc of diameter D whose axis leans by
 * φ and ψ has its lowest point (D/2)·√(tan²φ + tan²ψ) below its middle (derived). 0 when tram was never measured.
 */
export function floorBelowCommand(c: Case): number {
  const { tram } = c.record.machine;
  if (!tram || !c.cutter) return 0;
  const [slopeX, slopeY] = [Math.tan(tram.x), Math.tan(tram.y)];
  return (c.cutter.diameter / 2) * Math.sqrt(slopeX * slopeX + slopeY * slopeY);
}

/** The step that the lean across the rows leaves between two of them, from the spacing that the text shows. */
export function checkRowStep(c: Case, spacing: number, line: number): Diagnostic[] {
  const { tram, surfacing, units } = c.record.machine;
  if (!tram) return [];
  const step = spacing * Math.abs(Math.tan(surfacing.rows === 'x' ? tram.y : tram.x));
  if (step <= RIDGE) return [];
  return [
    report({
      code: 'work/row-step',
      ...inFile(c.file, line),
      message: `rows ${exactLength(spacing, units)} apart differ by ${exactLength(step, units)} in height: the spindle leans across them`,
      facts: { step, spacing },
    }),
  ];
}
