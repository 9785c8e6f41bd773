import type { Controller, Dialect } from '@bedledger/fleet';

/** Complete controller profiles for tests: wide open, so that a test narrows only what it is about. */
const open: Controller = {
  dialect: 'rs274ngc',
  units: 'mm',
  unitsWord: 'G20/G21',
  distance: 'absolute',
  spacing: 'space',
  comments: 'paren',
  commentLength: 200,
  characterSet: 'ascii',
  lineNumbers: { use: 'off', start: 10, step: 10, max: 99_999, at_max: 'wrap' },
  numbers: {
    point: 'fraction',
    zeros: 'strip-trailing',
    suppress: 'none',
    xyz: { decimals: 3, integers: 5 },
    ijk: { decimals: 3, integers: 5 },
    feed: { decimals: 1, integers: 5 },
    speed: { decimals: 0, integers: 5 },
    dwell: { decimals: 3, integers: 4 },
    plus: false,
  },
  arcs: {
    form: 'centre',
    quadrants: 'multi',
    fullCircle: 'one',
    helix: true,
    helixFeed: 'path',
    tolerance: 0.002,
    minRadius: 0,
    maxRadius: 1e6,
    chord: 0.01,
  },
  plane: 'G17',
  rapids: { path: 'straight' },
  feed: { word: 'modal', mode: 'G94', min: 1, max: 30_000 },
  spindle: { speed: 'rpm', order: 'same-block', start: 'dwell', reverseAllowed: false },
  dwell: { word: 'P', unit: 's' },
  toolChange: 'automatic',
  toolLength: 'G43',
  workOffset: 'G54-G59.3',
  home: 'G28',
  cycles: { use: 'G81-G83', return: 'G98/G99', cancel: false },
  modal: { motion: true, axes: true },
  words: { gPerBlock: 12, mPerBlock: 4 },
  start: { percent: false, programNumber: null, programWord: 'none' },
  end: { word: 'M2', percent: false },
  optionalStop: true,
  blockDelete: true,
  lineEnding: 'lf',
  fileName: { form: 'free', extension: 'ngc', upper: false },
  maxLineLength: 256,
  maxLines: null,
  maxBytes: null,
  zSign: 1,
  auxiliary: {},
};

type Deep<T> = { readonly [K in keyof T]?: T[K] extends object ? Deep<T[K]> : T[K] };

function merge<T>(base: T, change: Deep<T>): T {
  const out: Record<string, unknown> = { ...(base as Record<string, unknown>) };
  for (const [key, value] of Object.entries(change as Record<string, unknown>)) {
    const before = out[key];
    const both = (v: unknown) => typeof v === 'object' && v !== null && !Array.isArray(v);
    out[key] = both(before) && both(value) ? merge(before, value as Deep<unknown>) : value;
  }
  return out as T;
}

const DIALECTS: Readonly<Record<Dialect, Deep<Controller>>> = {
  rs274ngc: {},
  iso6983: { dialect: 'iso6983', numbers: { point: 'always' }, fileName: { extension: 'nc' } },
  rs274d: {
    dialect: 'rs274d',
    unitsWord: 'G70/G71',
    comments: 'none',
    characterSet: 'ascii-upper',
    numbers: {
      point: 'never',
      zeros: 'keep',
      suppress: 'leading',
      xyz: { decimals: 3, integers: 4 },
      ijk: { decimals: 3, integers: 4 },
      feed: { decimals: 0, integers: 5 },
    },
    arcs: { quadrants: 'single', fullCircle: 'four', helix: false },
    dwell: { word: 'F', unit: 's' },
    toolLength: 'none',
    workOffset: 'none',
    home: 'none',
    cycles: { use: 'none', return: 'none' },
    end: { word: 'M30' },
    fileName: { extension: 'tap' },
  },
  linear: {
    dialect: 'linear',
    arcs: { form: 'none' },
    plane: 'none',
    toolLength: 'none',
    cycles: { use: 'none', return: 'none' },
    fileName: { extension: 'nc' },
  },
};

/** A complete controller of a dialect with changes. */
export function controllerOf(dialect: Dialect, change: Deep<Controller> = {}): Controller {
  return merge(merge(open, DIALECTS[dialect]), change);
}
