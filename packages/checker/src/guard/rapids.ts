import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { type Case, gridStep, RAPID_AIR, roundingOf } from '../programs/case.ts';
import { checkRapidCuts } from '../programs/rapids.ts';
import { inFile, report } from '../report.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';

/**
 * Rapids of somebody else's job: through material, too low across, or of Z together with X Y. The last are a habit of
 * many design programs, and one finding for all of them.
 */
export function checkJobRapids(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { units } = machine;
  const m = c.simulation.motions;
  const step = gridStep(machine.controller);
  const needed = c.scene.surface.highest + RAPID_AIR;
  let combined: { motion: number; count: number } | null = null;
  let low: { motion: number; z: number; count: number } | null = null;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] !== RAPID || !isPlaced(m, i)) continue;
    const dx = Math.abs(m.toX(i) - m.fromX(i));
    const dy = Math.abs(m.toY(i) - m.fromY(i));
    if (dx < step / 2 && dy < step / 2) continue;
    if (Math.abs(m.toZ(i) - m.fromZ(i)) > step / 2) {
      if (combined) combined.count++;
      else combined = { motion: i, count: 1 };
    }
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (z >= needed - roundingOf(machine.controller)) continue;
    if (!low) low = { motion: i, z, count: 1 };
    else {
      low.count++;
      if (z < low.z) Object.assign(low, { motion: i, z });
    }
  }
  const found = checkRapidCuts(c);
  if (combined) {
    found.push(
      report({
        code: 'program/rapid-combined',
        ...inFile(c.file, c.trace.line[combined.motion]!, 'Z'),
        message: 'this rapid moves Z and X Y in one block',
        facts: { more: combined.count },
      }),
    );
  }
  if (low) {
    found.push(
      report({
        code: 'program/rapid-low',
        ...inFile(c.file, c.trace.line[low.motion]!),
        message: `a rapid across runs at Z ${exactLength(low.z, units)} above the bed, the material reaches ${exactLength(c.scene.surface.highest, units)} and ${exactLength(RAPID_AIR, units)} of air is needed`,
        facts: { found: low.z, needed, more: low.count },
      }),
    );
  }
  return found;
}
