import type { CommentStyle, Controller, Dialect } from '@bedledger/fleet';

/** Modal groups of G words, numbered as in NGC table 4; 14 and 15 hold words of the older standards. */
export const GROUP = {
  once: 0,
  motion: 1,
  plane: 2,
  distance: 3,
  feedMode: 5,
  units: 6,
  compensation: 7,
  length: 8,
  cycleReturn: 10,
  workOffset: 12,
  path: 13,
  quadrants: 14,
  speedMode: 15,
} as const;

/** Groups of M words: stop, tool, spindle, coolant, overrides; 5 and up are outputs named by the profile. */
export const M_GROUP = { stop: 0, tool: 1, spindle: 2, coolant: 3, override: 4, output: 5 } as const;

/** What may be done with a code. */
export const UNKNOWN = 0;
export const ALLOWED = 1;
/** The standard has it, the profile does not. */
export const NOT_IN_PROFILE = 2;
/** Known, but what it does cannot be followed. */
export const NOT_FOLLOWED = 3;
/** The controller has it; issued programs never use it. */
export const NOT_ISSUED = 4;

/** Kind of a letter: value word, G, M, N, program number or subprogram. */
export const LETTER_UNKNOWN = 0;
const LETTER_VALUE = 1;
export const LETTER_G = 2;
export const LETTER_M = 3;
export const LETTER_N = 4;
export const LETTER_O = 5;
export const LETTER_NOT_IN_PROFILE = 6;

const letterIndex = (letter: string): number => letter.toLowerCase().charCodeAt(0) - 97;

/** Byte that opens a comment; 0 where the controller has no comments. */
const COMMENT_OPENING: Readonly<Record<CommentStyle, number>> = { none: 0, paren: 40, semicolon: 59 };

/** What a family of program text means for reading it. */
interface DialectReading {
  /** The dialect of the RS274/NGC report. */
  readonly ngc: boolean;
  /** Words of an issued block stand in the customary order. */
  readonly wordOrder: boolean;
  /** The colon is kept for alignment blocks, in comments too (ISO 6983). */
  readonly colonReserved: boolean;
  /** The dialect has arcs. */
  readonly arcs: boolean;
}

const DIALECT_READING: Readonly<Record<Dialect, DialectReading>> = {
  rs274ngc: { ngc: true, wordOrder: false, colonReserved: false, arcs: true },
  iso6983: { ngc: false, wordOrder: true, colonReserved: true, arcs: true },
  rs274d: { ngc: false, wordOrder: true, colonReserved: false, arcs: true },
  linear: { ngc: false, wordOrder: false, colonReserved: false, arcs: false },
};

/** An output of the profile as an M code and the words that must stand beside it. */
interface Output {
  readonly name: string;
  readonly on: boolean;
  readonly words: readonly { readonly letter: number; readonly value: number }[];
}

/** A controller profile as flat tables for the scanner and the interpreter. */
export interface ReadingProfile extends Omit<DialectReading, 'arcs'> {
  readonly controller: Controller;
  readonly strict: boolean;
  /** Comments of every form, with any character, are read. */
  readonly anyComment: boolean;
  readonly commentOpening: number;
  readonly letters: Uint8Array;
  readonly gStatus: Uint8Array;
  readonly gGroup: Uint8Array;
  readonly mStatus: Uint8Array;
  readonly mGroup: Uint8Array;
  /** Outputs of the profile by M code. */
  readonly outputs: ReadonlyMap<number, readonly Output[]>;
  /** Decimals per letter that the profile writes; 99 where it does not matter. */
  readonly decimals: Uint8Array;
  /** Smallest magnitude that has too many digits before the point, per letter. */
  readonly limit: Float64Array;
  /** Digits in all per letter in the format without decimal point; 0: a plain whole number. */
  readonly digits: Uint8Array;
  /** Decimals and digits in all of the dwell word, which may share its letter with an axis. */
  readonly dwellDecimals: number;
  readonly dwellDigits: number;
  readonly dwellLimit: number;
  /** Letters that must carry a point. */
  readonly pointNeeded: Uint8Array;
  /** Letter index of the dwell word, −1 when there is none. */
  readonly dwell: number;
  readonly maxG: number;
  readonly maxM: number;
  /** Longest line in bytes. */
  readonly maxLine: number;
}

const set = (table: Uint8Array, letters: string, value: number): void => {
  for (const letter of letters) table[letterIndex(letter)] = value;
};

