import { parseSize } from '../catalogue/size.ts';
import { publishedWasher } from '../fixing/resolve-washer.ts';
import type { Stack, StackInput, StackRules } from '../model.ts';
import { lengthWords, limitWords } from './length-words.ts';

/** A figure of the input that can be moved towards `end` until the stack can be had. */
export interface Dial {
  readonly now: number;
  readonly end: number;
  /** Figures are offered in whole steps. */
  readonly step: number;
  /** True when turning further can lose again what turning a little won: then every step is tried in turn. */
  readonly fickle: boolean;
  set(input: StackInput, value: number): StackInput;
  /** The change in words. `v` is the value, a length already in words. */
  say(value: string): string;
  /** False for a figure that is not a length. */
  readonly plain?: true;
}

/** Widest washer that is offered, mm. */
const WIDEST_WASHER = 40;
/** Thickest board that is offered, mm. */
const THICKEST_BOARD = 50;

const short = (value: number): string => String(Number(value.toFixed(2)));

/** Figures that can give way, best first: parts and board, then work, then house rules, then the bed. */
export function dials(input: StackInput): Dial[] {
  const { rules, bed } = input;
  const words = (v: number): string => lengthWords(v, input.units);
  const { insert } = input.fixing;
  const ofRule = (key: Exclude<keyof StackRules, 'growth'>): Dial['set'] => {
    return (i, v) => ({ ...i, rules: { ...i.rules, [key]: v } });
  };
  const list: (Dial | null)[] = [
    washerDial(input),
    {
      now: input.thickness,
      end: THICKEST_BOARD,
      step: 0.1,
      fickle: false,
      set: (i, v) => ({ ...i, thickness: v }),
      say: (v) => `use a board at least ${v} thick (now ${words(input.thickness)})`,
    },
    {
      now: insert.length.value,
      end: 60,
      step: 0.5,
      fickle: true,
      set: withInsertLength,
      say: (v) => `use an insert ${v} long (now ${words(insert.length.value)})`,
    },
    {
      now: insert.length.value,
      end: 4,
      step: 0.5,
      fickle: true,
      set: withInsertLength,
      say: (v) => `use an insert ${v} long (now ${words(insert.length.value)})`,
    },
    {
      now: input.positionUncertainty,
      end: 0.05,
      step: 0.05,
      fickle: false,
      set: (i, v) => ({ ...i, positionUncertainty: v }),
      say: (v) => `survey the bed to ${v} (now ${words(input.positionUncertainty)})`,
    },
    {
      now: input.reach,
      end: 0,
      step: 10,
      fickle: false,
      set: (i, v) => ({ ...i, reach: v }),
      say: (v) => `hold the board no more than ${v} from this site (now ${words(input.reach)})`,
    },
    {
      now: rules.moistureSwing,
      end: 0.5,
      step: 0.1,
      fickle: false,
      plain: true,
      set: ofRule('moistureSwing'),
      say: (v) => `keep the shop within ${v} points of moisture (now ${short(rules.moistureSwing)})`,
    },
    {
      now: rules.pull,
      end: rules.pull / 4,
      step: 5,
      fickle: false,
      plain: true,
      set: ofRule('pull'),
      say: (v) => `ask a pull of at most ${v} N of one site, with more sites (now ${short(rules.pull)} N)`,
    },
    {
      now: rules.webMin,
      end: 1,
      step: 0.1,
      fickle: false,
      set: ofRule('webMin'),
      say: (v) => `leave less web, ${v} (house rule now ${words(rules.webMin)})`,
    },
    {
      now: rules.coverMin,
      end: 0.3,
      step: 0.1,
      fickle: false,
      set: ofRule('coverMin'),
      say: (v) => `leave less cover, ${v} (house rule now ${words(rules.coverMin)})`,
    },
    {
      now: rules.bearingMin,
      end: 0.3,
      step: 0.1,
      fickle: false,
      set: ofRule('bearingMin'),
      say: (v) => `let the head bear on a ring of ${v} (house rule now ${words(rules.bearingMin)})`,
    },
    {
      now: rules.boreReserve,
      end: 1,
      step: 0.1,
      fickle: false,
      set: ofRule('boreReserve'),
      say: (v) => `bore only ${v} deeper than the insert (house rule now ${words(rules.boreReserve)})`,
    },
    {
      now: input.leastThickness,
      end: input.leastThickness / 2,
      step: 0.1,
      fickle: false,
      set: (i, v) => ({ ...i, leastThickness: v }),
      say: (v) =>
        `let the board go down to ${v}, with more sites (profile now ${words(input.leastThickness)})`,
    },
    {
      now: bed.floor,
      end: 1,
      step: 0.1,
      fickle: false,
      set: (i, v) => ({ ...i, bed: { ...i.bed, floor: v } }),
      say: (v) =>
        `leave less bed under the bore, ${v}, if the bed's maker allows it (profile now ${words(bed.floor)})`,
    },
  ];
  return list.filter((d): d is Dial => d !== null);
}

function washerDial(input: StackInput): Dial | null {
  const { screw, washer } = input.fixing;
  const words = (v: number): string => lengthWords(v, input.units);
  if (screw.countersunk) return null;
  const size = parseSize(screw.thread.designation)?.size ?? '';
  const base = washer ?? publishedWasher('iso7089', size) ?? publishedWasher('asme-b18.21.1-narrow', size);
  if (base === undefined) return null;
  return {
    now: base.outside.value,
    end: WIDEST_WASHER,
    step: 0.5,
    fickle: false,
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
 * fickle dial. What is returned was solved. Null when no step frees it.
 */
export function turn(
  input: StackInput,
  dial: Dial,
  solve: (input: StackInput) => Stack | null,
): { readonly value: number; readonly text: string; readonly stack: Stack } | null {
  const up = dial.end > dial.now;
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
    text: dial.say(dial.plain ? short(valueAt(k)) : limitWords(valueAt(k), input.units, up)),
    stack,
  });

  if (dial.fickle) {
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
