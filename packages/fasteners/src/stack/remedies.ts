import { screwName, writtenLength } from '@bedledger/diagnostics';
import { catalogue } from '../catalogue/catalogue.ts';
import { parseSize } from '../catalogue/size.ts';
import { headsFor, withHead, withWasher } from '../fixing/change-part.ts';
import { publishedWasher, WASHER_NAMES } from '../fixing/resolve-washer.ts';
import type { Dimension, Stack, StackInput, StackRules } from '../model.ts';
import { dials, turn } from './dials.ts';

/** One change of the input, in words. */
interface Change {
  readonly text: string;
  readonly input: StackInput;
}

type Solve = (input: StackInput) => Stack | null;

/** At most this many remedies are offered. */
const MOST = 8;

/**
 * Changes that free an infeasible stack, best first: parts that can be bought before work on the board, work before
 * a weaker house rule. Each was tried by solving the stack again with the change made; what did not free it is not
 * offered. When no single change does, pairs are tried.
 */
export function remediesFor(input: StackInput, solve: Solve): string[] {
  return remedies(input, solve).map(({ say }) => say);
}

/** A change that frees a stack: in words with what comes of it, and the input with the change made. */
export interface StackRemedy {
  readonly say: string;
  readonly input: StackInput;
}

/** A site of the board on which a change has to work. */
export interface BoardSite {
  readonly input: StackInput;
  /** Its insert is in the bed: no other can be asked for. */
  readonly insertSet: boolean;
}

/**
 * Changes that free every site of a board at once, the first of which has none as it is: each was tried on all of them, with
 * the place, the hold and the insert that each has. What is said to come of a change is that of the site with the shortest
 * life.
 */
export function remediesForAll(sites: readonly [BoardSite, ...BoardSite[]], solve: Solve): StackRemedy[] {
  const [{ input: first }] = sites;
  return remedies(first, (changed) => {
    let shortest: Stack | null = null;
    for (const site of sites) {
      const input = changedAt(site, first, changed);
      const stack = input && solve(input);
      if (!stack) return null;
      if (shortest === null || stack.life.skims < shortest.life.skims) shortest = stack;
    }
    return shortest;
  });
}

/** A site's input with what was changed of the first one's; null where it cannot be changed there. */
function changedAt(
  { input: own, insertSet }: BoardSite,
  first: StackInput,
  changed: StackInput,
): StackInput | null {
  // Where a board is held is one place: what frees a site by it takes it from another.
  if (changed.reach !== first.reach) return null;
  const insertChanged = changed.fixing.insert !== first.fixing.insert;
  if (insertChanged && insertSet) return null;
  const { reach, held, drills } = own;
  return {
    ...changed,
    fixing: insertChanged ? changed.fixing : { ...changed.fixing, insert: own.fixing.insert },
    reach,
    ...(held !== undefined && { held }),
    ...(drills && { drills }),
    positionUncertainty:
      changed.positionUncertainty === first.positionUncertainty
        ? own.positionUncertainty
        : Math.min(own.positionUncertainty, changed.positionUncertainty),
  };
}

function remedies(input: StackInput, solve: Solve): StackRemedy[] {
  const single = oneChange(input, solve);
  if (single.length > 0) return single.slice(0, MOST);
  return twoChanges(input, solve).slice(0, MOST);
}

function oneChange(input: StackInput, solve: Solve): StackRemedy[] {
  const found: StackRemedy[] = [];
  for (const change of partChanges(input)) {
    const stack = solve(change.input);
    if (stack !== null) found.push({ say: sentence(input, [change.text], stack), input: change.input });
  }
  for (const dial of dials(input)) {
    const turned = turn(input, dial, solve);
    if (turned !== null)
      found.push({ say: sentence(input, [turned.text], turned.stack), input: dial.set(input, turned.value) });
  }
  return found;
}

