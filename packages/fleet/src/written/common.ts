import { z } from 'zod';
import { quantity } from './quantity.ts';

/** Characters that end a line, steer a terminal or turn text round: refused in everything people read. */
const CONTROL =
  '\\u0000-\\u001f\\u007f-\\u009f\\u2028\\u2029\\u200e\\u200f\\u202a-\\u202e\\u2066-\\u2069\\ufeff';

export const ID_PATTERN = /^[a-z][a-z0-9-]{0,39}$/;
export const NAME_PATTERN = /^[A-Za-z][A-Za-z0-9_-]{0,39}$/;
export const SITE_PATTERN = /^[A-Z]{1,2}[1-9][0-9]{0,2}$/;
/** A relative path of plain names: no `..`, no leading slash, no backslash. */
export const PATH_PATTERN =
  /^[A-Za-z0-9_][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+)*(?:\/[A-Za-z0-9_][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+)*){0,3}$/;
/** A day of the Gregorian calendar, leap years included. */
export const DATE_PATTERN =
  /^(?:(?:19|20|21)\d\d-(?:(?:0[13578]|1[02])-(?:0[1-9]|[12]\d|3[01])|(?:0[469]|11)-(?:0[1-9]|[12]\d|30)|02-(?:0[1-9]|1\d|2[0-8]))|(?:(?:19|20|21)(?:0[48]|[2468][048]|[13579][26])|2000)-02-29)$/;

function pattern(regex: RegExp, expected: string): z.ZodString {
  return z.string().regex(regex, { error: () => `expected ${expected}` });
}

/** An identifier that becomes a folder or file name. */
export function id(about: string, example: string) {
  return pattern(ID_PATTERN, 'a small letter, then small letters, digits or `-`, 40 at most').meta({
    description: `${about}. Small letters, digits and \`-\`. No unit.`,
    examples: [example],
  });
}

/** A name of a thing on the bed: zone, keep-out, hole, survey feature. */
export function name(about: string, example: string) {
  return pattern(NAME_PATTERN, 'a letter, then letters, digits, `-` or `_`, 40 at most').meta({
    description: `${about}. Letters, digits, \`-\` and \`_\`. No unit.`,
    examples: [example],
  });
}

/** Row letter and column number. */
export function site(about: string, example: string) {
  return pattern(SITE_PATTERN, 'a row letter and a column number such as `B3`').meta({
    description: `${about}. Row letter (A is nearest the operator) and column number from the left. No unit.`,
    examples: [example],
  });
}

/** Why `input` is not one line of free text of at most `longest` characters; null when it is. */
export function textFault(input: string, longest: number): string | null {
  if (new RegExp(`[${CONTROL}]`, 'u').test(input)) {
    return 'text with a line break or another control character; expected one line';
  }
  if (input.trim() === '') return 'text that is empty; expected a few words';
  const length = [...input].length;
  return length > longest ? `text of ${length} characters; expected ${longest} at most` : null;
}

/** Free text on one line, escaped wherever it goes. */
export function text(about: string, example: string, longest = 120) {
  return z
    .string()
    .regex(new RegExp(`^(?=.*\\S)[^${CONTROL}]{1,${longest}}$`, 'u'), {
      error: (issue) =>
        textFault(typeof issue.input === 'string' ? issue.input : '', longest) ?? 'not one line of text',
    })
    .meta({ description: `${about}. One line of text. No unit.`, examples: [example] });
}

export function date(about: string, example: string) {
  return pattern(DATE_PATTERN, 'a day of the calendar such as `2026-03-14`').meta({
    description: `${about}. Calendar day, year-month-day. No unit.`,
    examples: [example],
  });
}

/** A file below the machine's folder. */
export function filePath(about: string, example: string) {
  return pattern(PATH_PATTERN, "a path below the machine's folder such as `heights/2026-03-14.csv`").meta({
    description: `${about}. Path below the machine's folder, forward slashes. No unit.`,
    examples: [example],
  });
}

export function count(about: string, example: number, least: number, most: number, unit = 'No unit') {
  return z
    .int()
    .min(least)
    .max(most)
    .meta({ description: `${about}. ${unit}.`, examples: [example] });
}

export function number(about: string, unit: string, example: number, least: number, most: number) {
  return z
    .number()
    .min(least)
    .max(most)
    .meta({ description: `${about}. Unit: ${unit}.`, examples: [example] });
}

export function choice<const T extends readonly [string, ...string[]]>(
  about: string,
  values: T,
  example: T[number],
) {
  return z
    .enum(values)
    .meta({ description: `${about}. One of ${values.join(', ')}. No unit.`, examples: [example] });
}

export function yesNo(about: string, example: boolean) {
  return z.boolean().meta({ description: `${about}. true or false. No unit.`, examples: [example] });
}

export function units() {
  return z.enum(['mm', 'in']).meta({
    description:
      'What lengths, feeds and accelerations without a unit of their own mean in this file. One of mm, in. No unit.',
    examples: ['mm'],
  });
}

export function point(about: string, example: readonly [number | string, number | string]) {
  return z
    .tuple([
      quantity('length', 'X, to the right', example[0], 'any'),
      quantity('length', 'Y, away from the operator', example[1], 'any'),
    ])
    .meta({ description: `${about}. [x, y] in the bed frame. Unit: length.`, examples: [example] });
}

export function size(about: string, example: readonly [number | string, number | string]) {
  return z
    .tuple([quantity('length', 'Size along X', example[0]), quantity('length', 'Size along Y', example[1])])
    .meta({ description: `${about}. [along X, along Y]. Unit: length.`, examples: [example] });
}

export function circle() {
  return z
    .strictObject({
      at: point('Centre', [1240, 2450]),
      diameter: quantity('length', 'Diameter', 70),
    })
    .meta({ description: 'A circle. Unit: length.', examples: [{ at: [1240, 2450], diameter: 70 }] });
}

export function rect() {
  return z
    .strictObject({
      at: point('Corner nearest the origin (left, near the operator)', [0, 0]),
      size: size('Width and depth', [600, 800]),
    })
    .meta({
      description: 'A rectangle along the axes. Unit: length.',
      examples: [{ at: [0, 0], size: [600, 800] }],
    });
}

export function polygon() {
  return z
    .array(point('One corner', [0, 0]))
    .min(3)
    .max(500)
    .meta({
      description: 'Corners of a polygon, in order round it, without repeating the first. Unit: length.',
      examples: [
        [
          [0, 0],
          [600, 0],
          [600, 400],
        ],
      ],
    });
}

/** The three ways to write a shape: exactly one of them is given (checked with the other facts of the file). */
export const SHAPE_KEYS = ['rect', 'circle', 'polygon'] as const;

export function shapeFields() {
  return { rect: rect().optional(), circle: circle().optional(), polygon: polygon().optional() };
}

export type WrittenPoint = [number | string, number | string];
export interface WrittenShape {
  rect?: { at: WrittenPoint; size: WrittenPoint } | undefined;
  circle?: { at: WrittenPoint; diameter: number | string } | undefined;
  polygon?: WrittenPoint[] | undefined;
}
