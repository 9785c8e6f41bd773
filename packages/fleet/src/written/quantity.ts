import { didYouMean, visible } from '@bedledger/diagnostics';
import { z } from 'zod';

/** What a quantity measures. The internal unit of each is the first of its table, factor 1. */
export type Dimension =
  | 'length'
  | 'speed'
  | 'acceleration'
  | 'pressure'
  | 'stress'
  | 'modulus'
  | 'density'
  | 'force'
  | 'angle'
  | 'time'
  | 'flow'
  | 'permeability';

/** File units: what a bare number means. */
export type Units = 'mm' | 'in';

/**
 * Factors to the internal unit. Inch, foot and pound are exact by the international agreement of 1959 (25.4 mm);
 * conventional inch of mercury 3386.389 Pa: NIST SP 811.
 */
const UNITS: Readonly<Record<Dimension, Readonly<Record<string, number>>>> = {
  length: { mm: 1, cm: 10, m: 1000, um: 0.001, in: 25.4, ft: 304.8, thou: 0.0254 },
  speed: { 'mm/min': 1, 'mm/s': 60, 'm/min': 1000, 'in/min': 25.4, 'in/s': 1524, 'ft/min': 304.8 },
  acceleration: { 'mm/s2': 1, 'm/s2': 1000, 'in/s2': 25.4, 'ft/s2': 304.8 },
  pressure: {
    Pa: 1,
    hPa: 100,
    kPa: 1000,
    mbar: 100,
    bar: 100000,
    inHg: 3386.389,
    mmHg: 133.3224,
    psi: 6894.757293168,
  },
  stress: { 'N/mm2': 1, MPa: 1, kPa: 0.001, psi: 0.006894757293168 },
  modulus: { GPa: 1, MPa: 0.001, psi: 6.894757293168e-6 },
  density: { 'kg/m3': 1, 'lb/ft3': 16.018463373960142 },
  force: { N: 1, kN: 1000, lbf: 4.4482216152605 },
  angle: { deg: 1, rad: 57.29577951308232 },
  time: { s: 1, ms: 0.001, min: 60, h: 3600 },
  flow: { 'm3/h': 1, 'l/min': 0.06, cfm: 1.69901079552 },
  permeability: { m2: 1, darcy: 9.869233e-13 },
};

/** What a number without a unit means, by the file's `units`. Null: the unit must be written. */
const BARE: Readonly<Record<Dimension, Readonly<Record<Units, string>> | null>> = {
  length: { mm: 'mm', in: 'in' },
  speed: { mm: 'mm/min', in: 'in/min' },
  acceleration: { mm: 'mm/s2', in: 'in/s2' },
  pressure: null,
  stress: { mm: 'N/mm2', in: 'N/mm2' },
  modulus: { mm: 'GPa', in: 'GPa' },
  density: { mm: 'kg/m3', in: 'kg/m3' },
  force: { mm: 'N', in: 'N' },
  angle: { mm: 'deg', in: 'deg' },
  time: { mm: 's', in: 's' },
  flow: null,
  permeability: { mm: 'm2', in: 'm2' },
};

export type Sign = 'positive' | 'zero-or-more' | 'any';

/** A quantity as people write it: a number in the file's unit, or text with its own unit. */
export type WrittenQuantity = number | string;

/** Larger numbers than this are typing errors in any unit. */
const GREATEST = 1_000_000;

function escapeRegex(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');
}

