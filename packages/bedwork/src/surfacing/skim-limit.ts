import { lengthText, type Units } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Layout } from '../layout/model.ts';
import { type Plane, planeAt } from './plane-under.ts';

/** How low the finished surface may lie, and what says so. */
export interface SkimLimit {
  readonly height: number;
  readonly by: string;
  /** It is a head that is not in the board yet, but is asked for. */
  readonly wished: boolean;
  /** Finished surface above the limit at its tightest place, mm; negative: it may not be cut. */
  readonly room: number;
}

/**
 * The tightest place of a finished surface: above every head the house's cover must be left, and everywhere the least
 * thickness. `drop` is how far the floor lies below the commanded plane because the spindle leans.
 */
export function skimLimit(input: {
  readonly target: Plane;
  readonly drop: number;
  readonly layout: Layout;
  readonly stacks: ReadonlyMap<string, Stack>;
  /** Of screws that are to be swapped in: they may stand in the board before anybody records them. */
  readonly swapped: ReadonlyMap<string, Stack>;
  readonly coverMin: number;
  readonly leastThickness: number;
  readonly corners: readonly (readonly [number, number])[];
  readonly units: Units;
}): SkimLimit {
  const { target, drop, layout, stacks, swapped, coverMin, leastThickness, corners, units } = input;
  let tightest: SkimLimit | null = null;
  const consider = (height: number, x: number, y: number, by: string, wished = false): void => {
    const room = planeAt(target, x, y) - drop - height;
    if (!tightest || room < tightest.room) tightest = { height, by, room, wished };
  };
  for (const [x, y] of corners)
    consider(leastThickness, x, y, `the board's least thickness of ${lengthText(leastThickness, units)}`);
  for (const site of layout.sites) {
    for (const [stack, when] of [
      [stacks.get(site.id), ''],
      [swapped.get(site.id), ' once its screw is swapped'],
    ] as const) {
      if (!stack) continue;
      consider(
        stack.headTop + coverMin,
        site.actual[0],
        site.actual[1],
        `the head at ${site.id}${when} (top ${lengthText(stack.headTop, units)}) and the house's cover of ${lengthText(coverMin, units)}`,
        when !== '',
      );
    }
  }
  if (!tightest) throw new RangeError('a skim limit needs the corners of the board');
  return tightest;
}