/** Turns a controller profile into tables. Pure; a few microseconds. */
export function readingProfile(controller: Controller, strict: boolean, anyComment = false): ReadingProfile {
  const c = controller;
  const { arcs: _, ...dialect } = DIALECT_READING[c.dialect];
  const dwell = c.dwell.word === 'none' ? -1 : letterIndex(c.dwell.word);
  const letters = letterTable(c, dwell);
  const { numbers } = c;
  const implied = numbers.point === 'never';
  return {
    controller,
    strict,
    anyComment,
    ...dialect,
    wordOrder: strict && dialect.wordOrder,
    commentOpening: COMMENT_OPENING[c.comments],
    letters,
    ...gTables(c),
    ...mTables(c, letters),
    ...numberTables(c, strict),
    dwellDecimals: strict || implied ? numbers.dwell.decimals : 99,
    dwellDigits: implied && numbers.dwell.decimals > 0 ? numbers.dwell.decimals + numbers.dwell.integers : 0,
    dwellLimit: 10 ** numbers.dwell.integers,
    dwell,
    maxG: Math.max(1, c.words.gPerBlock),
    maxM: dialect.ngc ? Math.min(4, c.words.mPerBlock) : c.words.mPerBlock,
    maxLine: dialect.ngc ? Math.min(256, c.maxLineLength) : c.maxLineLength,
  };
}

/** What each letter is on this controller. */
function letterTable(c: Controller, dwell: number): Uint8Array {
  const { ngc } = DIALECT_READING[c.dialect];
  const letters = new Uint8Array(26);
  set(letters, 'FIJKLPQRSTXYZ', LETTER_VALUE);
  if (ngc) set(letters, 'DH', LETTER_VALUE);
  if (!ngc && c.toolLength === 'G43') set(letters, 'H', LETTER_VALUE);
  set(letters, 'G', LETTER_G);
  set(letters, 'M', LETTER_M);
  set(letters, 'N', LETTER_N);
  set(letters, 'O', LETTER_O);
  if (!ngc && c.arcs.form === 'none') set(letters, 'IJK', LETTER_NOT_IN_PROFILE);
  if (!ngc && c.cycles.use === 'none') {
    set(letters, 'LPQ', LETTER_NOT_IN_PROFILE);
    if (c.arcs.form !== 'radius') set(letters, 'R', LETTER_NOT_IN_PROFILE);
  }
  if (dwell >= 0) letters[dwell] = LETTER_VALUE;
  return letters;
}

const when = (condition: boolean, otherwise: number = NOT_IN_PROFILE): number =>
  condition ? ALLOWED : otherwise;

/** Group and status of each G word, by ten times its code. */
function gTables(c: Controller): Pick<ReadingProfile, 'gStatus' | 'gGroup'> {
  const { ngc, arcs: dialectHasArcs } = DIALECT_READING[c.dialect];
  const gStatus = new Uint8Array(1000);
  const gGroup = new Uint8Array(1000);
  const g = (group: number, status: number, ...codes: number[]): void => {
    for (const code of codes) {
      gStatus[Math.round(code * 10)] = status;
      gGroup[Math.round(code * 10)] = group;
    }
  };
  const arcs = c.arcs.form !== 'none' && dialectHasArcs;
  const cycles = c.cycles.use !== 'none';

  g(GROUP.motion, ALLOWED, 0, 1);
  g(GROUP.motion, when(arcs), 2, 3);
  // Cancelling a cycle that the controller does not have changes nothing, so the word is welcome at a start.
  g(GROUP.motion, when(dialectHasArcs || cycles), 80);
  g(GROUP.motion, when(cycles), 81, 82, 83);
  g(GROUP.motion, ngc && cycles ? NOT_ISSUED : NOT_IN_PROFILE, 85, 86, 89);
  g(GROUP.motion, NOT_FOLLOWED, 84, 87, 88, 38.2);
  g(GROUP.plane, when(ngc || c.plane === 'G17'), 17);
  g(GROUP.plane, when((ngc || c.plane === 'G17') && arcs, ngc ? ALLOWED : NOT_IN_PROFILE), 18, 19);
  g(GROUP.distance, ALLOWED, 90, 91);
  g(GROUP.feedMode, when(ngc || c.feed.mode === 'G94'), 94);
  g(GROUP.feedMode, ngc ? NOT_ISSUED : NOT_IN_PROFILE, 93);
  g(GROUP.units, when(c.unitsWord === 'G20/G21'), 20, 21);
  if (!ngc) g(GROUP.units, when(c.unitsWord === 'G70/G71'), 70, 71);
  if (ngc && c.unitsWord === 'G70/G71') g(GROUP.units, ALLOWED, 70, 71);
  g(GROUP.compensation, ALLOWED, 40);
  g(GROUP.compensation, NOT_FOLLOWED, 41, 42);
  g(GROUP.length, when(c.toolLength === 'G43'), 43);
  g(GROUP.length, when(ngc || c.toolLength === 'G43'), 49);
  g(GROUP.cycleReturn, when(ngc || c.cycles.return === 'G98/G99'), 98, 99);
  g(GROUP.workOffset, when(c.workOffset === 'G54-G59.3'), 54, 55, 56, 57, 58, 59);
  g(GROUP.workOffset, when(ngc && c.workOffset === 'G54-G59.3'), 59.1, 59.2, 59.3);
  for (const code of [61, 61.1, 64]) {
    const own = c.pathMode === `G${code}`;
    g(GROUP.path, ngc ? (own ? ALLOWED : NOT_ISSUED) : when(own), code);
  }
  if (!ngc) {
    g(GROUP.quadrants, when(c.arcs.quadrants === 'single' || c.dialect === 'rs274d'), 74, 75);
    g(GROUP.speedMode, ALLOWED, 97);
    g(GROUP.speedMode, NOT_FOLLOWED, 95, 96);
  }
  g(GROUP.once, when(c.dwell.word !== 'none'), 4);
  g(GROUP.once, when(c.home === 'G28', ngc ? ALLOWED : NOT_IN_PROFILE), 28);
  g(GROUP.once, when(c.home === 'G53', ngc ? ALLOWED : NOT_IN_PROFILE), 53);
  g(GROUP.once, when(ngc), 10, 30, 92, 92.1, 92.2, 92.3);
  return { gStatus, gGroup };
}