/** `18 mm`, `0.75 in`, `1/4 in`, `1 1/2 in`, `-0.5 mm`: a decimal number, a fraction, or a whole number and a fraction. */
function quantityPattern(dimension: Dimension, sign: Sign): RegExp {
  const units = Object.keys(UNITS[dimension]).map(escapeRegex).join('|');
  const decimal =
    dimension === 'permeability' ? '\\d{1,6}(?:\\.\\d{1,9})?(?:e-?\\d{1,2})?' : '\\d{1,6}(?:\\.\\d{1,9})?';
  const number = `(?:(?:\\d{1,5} )?[1-9]\\d{0,3}\\/[1-9]\\d{0,3}|${decimal})`;
  // With `positive` at least one digit of the number (never of the exponent or unit) is not a zero.
  const lead = sign === 'any' ? '-?' : sign === 'positive' ? '(?=[0.]*[1-9]|0{1,5} [1-9])' : '';
  return new RegExp(`^${lead}${number} ?(?:${units})$`);
}

const PATTERNS = new Map<string, RegExp>();

function patternFor(dimension: Dimension, sign: Sign): RegExp {
  const key = `${dimension} ${sign}`;
  let pattern = PATTERNS.get(key);
  if (!pattern) {
    pattern = quantityPattern(dimension, sign);
    PATTERNS.set(key, pattern);
  }
  return pattern;
}

/** Value of a valid written quantity in the internal unit. Misuse (a value its schema refuses) throws a RangeError. */
export function toInternal(value: WrittenQuantity, dimension: Dimension, units: Units): number {
  if (typeof value === 'number') {
    const bare = BARE[dimension];
    if (!bare) throw new RangeError(`a ${dimension} needs a unit, got ${value}`);
    // Adding zero turns a minus zero into zero.
    return value * UNITS[dimension][bare[units]]! + 0;
  }
  const match = /^(-?)(?:(\d+) )?(?:(\d+)\/(\d+)|([\d.]+(?:e-?\d+)?)) ?([A-Za-z][A-Za-z0-9/]*)$/.exec(value);
  const factor = match ? UNITS[dimension][match[6]!] : undefined;
  if (!match || factor === undefined) throw new RangeError(`not a ${dimension}: ${value}`);
  const whole = match[2] === undefined ? 0 : Number(match[2]);
  const size = match[5] === undefined ? whole + Number(match[3]) / Number(match[4]) : Number(match[5]);
  return (match[1] === '-' ? -size : size) * factor + 0;
}

/** What an example of this dimension looks like, for messages. */
const EXAMPLES: Readonly<Record<Dimension, string>> = {
  length: '`18`, `18 mm`, `0.75 in` or `3/4 in`',
  speed: '`12000`, `12 m/min` or `480 in/min`',
  acceleration: '`900`, `0.9 m/s2` or `35 in/s2`',
  pressure: '`20 inHg`, `0.7 bar` or `68 kPa`',
  stress: '`3` or `3 N/mm2`',
  modulus: '`2.4` or `2.4 GPa`',
  density: '`740` or `740 kg/m3`',
  force: '`400` or `400 N`',
  angle: '`3` or `3 deg`',
  time: '`6`, `6 s` or `500 ms`',
  flow: '`250 m3/h` or `150 cfm`',
  permeability: '`1e-13`',
};

