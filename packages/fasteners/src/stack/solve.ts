import type { Bound, Stack, StackInput, StackResult } from '../model.ts';
import { adhesiveVolume } from './adhesive.ts';
import {
  type FloorLimit,
  highestFloor,
  highestHead,
  lowestFloor,
  stackBounds,
  worstEngagement,
} from './bounds.ts';
import { largest, roundUp } from './dimension.ts';
import { stackLife } from './life.ts';
import { checkStackInput, type StackNumbers, stackNumbers } from './numbers.ts';
import { remediesFor } from './remedies.ts';
import { torqueFor } from './torque.ts';

/** Rounding noise that no bound is failed for, mm or N. */
const NOISE = 1e-9;

interface Choice {
  readonly screwLength: number;
  readonly floor: number;
  readonly low: FloorLimit;
  readonly high: FloorLimit;
}

/**
 * Solves one site: the deepest pocket floor that every bound allows, and the published screw length that reaches it
 * with the most thread engaged. The life in skims depends on the floor alone, so the deepest floor is the longest
 * life. All lengths mm; heights above the bed surface.
 *
 * Throws InputError when a figure of the input is not a number of the sign it must have.
 */
export function solveStack(input: StackInput): StackResult {
  checkStackInput(input);
  const result = solveOnly(input);
  if ('stack' in result) return { feasible: true, stack: result.stack };
  return {
    feasible: false,
    bounds: result.bounds,
    conflict: result.conflict,
    remedies: remediesFor(input, stackOrNull),
  };
}

/**
 * The stack, or null where there is none, without looking for remedies: for whoever tries many. The input must have
 * passed `checkStackInput` before.
 */
export function stackOrNull(input: StackInput): Stack | null {
  const result = solveOnly(input);
  return 'stack' in result ? result.stack : null;
}

/** What was really made at a site, mm: screw length and height of the pocket's floor; diameters where they are known. */
export interface Built {
  readonly screwLength: number;
  readonly pocketFloor: number;
  readonly pocketDiameter: number | null;
  readonly holeDiameter: number | null;
}

/**
 * The stack that stands at a site, evaluated from what was made: nothing is chosen, nothing is solved, so there always
 * is one. `input.fixing` is the fixing as built, `input.thickness` the board today. Bounds that do not hold are in
 * `broken`, worst cases as in `solveStack`; where a head stands proud its cover is negative.
 *
 * Throws InputError when a figure of the input is not a number of the sign it must have.
 */
export function builtStack(
  input: StackInput,
  built: Built,
): { readonly stack: Stack; readonly broken: readonly Bound[] } {
  const { screwLength, pocketFloor: floor } = built;
  const given = { ...input, given: { screwLength, pocketFloor: floor } };
  checkStackInput(given);
  const solved = stackNumbers(given);
  const n: StackNumbers = {
    ...solved,
    hole: built.holeDiameter ?? solved.hole,
    pocket: built.pocketDiameter ?? solved.pocket,
  };
  const low = lowestFloor(given, n, screwLength);
  const high = highestFloor(given, n, screwLength);
  const choice: Choice = { screwLength, floor, low, high };
  const bounds = stackBounds(given, n, screwLength, floor, floorGoverns(given, choice));
  return {
    stack: stackFrom(given, n, choice, bounds),
    broken: bounds.filter(brokenAsWritten),
  };
}

/**
 * What was made is written down to a last digit of 0.0001 in or 0.001 mm: a bound that is missed by what rounding the figures of
 * one stack can take, mm, or a thousandth of a force, is kept as well as can be told.
 */
const WRITTEN = 0.002;
const WRITTEN_SHARE = 1e-3;

function brokenAsWritten({ margin, limit, unit }: Bound): boolean {
  return margin < -(unit === 'mm' ? WRITTEN : WRITTEN_SHARE * Math.abs(limit));
}

type Solved =
  | { readonly stack: Stack }
  | { readonly bounds: readonly Bound[]; readonly conflict: readonly [string, string] };

/** One solution without remedies: what remedies themselves are tried with. */
function solveOnly(input: StackInput): Solved {
  const n = stackNumbers(input);
  const choice = choose(input, n);
  const bounds = stackBounds(input, n, choice.screwLength, choice.floor, floorGoverns(input, choice));
  const failed = bounds.filter((b) => b.margin < -NOISE);
  const first = failed[0];
  if (first === undefined) return { stack: stackFrom(input, n, choice, bounds) };
  return { bounds, conflict: conflictOf(failed, choice, n, input.given?.pocketFloor) };
}

/** Bounds that fail whatever the screw length and floor, each with the bound it cannot be had together with. */
function conflictOf(
  failed: readonly Bound[],
  choice: Choice,
  n: StackNumbers,
  given: number | undefined,
): readonly [string, string] {
  const ids = failed.map((b) => b.id);
  if (ids.includes('least-board')) return ['least-board', 'board'];
  if (ids.includes('tension')) return ['tension', 'pull'];
  if (ids.includes('bed-floor')) return ['bed-floor', 'bore-depth'];
  if (ids.includes('bearing')) {
    return ['bearing', n.hole > roundUp(n.standardHole, 0.1) + NOISE ? 'hole-float' : 'hole-standard'];
  }
  if (given === undefined) return [choice.low.id, choice.high.id];
  return [choice.floor < choice.low.at ? choice.low.id : choice.high.id, 'floor-given'];
}

