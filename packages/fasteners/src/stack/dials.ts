import { forceText, limitLength, trimmed, type Units, writtenLength } from '@bedledger/diagnostics';
import { parseSize } from '../catalogue/size.ts';
import { publishedWasher } from '../fixing/resolve-washer.ts';
import type { Stack, StackInput, StackRules } from '../model.ts';

/** A figure of the input that can be moved towards `end` until the stack can be had. */
export interface Dial {
  readonly now: number;
  readonly end: number;
  /** Figures are offered in whole steps. */
  readonly step: number;
  /**
   * True when turning further can lose again what turning a little won: then every step is tried in turn. Default
   * false.
   */
  readonly everyStep?: true;
  set(input: StackInput, value: number): StackInput;
  /** The figure in words. Default: a length, rounded towards the safe side. */
  readonly write?: (value: number, units: Units) => string;
  /** The change in words, from the figure in words. */
  say(value: string): string;
}

/** Widest washer that is offered, mm. */
const WIDEST_WASHER = 40;
/** Thickest board that is offered, mm. */
const THICKEST_BOARD = 50;
/** Longest and shortest insert that is offered, mm. */
const INSERT_LENGTHS = [60, 4] as const;

/** Figures that can give way, best first: parts and board, then work, then house rules, then the bed. */
export function dials(input: StackInput): Dial[] {
  const washer = washerDial(input);
  return [...(washer ? [washer] : []), ...partDials(input), ...workDials(input), ...ruleDials(input)];
}

/** Board and insert. */
function partDials(input: StackInput): Dial[] {
  const words = (v: number): string => writtenLength(v, input.units ?? 'mm');
  const { length } = input.fixing.insert;
  return [
    {
      now: input.thickness,
      end: THICKEST_BOARD,
      step: 0.1,
      set: (i, v) => ({ ...i, thickness: v }),
      say: (v) => `use a board at least ${v} thick (now ${words(input.thickness)})`,
    },
    ...INSERT_LENGTHS.map(
      (end): Dial => ({
        now: length.value,
        end,
        step: 0.5,
        everyStep: true,
        set: withInsertLength,
        say: (v) => `use an insert ${v} long (now ${words(length.value)})`,
      }),
    ),
  ];
}

/** What the shop can do better, and what it asks of one site. */
function workDials(input: StackInput): Dial[] {
  const units = input.units ?? 'mm';
  const words = (v: number): string => writtenLength(v, units);
  const { rules } = input;
  return [
    {
      now: input.positionUncertainty,
      end: 0.05,
      step: 0.05,
      set: (i, v) => ({ ...i, positionUncertainty: v }),
      say: (v) => `survey the bed to ${v} (now ${words(input.positionUncertainty)})`,
    },
    {
      now: input.reach,
      end: 0,
      step: 10,
      set: (i, v) => ({ ...i, reach: v }),
      say: (v) => `hold the board no more than ${v} from this site (now ${words(input.reach)})`,
    },
    {
      now: rules.moistureSwing,
      end: 0.5,
      step: 0.1,
      set: setRule('moistureSwing'),
      write: (v) => trimmed(v, 2),
      say: (v) => `keep the shop within ${v} points of moisture (now ${trimmed(rules.moistureSwing, 2)})`,
    },
    {
      now: rules.pull,
      end: rules.pull / 4,
      step: 5,
      set: setRule('pull'),
      write: forceText,
      say: (v) =>
        `ask a pull of at most ${v} of one site, with more sites (now ${forceText(rules.pull, units)})`,
    },
  ];
}

