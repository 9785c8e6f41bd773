import type { Stack, StackInput } from '../model.ts';

/** placeholder to be replaced */
export function remediesFor(
  _input: StackInput,
  _conflict: readonly [string, string],
  _solve: (input: StackInput) => Stack | null,
): string[] {
  return [];
}
