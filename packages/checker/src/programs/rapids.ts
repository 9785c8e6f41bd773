import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { isPlaced } from '../simulation/motions.ts';
import { CYCLE, MACHINE, RAPID } from '../trace.ts';
import { type Case, gridStep, RAPID_AIR, roundingOf } from './case.ts';

/** Rapids: through material, too low, or of Z together with X Y. */
export function checkRapids(c: Case): Diagnostic[] {
  return [...checkRapidCuts(c), ...checkRapidMoves(c)];
}

/** Rapids through material, and those that might go through it. */
export function checkRapidCuts(c: Case): Diagnostic[] {
  return c.simulation.cuttingRapids.map((rapid) => {
    const place = inFile(c.file, c.trace.line[rapid.motion]!);
    if (rapid.unsure) {
      const message =
        'material stands in the box between the ends of this rapid, and the controller may not run it straight';
      return report({ code: 'program/rapid-unsure', ...place, message });
    }
    const message = 'this rapid goes through material that still stands';
    return report({ code: 'program/rapid-in-stock', ...place, message, facts: { volume: rapid.volume } });
  });
}

/** Rapids across that move Z as well, and those that run too low: one finding for all of these, at the lowest. */
function checkRapidMoves(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { units } = machine;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  const step = gridStep(machine.controller);
  const ceiling = c.scene.surface.highest;
  let low: { line: number; z: number; count: number } | null = null;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] !== RAPID || !isPlaced(m, i)) continue;
    const line = c.trace.line[i]!;
    const dx = Math.abs(m.toX(i) - m.fromX(i));
    const dy = Math.abs(m.toY(i) - m.fromY(i));
    const dz = Math.abs(m.toZ(i) - m.fromZ(i));
    if (dx < step / 2 && dy < step / 2) continue;
    // the way home is judged by the height that it begins at
    const home = (c.trace.flags[i]! & MACHINE) !== 0;
    if (dz > step / 2 && !home) {
      found.push(
        report({
          code: 'program/rapid-combined',
          ...inFile(c.file, line, 'Z'),
          message: `this rapid moves Z by ${exactLength(dz, units)} and X Y by ${exactLength(Math.sqrt(dx * dx + dy * dy), units)} in one block`,
          facts: { dx, dy, dz },
        }),
      );
    }
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (z < ceiling + RAPID_AIR - roundingOf(machine.controller)) {
      if (!low) low = { line, z, count: 1 };
      else {
        low.count++;
        if (z < low.z) Object.assign(low, { line, z });
      }
    }
  }
  if (low) {
    const others = low.count > 1 ? ` (${low.count} rapids, this one is the lowest)` : '';
    found.push(
      report({
        code: 'program/rapid-low',
        ...inFile(c.file, low.line),
        message: `a rapid across runs at Z ${exactLength(low.z, units)} above the bed, the material reaches ${exactLength(ceiling, units)} and ${exactLength(RAPID_AIR, units)} of air is needed${others}`,
        facts: { found: low.z, needed: ceiling + RAPID_AIR, rapids: low.count },
      }),
    );
  }
  return found;
}

/** Issued programs cross at the clear height and no lower, and their cycles come back to it. */
export function checkLinks(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  const clear = machine.clearHeight - roundingOf(machine.controller);
  const step = gridStep(machine.controller) / 2;
  let low: number | null = null;
  for (let i = 0; i < m.length; i++) {
    const cycle = (trace.flags[i]! & CYCLE) !== 0;
    const cycleEnds =
      cycle &&
      (i + 1 === m.length || (trace.flags[i + 1]! & CYCLE) === 0 || trace.line[i + 1] !== trace.line[i]);
    if (cycleEnds && m.toZ(i) < clear) {
      found.push(
        report({
          code: 'work/cycle-return',
          ...inFile(c.file, trace.line[i]!),
          message: `the cycle ends at Z ${exactLength(m.toZ(i), units)} above the bed, the clear height is ${exactLength(machine.clearHeight, units)}`,
          facts: { found: m.toZ(i), needed: machine.clearHeight },
        }),
      );
    }
    if (low !== null || trace.kind[i] !== RAPID || !isPlaced(m, i)) continue;
    const across = Math.abs(m.toX(i) - m.fromX(i)) > step || Math.abs(m.toY(i) - m.fromY(i)) > step;
    if (across && Math.min(m.fromZ(i), m.toZ(i)) < clear) low = i;
  }
  if (low !== null) {
    found.push(
      report({
        code: 'work/link-height',
        ...inFile(c.file, trace.line[low]!),
        message: `this rapid crosses at Z ${exactLength(Math.min(m.fromZ(low), m.toZ(low)), units)} above the bed, the clear height is ${exactLength(machine.clearHeight, units)}`,
        facts: { found: Math.min(m.fromZ(low), m.toZ(low)), needed: machine.clearHeight },
      }),
    );
  }
  return found;
}
