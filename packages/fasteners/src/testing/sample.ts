import { resolveFixing } from '../fixing/resolve-fixing.ts';
import type { FixingWritten } from '../fixing/written.ts';
import type { Fixing, StackInput, StackRules } from '../model.ts';

/** House rules used by the tests; plausible, invented. */
export const RULES: StackRules = {
  webMin: 5,
  coverMin: 1.5,
  safetyFactor: 2,
  boardShear: 2.5,
  pull: 250,
  pocketClearance: 1.5,
  boreReserve: 2.5,
  adhesiveGap: 0.4,
  adhesiveSpare: 0.2,
  entryLoss: 1,
  endGap: 0.5,
  moistureSwing: 3,
  growthPerPercent: 0.0005,
  bearingMin: 0.8,
  skim: 0.4,
  refitSkin: 1,
};

export const M6_WRITTEN: FixingWritten = {
  title: 'M6 nylon hexagon screw in a brass bush',
  thread: 'M6',
  screw: { head: 'iso4017-hex' },
  insert: { measured: { outside: 9.52, length: 13, by: 'caliper', uncertainty: 0.02 }, through: true },
  washer: 'iso7089',
  socket: { size: 10, measured: { outside: 14.6, by: 'caliper', uncertainty: 0.05 } },
};

/** Resolves a fixing that a test knows to be sound. */
export function fixingOf(written: FixingWritten, id = 'm6-hex-nylon'): Fixing {
  const { fixing, diagnostics } = resolveFixing(id, written);
  if (fixing === null) throw new Error(diagnostics.map((d) => d.message).join('; '));
  return fixing;
}

export const INPUT: StackInput = {
  fixing: fixingOf(M6_WRITTEN),
  rules: RULES,
  thickness: 18,
  thicknessUncertainty: 0.05,
  leastThickness: 9,
  bed: { thickness: 25.4, floor: 5, cutLimit: 2.5 },
  reach: 300,
  positionUncertainty: 0.3,
};
