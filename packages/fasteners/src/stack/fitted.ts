import type { StackInput, StackResult } from '../model.ts';
import { solveStack } from './solve.ts';

/**
 * The stack of a board that is pocketed already: as `solveStack`, and when the board has worn too thin for any stack,
 * the stack that was cut into it, with what is left over its heads today (less than nothing where they stand proud) and
 * no skim left. A worn-out board is a fact, not a mistake in the profile.
 *
 * @param thicknessWhenPocketed thickness of the board when its pockets were made, mm
 */
export function solveFittedStack(input: StackInput, thicknessWhenPocketed: number): StackResult {
  const today = solveStack(input);
  if (today.feasible || !(thicknessWhenPocketed > input.thickness)) return today;
  const then = solveStack({ ...input, thickness: thicknessWhenPocketed });
  if (!then.feasible) return today;
  const gone = thicknessWhenPocketed - input.thickness;
  return {
    feasible: true,
    stack: {
      ...then.stack,
      pocketDepth: then.stack.pocketDepth - gone,
      cover: then.stack.cover - gone,
      life: { ...then.stack.life, skims: 0 },
    },
  };
}