/** House rules, profile and bed. */
function ruleDials(input: StackInput): Dial[] {
  const words = (v: number): string => writtenLength(v, input.units ?? 'mm');
  const { rules, bed } = input;
  const rule = (key: FigureRule, end: number, text: (v: string) => string): Dial => ({
    now: rules[key],
    end,
    step: 0.1,
    set: setRule(key),
    say: (v) => `${text(v)} (house rule now ${words(rules[key])})`,
  });
  return [
    rule('webMin', 1, (v) => `leave less web, ${v}`),
    rule('coverMin', 0.3, (v) => `leave less cover, ${v}`),
    rule('bearingMin', 0.3, (v) => `let the head bear on a ring of ${v}`),
    rule('boreReserve', 1, (v) => `bore only ${v} deeper than the insert`),
    {
      now: input.leastThickness,
      end: input.leastThickness / 2,
      step: 0.1,
      set: (i, v) => ({ ...i, leastThickness: v }),
      say: (v) =>
        `let the board go down to ${v}, with more sites (profile now ${words(input.leastThickness)})`,
    },
    {
      now: bed.floor,
      end: 1,
      step: 0.1,
      set: (i, v) => ({ ...i, bed: { ...i.bed, floor: v } }),
      say: (v) =>
        `leave less bed under the bore, ${v}, if the bed's maker allows it (profile now ${words(bed.floor)})`,
    },
  ];
}

type FigureRule = Exclude<keyof StackRules, 'growth'>;

function setRule(key: FigureRule): Dial['set'] {
  return (input, value) => ({ ...input, rules: { ...input.rules, [key]: value } });
}

function washerDial(input: StackInput): Dial | null {
  const { screw, washer } = input.fixing;
  const words = (v: number): string => writtenLength(v, input.units ?? 'mm');
  if (screw.countersunk) return null;
  const size = parseSize(screw.thread.designation)?.size ?? '';
  const base = washer ?? publishedWasher('iso7089', size) ?? publishedWasher('asme-b18.21.1-narrow', size);
  if (base === undefined) return null;
  return {
    now: base.outside.value,
    end: WIDEST_WASHER,
    step: 0.5,
    set: (i, v) => ({
      ...i,
      fixing: { ...i.fixing, washer: { ...base, outside: { ...base.outside, value: v } } },
    }),
    say: (v) =>
      washer === undefined
        ? `put a washer at least ${v} outside and ${words(base.thickness.value)} thick under the head`
        : `use a washer at least ${v} outside (now ${words(base.outside.value)})`,
  };
}

function withInsertLength(input: StackInput, value: number): StackInput {
  const insert = { ...input.fixing.insert, length: { ...input.fixing.insert.length, value } };
  return { ...input, fixing: { ...input.fixing, insert } };
}

/**
 * The least turn of a dial that makes the stack solvable: bisection over whole steps, every step in turn for a
 * dial that asks for it. What is returned was solved. Null when no step frees it.
 */
export function turn(
  input: StackInput,
  dial: Dial,
  solve: (input: StackInput) => Stack | null,
): { readonly value: number; readonly text: string; readonly stack: Stack } | null {
  const units = input.units ?? 'mm';
  const up = dial.end > dial.now;
  const write = (v: number): string => dial.write?.(v, units) ?? limitLength(v, units, up);
  const perUnit = 1 / dial.step;
  const first = up ? Math.floor(dial.now * perUnit + 1e-9) + 1 : Math.ceil(dial.now * perUnit - 1e-9) - 1;
  const last = up ? Math.floor(dial.end * perUnit + 1e-9) : Math.ceil(dial.end * perUnit - 1e-9);
  const count = up ? last - first : first - last;
  if (count < 0) return null;
  // dividing by the whole reciprocal keeps 16.4 from becoming 16.400000000000002
  const valueAt = (k: number): number => {
    const whole = up ? first + k : first - k;
    return dial.step >= 1 ? whole * dial.step : whole / Math.round(perUnit);
  };
  const attempt = (k: number): Stack | null => solve(dial.set(input, valueAt(k)));
  const done = (k: number, stack: Stack): { value: number; text: string; stack: Stack } => ({
    value: valueAt(k),
    text: dial.say(write(valueAt(k))),
    stack,
  });

  if (dial.everyStep) {
    for (let k = 0; k <= count; k++) {
      const stack = attempt(k);
      if (stack !== null) return done(k, stack);
    }
    return null;
  }
  let far = count;
  let stack = attempt(far);
  if (stack === null) return null;
  let near = -1;
  while (far - near > 1) {
    const middle = (near + far) >> 1;
    const tried = attempt(middle);
    if (tried === null) near = middle;
    else {
      far = middle;
      stack = tried;
    }
  }
  return done(far, stack);
}