/** Group and status of each M word, and the outputs of the profile, whose letters are allowed in `letters`. */
function mTables(c: Controller, letters: Uint8Array): Pick<ReadingProfile, 'mStatus' | 'mGroup' | 'outputs'> {
  const { ngc } = DIALECT_READING[c.dialect];
  const mStatus = new Uint8Array(1000);
  const mGroup = new Uint8Array(1000);
  const m = (group: number, status: number, ...codes: number[]): void => {
    for (const code of codes) {
      mStatus[code] = status;
      mGroup[code] = group;
    }
  };
  m(M_GROUP.stop, ALLOWED, 0, 2, 30);
  m(M_GROUP.stop, when(c.optionalStop, NOT_ISSUED), 1);
  m(M_GROUP.stop, ngc ? NOT_ISSUED : NOT_IN_PROFILE, 60);
  m(M_GROUP.tool, c.toolChange === 'automatic' ? ALLOWED : NOT_ISSUED, 6);
  m(M_GROUP.spindle, ALLOWED, 3, 5);
  m(M_GROUP.spindle, c.spindle.reverseAllowed ? ALLOWED : NOT_ISSUED, 4);
  m(M_GROUP.coolant, ALLOWED, 7, 8, 9);
  m(M_GROUP.override, when(ngc), 48, 49);
  const outputs = new Map<number, Output[]>();
  let group: number = M_GROUP.output;
  for (const [name, written] of Object.entries(c.auxiliary)) {
    for (const on of [true, false]) {
      const words = [...(on ? written.on : written.off).matchAll(/([A-Z])\s*([-+]?\d*\.?\d+)/gi)].map(
        (w) => ({
          letter: letterIndex(w[1]!),
          value: Number(w[2]),
        }),
      );
      const code = words.find((w) => w.letter === letterIndex('M'))?.value;
      if (code === undefined || code >= 1000) continue;
      const others = words.filter((w) => w.letter !== letterIndex('M'));
      for (const w of others) letters[w.letter] = LETTER_VALUE;
      outputs.set(code, [...(outputs.get(code) ?? []), { name, on, words: others }]);
      // A code the standard already has keeps its group; others exclude their opposite only.
      if (mStatus[code] === UNKNOWN) m(group, ALLOWED, code);
      else mStatus[code] = ALLOWED;
    }
    if (group < 30) group++;
  }
  return { mStatus, mGroup, outputs };
}

/** How the number of each letter is written. */
function numberTables(
  c: Controller,
  strict: boolean,
): Pick<ReadingProfile, 'decimals' | 'limit' | 'digits' | 'pointNeeded'> {
  const { ngc } = DIALECT_READING[c.dialect];
  const decimals = new Uint8Array(26).fill(99);
  const limit = new Float64Array(26).fill(Number.POSITIVE_INFINITY);
  const digits = new Uint8Array(26);
  const pointNeeded = new Uint8Array(26);
  const n = c.numbers;
  const formats: [string, { readonly decimals: number; readonly integers: number }][] = [
    ['XYZRQ', n.xyz],
    ['IJK', n.ijk],
    ['F', n.feed],
    ['S', n.speed],
  ];
  if (c.dwell.word !== 'none' && !'XYZFS'.includes(c.dwell.word)) formats.push([c.dwell.word, n.dwell]);
  for (const [list, format] of formats) {
    for (const letter of list) {
      const i = letterIndex(letter);
      if (strict || n.point === 'never') decimals[i] = format.decimals;
      limit[i] = 10 ** format.integers;
      // A format without decimals is a plain whole number: nothing to pad, nothing to suppress.
      if (n.point === 'never' && format.decimals > 0) digits[i] = format.decimals + format.integers;
    }
  }
  if (!ngc && n.point === 'always') for (const letter of 'XYZIJKRQ') pointNeeded[letterIndex(letter)] = 1;
  return { decimals, limit, digits, pointNeeded };
}
