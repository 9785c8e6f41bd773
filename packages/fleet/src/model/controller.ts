import type { Units } from '@bedledger/diagnostics';

/** Families of program text, by their standards; `linear` knows straight moves only. */
export const DIALECTS = ['rs274ngc', 'iso6983', 'rs274d', 'linear'] as const;
export type Dialect = (typeof DIALECTS)[number];

/** How a comment is written: not at all, `(in parentheses)`, or `; to the end of the line`. */
export const COMMENT_STYLES = ['none', 'paren', 'semicolon'] as const;
export type CommentStyle = (typeof COMMENT_STYLES)[number];

/** Outputs that programs switch where the controller has them. A controller may have others: those are never switched. */
export const OUTPUT_NAMES = ['vacuum', 'extraction'] as const;
export type OutputName = (typeof OUTPUT_NAMES)[number];

export interface WordFormat {
  /** Digits after the point (or the implied place of it). */
  readonly decimals: number;
  /** Digits before the point; numbers that need more are an error. */
  readonly integers: number;
}

/**
 * What a controller can read, by capability and by standard, never by brand.
 * The profile's `controller` may leave everything but `dialect` out: `fleet` fills the dialect's defaults, so that
 * post and checker read the same, complete description. Every axis is documented in the schema.
 */
export interface Controller {
  readonly dialect: Dialect;
  readonly units: Units;
  readonly unitsWord: 'G20/G21' | 'G70/G71' | 'none';
  readonly distance: 'absolute' | 'incremental';
  /** Word spacing inside a block. */
  readonly spacing: 'space' | 'none';
  readonly comments: CommentStyle;
  /** Longest comment text; longer ones are cut at a word. */
  readonly commentLength: number;
  readonly characterSet: 'ascii-upper' | 'ascii';
  readonly lineNumbers: {
    readonly use: 'off' | 'every' | 'sections';
    readonly start: number;
    readonly step: number;
    readonly max: number;
    /** At `max`: start again, or stop numbering. */
    readonly at_max: 'wrap' | 'stop';
    /** Digits of the number, padded with zeros; 0: not padded. */
    readonly width?: number;
  };
  readonly numbers: {
    readonly point: 'always' | 'fraction' | 'never';
    readonly zeros: 'keep' | 'strip-trailing';
    /** Only with `point: never`. */
    readonly suppress: 'none' | 'leading' | 'trailing';
    readonly xyz: WordFormat;
    readonly ijk: WordFormat;
    readonly feed: WordFormat;
    readonly speed: WordFormat;
    readonly dwell: WordFormat;
    readonly plus: boolean;
    /** `0.5` or `.5`. */
    readonly leadingZero?: 'keep' | 'strip';
  };
  readonly arcs: {
    readonly form: 'none' | 'centre' | 'centre-absolute' | 'radius';
    readonly quadrants: 'multi' | 'single';
    readonly fullCircle: 'one' | 'two' | 'four';
    readonly helix: boolean;
    /** Feed of a helix counts along the path or along its projection. */
    readonly helixFeed: 'path' | 'projection';
    /** Allowed difference of start and end radius, mm (0.002 in the RS274/NGC report §3.5.3). */
    readonly tolerance: number;
    readonly minRadius: number;
    readonly maxRadius: number;
    /** Chord tolerance where arcs must become lines, mm. */
    readonly chord: number;
  };
  readonly plane: 'G17' | 'none';
  readonly rapids: {
    /** Does a rapid of two axes run straight? `unknown` and `per-axis` are checked over their whole box. */
    readonly path: 'straight' | 'per-axis' | 'unknown';
  };
  readonly feed: {
    readonly word: 'modal' | 'every-cut';
    readonly mode: 'G94' | 'none';
    readonly min: number;
    readonly max: number;
    /** Feeds in the text count per minute (the usual) or per second. */
    readonly per?: 'minute' | 'second';
  };
  readonly spindle: {
    readonly speed: 'rpm' | 'none';
    readonly order: 'same-block' | 'speed-first';
    readonly start: 'dwell' | 'at-speed' | 'manual';
    readonly reverseAllowed: false;
    /** Speeds that are chosen by a code number instead of being written in rpm. */
    readonly codes?: readonly { readonly rpm: number; readonly code: number }[];
  };
  readonly dwell: { readonly word: 'P' | 'X' | 'F' | 'S' | 'U' | 'none'; readonly unit: 's' | 'ms' };
  readonly toolChange: 'one-tool-per-program' | 'automatic' | 'manual-stop';
  readonly toolLength: 'none' | 'G43';
  /** First work offset word is G54 for work offset 1; `none` when the controller has no such word. */
  readonly workOffset: 'G54-G59.3' | 'none';
  readonly home: 'none' | 'G28' | 'G53';
  readonly cycles: {
    readonly use: 'none' | 'G81-G83';
    readonly return: 'G98/G99' | 'none';
    readonly cancel: boolean;
  };
  /** Which words may be left out while they stay in force. */
  readonly modal: { readonly motion: boolean; readonly axes: boolean };
  readonly words: {
    readonly gPerBlock: number;
    readonly mPerBlock: number;
    /** `G01 M03` instead of `G1 M3`. */
    readonly twoDigits?: boolean;
  };
  /** Word that says what happens at corners, stated in the safe start. */
  readonly pathMode?: 'none' | 'G61' | 'G61.1' | 'G64';
  readonly start: {
    readonly percent: boolean;
    readonly programNumber: number | null;
    readonly programWord: 'O' | ':' | 'none';
  };
  readonly end: { readonly word: 'M2' | 'M30'; readonly percent: boolean };
  readonly optionalStop: boolean;
  readonly blockDelete: boolean;
  readonly lineEnding: 'lf' | 'crlf' | 'cr';
  readonly fileName: {
    readonly form: 'free' | '8.3' | 'digits';
    readonly extension: string;
    readonly upper: boolean;
  };
  readonly maxLineLength: number;
  readonly maxLines: number | null;
  readonly maxBytes: number | null;
  /** Z up (the usual) or down. */
  readonly zSign: 1 | -1;
  /** Auxiliary outputs by name (`vacuum`, `extraction`, `air`, …): the words that switch each on and off, e.g. `M7`. */
  readonly auxiliary: Readonly<Record<string, { readonly on: string; readonly off: string }>>;
}