function twoChanges(input: StackInput, solve: Solve): StackRemedy[] {
  const found: StackRemedy[] = [];
  for (const part of partChanges(input)) {
    for (const dial of dials(part.input)) {
      const turned = turn(part.input, dial, solve);
      if (turned !== null)
        found.push({
          say: sentence(input, [part.text, turned.text], turned.stack),
          input: dial.set(part.input, turned.value),
        });
    }
  }
  const all = dials(input);
  for (let i = 0; i < all.length; i++) {
    for (let j = i + 1; j < all.length; j++) {
      const [first, second] = [all[i]!, all[j]!];
      // the first all the way, the second as little as that allows, then the first as little as that allows
      const far = first.set(input, first.end);
      const b = turn(far, second, solve);
      if (b === null) continue;
      const a = turn(second.set(input, b.value), first, solve);
      if (a !== null)
        found.push({
          say: sentence(input, [a.text, b.text], a.stack),
          input: first.set(second.set(input, b.value), a.value),
        });
    }
  }
  return found;
}

function sentence(input: StackInput, changes: readonly string[], stack: Stack): string {
  const { units = 'mm' } = input;
  const thread = input.fixing.screw.thread.designation;
  const skims = `${stack.life.skims} ${stack.life.skims === 1 ? 'skim' : 'skims'}`;
  return `${changes.join(', and ')}: screw ${screwName(thread, stack.screwLength)}, web ${writtenLength(stack.web, units)}, cover ${writtenLength(stack.cover, units)}, life ${skims}`;
}

function rule(input: StackInput, change: Partial<StackRules>): StackInput {
  return { ...input, rules: { ...input.rules, ...change } };
}

/** Other parts, published ones, and growth held back instead of absorbed. */
function partChanges(input: StackInput): Change[] {
  const { fixing } = input;
  const changes: Change[] = [];
  const size = parseSize(fixing.screw.thread.designation)?.size;
  const published = size === undefined ? undefined : catalogue().lengths(fixing.screw.head, size);

  if (input.given?.pocketFloor !== undefined) {
    const { pocketFloor: _, ...given } = input.given;
    changes.push({ text: 'cut the pockets to another floor', input: { ...input, given } });
  }
  if (input.given?.screwLength !== undefined) {
    const { screwLength: _, ...given } = input.given;
    changes.push({ text: 'use another length of the screw', input: { ...input, given } });
  }
  if (published?.lengths.some((l) => !fixing.screw.lengths.includes(l))) {
    const { screwLength: _, ...given } = input.given ?? {};
    changes.push({
      text: 'use a published length that is not in stock',
      input: {
        ...input,
        given,
        fixing: { ...fixing, screw: { ...fixing.screw, lengths: published.lengths } },
      },
    });
  }
  if (size !== undefined && !fixing.screw.countersunk) {
    for (const name of WASHER_NAMES) {
      const washer = publishedWasher(name, size);
      if (washer === undefined || sameSize(washer.outside, fixing.washer?.outside)) continue;
      changes.push({ text: `use a washer ${name}`, input: { ...input, fixing: withWasher(fixing, washer) } });
    }
    if (fixing.washer !== undefined) {
      changes.push({ text: 'leave the washer out', input: { ...input, fixing: withWasher(fixing, null) } });
    }
  }
  if (fixing.screw.countersunk && fixing.washer === undefined) {
    const rim = fixing.screw.headDiameter.value;
    const cup = { value: rim * 1.6, uncertainty: 0.1, from: { standard: 'assumed', grade: 'C' as const } };
    changes.push({
      text: `put a countersunk cup washer of about ${writtenLength(rim * 1.6, input.units ?? 'mm')} under the head`,
      input: {
        ...input,
        fixing: withWasher(fixing, {
          inside: { ...cup, value: fixing.clearanceHole.value },
          outside: cup,
          thickness: { ...cup, value: fixing.screw.headHeight.value },
          cup: true,
        }),
      },
    });
  }
  if (input.rules.growth !== 'restrain') {
    changes.push({
      text: 'let the screws hold the growth back (house rule growth: restrain)',
      input: rule(input, { growth: 'restrain' }),
    });
  }
  for (const head of headsFor(fixing.screw.thread.designation)) {
    if (head === fixing.screw.head) continue;
    const changed = withHead(fixing, head);
    if (changed !== null)
      changes.push({ text: `use the head ${head}`, input: { ...input, fixing: changed } });
  }
  return changes;
}

const sameSize = (a: Dimension, b: Dimension | undefined): boolean =>
  b !== undefined && Math.abs(a.value - b.value) < 1e-6;
