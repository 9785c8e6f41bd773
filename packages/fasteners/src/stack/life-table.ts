import type { Stack, StackInput } from '../model.ts';

/** The board after so many skims. */
export interface LifeRow {
  /** 0 is now. */
  readonly skim: number;
  /** Measured thickness if each skim takes what the house rule says. */
  readonly thickness: number;
  /** Board over the head. */
  readonly cover: number;
  /** Skims left after this one. */
  readonly left: number;
  /** `ok`; `last`: the next skim would break a rule; `over`: already below it. */
  readonly state: 'ok' | 'last' | 'over';
}

/**
 * Cover now and after each skim, until the board must be replaced: rows 0 … skims left, and one more that shows what
 * the skim after the last would do. All mm.
 */
export function lifeTable(stack: Stack, input: StackInput): LifeRow[] {
  const rows: LifeRow[] = [];
  for (let skim = 0; skim <= stack.life.skims + 1; skim++) {
    const thickness = input.thickness - skim * input.rules.skim;
    const left = stack.life.skims - skim;
    rows.push({
      skim,
      thickness,
      cover: thickness - stack.headTop,
      left: Math.max(0, left),
      state: left > 0 ? 'ok' : left === 0 ? 'last' : 'over',
    });
  }
  return rows;
}
