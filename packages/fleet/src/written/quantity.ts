import { didYouMean, MM_PER_INCH, type Units, visible } from '@bedledger/diagnostics';
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

/** Exact; a product of binary numbers would miss it by its last digit. */
const MM_PER_FOOT = 304.8;

/**
 * Factors to the internal unit. Inch, foot and pound are exact by the international agreement of 1959; conventional inch
 * of mercury 3386.389 Pa: NIST SP 811.
 */
const UNITS: Readonly<Record<Dimension, Readonly<Record<string, number>>>> = {
  length: { mm: 1, cm: 10, m: 1000, um: 0.001, in: MM_PER_INCH, ft: MM_PER_FOOT, thou: MM_PER_INCH / 1000 },
  speed: {
    'mm/min': 1,
    'mm/s': 60,
    'm/min': 1000,
    'in/min': MM_PER_INCH,
    'in/s': MM_PER_INCH * 60,
    'ft/min': MM_PER_FOOT,
  },
  acceleration: { 'mm/s2': 1, 'm/s2': 1000, 'in/s2': MM_PER_INCH, 'ft/s2': MM_PER_FOOT },
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

/** The units in which a valid length is written: those of the file where it names none. */
export function lengthUnits(value: WrittenQuantity, units: Units): Units {
  if (typeof value === 'number') return units;
  return /(?:in|ft|thou)$/.test(value) ? 'in' : 'mm';
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

/** What a quantity looks like in a file in millimetres or in inches, for messages. */
const EXAMPLES: Readonly<Record<Dimension, Readonly<Record<Units, string>>>> = {
  length: { mm: '`18`, `18 mm` or `1.8 cm`', in: '`0.75`, `0.75 in` or `3/4 in`' },
  speed: { mm: '`12000` or `12 m/min`', in: '`480` or `480 in/min`' },
  acceleration: { mm: '`900` or `0.9 m/s2`', in: '`35` or `35 in/s2`' },
  pressure: { mm: '`68 kPa` or `0.7 bar`', in: '`20 inHg` or `10 psi`' },
  stress: { mm: '`3` or `3 N/mm2`', in: '`435 psi`' },
  modulus: { mm: '`2.4` or `2.4 GPa`', in: '`350000 psi`' },
  density: { mm: '`740` or `740 kg/m3`', in: '`46 lb/ft3`' },
  force: { mm: '`400` or `400 N`', in: '`90 lbf`' },
  angle: { mm: '`3` or `3 deg`', in: '`3` or `3 deg`' },
  time: { mm: '`6`, `6 s` or `500 ms`', in: '`6`, `6 s` or `500 ms`' },
  flow: { mm: '`250 m3/h`', in: '`150 cfm`' },
  permeability: { mm: '`1e-13`', in: '`1e-13`' },
};

/** Units in which an example that carries its own is shown: `20 inHg` to people with inches, `68 kPa` to others. */
const SHOWN_IN: Readonly<Partial<Record<Dimension, Readonly<Record<Units, string>>>>> = {
  length: { mm: 'm', in: 'ft' },
  pressure: { mm: 'kPa', in: 'inHg' },
  flow: { mm: 'm3/h', in: 'cfm' },
};

/** One field that holds a quantity, as its schema describes it. */
export interface QuantityField {
  readonly dimension: Dimension;
  readonly sign: Sign;
  readonly about: string;
  /** In millimetres where it has no unit of its own. */
  readonly example: WrittenQuantity;
}

/** One sentence on why `input` is not a quantity of this field, for a file in `units`. */
export function explainQuantity(
  input: unknown,
  { dimension, sign }: Pick<QuantityField, 'dimension' | 'sign'>,
  units: Units,
): string {
  const wanted = `expected a ${dimension} such as ${EXAMPLES[dimension][units]}`;
  if (typeof input === 'number') {
    if (!Number.isFinite(input)) return `${input} is not a number to work with; ${wanted}`;
    if (BARE[dimension] === null) return `${input} has no unit; ${wanted}`;
    if (Math.abs(input) > GREATEST) return `${input} is too large to be meant; ${wanted}`;
    return `${input} must ${LIMIT[sign]}; ${wanted}`;
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
  if (patternFor(dimension, 'any').test(input)) return `${shown} must ${LIMIT[sign]}; ${wanted}`;
  if (/^-?\d+(\.\d+)?$/.test(input))
    return `${shown} is text without a unit; leave the quotes out or add the unit`;
  if (/^-?\d+,\d+/.test(input)) return `${shown} has a decimal comma; write a decimal point`;
  // Long texts are no quantities with a wrong unit, and would only cost time to look at.
  const unit =
    input.length > 40 ? undefined : /^-?[\d.].*?([A-Za-z"'µ°][A-Za-z0-9/²"'µ°]*)$/.exec(input)?.[1];
  if (unit !== undefined && UNITS[dimension][unit] === undefined) {
    const near = didYouMean(unit, Object.keys(UNITS[dimension]));
    return `${shown} has a unit that is no ${dimension}: \`${visible(unit)}\`; ${near ?? wanted}`;
  }
  return `${shown} is not a ${dimension}; ${wanted}`;
}

/** What a number that its schema refuses would have to be. `any` is refused for its size only, which is said before. */
const LIMIT: Readonly<Record<Sign, string>> = {
  positive: 'be greater than 0',
  'zero-or-more': 'not be less than 0',
  any: 'be a number',
};

/** The field's own example as it would be written in a file in `units`: two digits are enough after a conversion. */
export function exampleIn({ dimension, example }: QuantityField, units: Units): string {
  const bare = BARE[dimension];
  if (typeof example === 'number') {
    if (!bare || units === 'mm' || bare.mm === bare.in) return String(example);
    return String(Number((example / UNITS[dimension][bare.in]!).toPrecision(2)));
  }
  const shown = SHOWN_IN[dimension]?.[units];
  if (shown === undefined || example.endsWith(` ${shown}`)) return example;
  const value = toInternal(example, dimension, units) / UNITS[dimension][shown]!;
  return `${Number(value.toPrecision(2))} ${shown}`;
}

/** What the field is and how it is written in a file in `units`. */
export function quantityHelp(field: QuantityField, units: Units): string {
  const bare = BARE[field.dimension];
  const unit = bare === null ? 'Unit: must be written' : `Unit: ${bare[units]}, unless another is written`;
  return `${field.about}. ${unit}, for example \`${exampleIn(field, units)}\``;
}

/** By schema: the quantity it stands for. */
const FIELDS = new WeakMap<object, QuantityField>();

/** The quantity that a schema stands for; undefined for any other schema. */
export function quantityField(schema: object): QuantityField | undefined {
  return FIELDS.get(schema);
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
  const field: QuantityField = { dimension, sign, about, example };
  // The loader says it again in the unit of the file.
  const error = (issue: { input?: unknown }) => explainQuantity(issue.input, field, 'mm');
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
  FIELDS.set(described, field);
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
  return bad
    ? { problem: explainQuantity(value, { dimension: 'length', sign }, units) }
    : { mm: toInternal(value, 'length', units) };
}

function signed(value: number, sign: Sign): boolean {
  if (Math.abs(value) > GREATEST) return false;
  return sign === 'any' || (sign === 'positive' ? value > 0 : value >= 0);
}