/** What keeps the floor from going deeper: a bound, or that it is cut already. */
function floorGoverns(input: StackInput, choice: Choice): string {
  return input.given?.pocketFloor === undefined ? choice.low.id : 'floor-given';
}

function choose(input: StackInput, n: StackNumbers): Choice {
  const lengths =
    input.given?.screwLength === undefined ? input.fixing.screw.lengths : [input.given.screwLength];
  let best: Choice | undefined;
  let bestGap = Number.NEGATIVE_INFINITY;
  for (const screwLength of lengths) {
    const low = lowestFloor(input, n, screwLength);
    const high = highestFloor(input, n, screwLength);
    const given = input.given?.pocketFloor;
    // to a hundredth, which is what a program writes, unless the window is narrower than that
    const rounded = roundUp(low.at, 0.01);
    const floor = given ?? (rounded <= high.at ? rounded : low.at);
    const gap =
      given === undefined ? Math.min(0, high.at - low.at) : Math.min(0, high.at - given, given - low.at);
    const candidate: Choice = { screwLength, floor, low, high };
    if (
      best === undefined ||
      gap > bestGap + NOISE ||
      (gap > bestGap - NOISE && betterOf(candidate, best, input, n) === candidate)
    ) {
      best = candidate;
      bestGap = gap;
    }
  }
  return best!;
}

/** Deeper floor first; then more engagement; then the shorter screw. */
function betterOf(a: Choice, b: Choice, input: StackInput, n: StackNumbers): Choice {
  if (Math.abs(a.floor - b.floor) > NOISE) return a.floor < b.floor ? a : b;
  const [ea, eb] = [engagementOf(a, input, n), engagementOf(b, input, n)];
  if (Math.abs(ea - eb) > NOISE) return ea > eb ? a : b;
  return a.screwLength < b.screwLength ? a : b;
}

function engagementOf(choice: Choice, input: StackInput, n: StackNumbers): number {
  const end = choice.screwLength - choice.floor - n.washer;
  return Math.min(end, input.fixing.insert.length.value) - input.rules.entryLoss;
}

function stackFrom(input: StackInput, n: StackNumbers, choice: Choice, bounds: readonly Bound[]): Stack {
  const { fixing } = input;
  const { screw } = fixing;
  const { screwLength, floor } = choice;
  const headTop = highestHead(n, floor);
  const { preload, limitedBy } = preloadOf(input, n, choice);
  return {
    screwLength,
    web: floor,
    pocketDepth: input.thickness - floor,
    pocketDiameter: n.pocket,
    clearanceDiameter: n.hole,
    refitDiameter: Math.min(n.refit, n.hole),
    holeNeed: { diameter: n.holeNeed, opened: n.opened },
    headTop,
    cover: input.thickness - headTop,
    engagement: engagementOf(choice, input, n),
    endDepth: screwLength - floor - n.washer,
    handDrill: n.bore.drill,
    ...(n.bore.relief && { entryRelief: n.bore.relief }),
    ...(n.headBelow > 0 && {
      countersink: {
        diameter: largest(screw.headDiameter),
        angle: screw.headAngle ?? 90,
        depth: n.headBelow,
      },
    }),
    adhesiveVolume: adhesiveOf(input, n),
    workingTorque: torqueFor(screw, preload),
    preload,
    lateral: { growth: n.growth, position: n.position, total: n.lateral, restrained: n.restrained },
    governs: {
      floor: floorGoverns(input, choice),
      pocket: n.pocketGoverns,
      clearance: n.holeNeed > n.standardHole + NOISE ? 'float' : 'standard',
      torque: limitedBy,
    },
    engagementNeed: { pull: n.needPull, full: n.needFull, strips: n.strips },
    life: stackLife(input, headTop),
    bounds,
  };
}

/** Preload, N: half of what breaks the screw, never more than thread and web carry with the house's safety. */
function preloadOf(
  input: StackInput,
  n: StackNumbers,
  { screwLength, floor }: Choice,
): { readonly preload: number; readonly limitedBy: Stack['governs']['torque'] } {
  const { rules } = input;
  const byScrew = n.breaks / 2;
  const byThread = (worstEngagement(input, n, screwLength, floor) * n.strip) / rules.safetyFactor;
  const web = floor - n.headBelow - n.floorUncertainty;
  const byWeb = (Math.PI * n.punchDiameter * web * rules.boardShear) / rules.safetyFactor;
  const preload = Math.min(byScrew, byThread, byWeb);
  return {
    preload,
    limitedBy: preload === byScrew ? 'screw' : preload === byThread ? 'thread' : 'web',
  };
}

function adhesiveOf({ fixing: { insert }, rules }: StackInput, { bore }: StackNumbers): number {
  return adhesiveVolume({
    diameter: bore.drill.diameter,
    depth: bore.drill.depth,
    outside: (insert.core ?? insert.outside).value,
    length: insert.length.value,
    taper: insert.taper,
    ...(bore.relief && { relief: bore.relief }),
    spare: rules.adhesiveSpare,
  });
}