/** One sentence on why `input` is not a quantity of this kind. */
function explain(input: unknown, dimension: Dimension, sign: Sign): string {
  const wanted = `expected a ${dimension} such as ${EXAMPLES[dimension]}`;
  if (typeof input === 'number') {
    if (!Number.isFinite(input)) return `${input} is not a number to work with; ${wanted}`;
    if (BARE[dimension] === null) return `${input} has no unit; ${wanted}`;
    if (Math.abs(input) > GREATEST) return `${input} is too large to be meant; ${wanted}`;
    if (sign === 'positive') return `${input} must be greater than 0; ${wanted}`;
    return `${input} must not be less than 0; ${wanted}`;
  }
  if (typeof input !== 'string') {
    const found =
      input === null
        ? 'nothing'
        : Array.isArray(input)
          ? 'a list'
          : typeof input === 'object'
            ? 'a map'
            : String(input);
    return `found ${found}; ${wanted}`;
  }
  const shown = `\`${visible(input.length > 40 ? `${input.slice(0, 40)}…` : input)}\``;
  if (patternFor(dimension, 'any').test(input)) {
    return sign === 'positive'
      ? `${shown} must be greater than 0; ${wanted}`
      : `${shown} must not be less than 0; ${wanted}`;
  }
  if (/^-?\d+(\.\d+)?$/.test(input))
    return `${shown} is text without a unit; leave the quotes out or add the unit`;
  if (/^-?\d+,\d+/.test(input)) return `${shown} has a decimal comma; write a decimal point`;
  // Long texts are no quantities with a wrong unit, and would only cost time to look at.
  const unit =
    input.length > 40 ? undefined : /^-?[\d.].*?([A-Za-z"'µ°][A-Za-z0-9/²"'µ°]*)$/.exec(input)?.[1];
  if (unit !== undefined && UNITS[dimension][unit] === undefined) {
    const known = Object.keys(UNITS[dimension]);
    const near = didYouMean(unit, known);
    return `${shown} has a unit that is no ${dimension}: \`${visible(unit)}\`, expected one of ${known.join(', ')}${near ? `; ${near}` : ''}`;
  }
  return `${shown} is not a ${dimension}; ${wanted}`;
}

/** By schema: why a value is not the quantity it stands for. */
const EXPLANATIONS = new WeakMap<object, (input: unknown) => string>();

/** The explanation that belongs to a schema of a quantity; undefined for any other schema. */
export function quantityExplanation(schema: object): ((input: unknown) => string) | undefined {
  return EXPLANATIONS.get(schema);
}

function unitNote(dimension: Dimension): string {
  const bare = BARE[dimension];
  const known = Object.keys(UNITS[dimension]).join(', ');
  if (!bare) return `Unit: must be written, one of ${known}.`;
  if (bare.mm === bare.in) return `Unit: ${bare.mm}, or written: ${known}.`;
  return `Unit: ${bare.mm} or ${bare.in} as the file's \`units\` say, or written: ${known}.`;
}

/** Schema of one quantity. The unit is part of its description, so that an editor shows it. */
export function quantity(
  dimension: Dimension,
  about: string,
  example: WrittenQuantity,
  sign: Sign = 'positive',
): z.ZodType<WrittenQuantity, WrittenQuantity> {
  const error = (issue: { input?: unknown }) => explain(issue.input, dimension, sign);
  const text = z.string({ error }).regex(patternFor(dimension, sign), { error });
  let schema: z.ZodType<WrittenQuantity, WrittenQuantity> = text;
  if (BARE[dimension] !== null) {
    const any = z.number({ error }).max(GREATEST, { error });
    const least =
      sign === 'any'
        ? any.min(-GREATEST, { error })
        : sign === 'positive'
          ? any.gt(0, { error })
          : any.min(0, { error });
    schema = z.union([least, text], { error });
  }
  const described = schema.meta({ description: `${about}. ${unitNote(dimension)}`, examples: [example] });
  EXPLANATIONS.set(described, (input) => explain(input, dimension, sign));
  return described;
}

/**
 * A length as typed in a call: `12.5` in the machine's unit, `0.75 in`, `1/4 in`. Millimetres, or one sentence on why it is
 * none.
 */
export function readLength(
  text: string,
  units: Units,
  sign: Sign,
): { readonly mm: number } | { readonly problem: string } {
  const typed = text.trim();
  const value = /^[-+]?(\d+\.?\d*|\.\d+)$/.test(typed) ? Number(typed) : typed;
  const bad = typeof value === 'number' ? !signed(value, sign) : !patternFor('length', sign).test(value);
  return bad ? { problem: explain(value, 'length', sign) } : { mm: toInternal(value, 'length', units) };
}

function signed(value: number, sign: Sign): boolean {
  if (Math.abs(value) > GREATEST) return false;
  return sign === 'any' || (sign === 'positive' ? value > 0 : value >= 0);
}
