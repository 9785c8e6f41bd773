import type { Units } from '@bedledger/diagnostics';
import type { Controller, Dialect } from '../model/controller.ts';

/** Greatest number of digits before the point: 9999.999 mm and 999.9999 in reach over every router. */
function formats(units: Units) {
  const mm = units === 'mm';
  const length = { decimals: mm ? 3 : 4, integers: mm ? 4 : 3 };
  return {
    xyz: length,
    ijk: length,
    feed: { decimals: mm ? 0 : 1, integers: 5 },
    speed: { decimals: 0, integers: 5 },
    dwell: { decimals: 2, integers: 3 },
  };
}

/** What RS274/NGC means by itself: NISTIR 6556 (units §3.5.6, arcs and their tolerance §3.5.3, cycles §3.5.16, line §3.3). */
function reportDefaults(dialect: Dialect, units: Units, maxFeed: number): Controller {
  return {
    dialect,
    units,
    unitsWord: 'G20/G21',
    distance: 'absolute',
    spacing: 'space',
    comments: 'paren',
    commentLength: 72,
    characterSet: 'ascii-upper',
    lineNumbers: { use: 'off', start: 10, step: 10, max: 99999, at_max: 'wrap', width: 0 },
    numbers: {
      point: 'always',
      zeros: 'keep',
      suppress: 'none',
      ...formats(units),
      plus: false,
      leadingZero: 'keep',
    },
    arcs: {
      form: 'centre',
      quadrants: 'multi',
      fullCircle: 'one',
      helix: true,
      helixFeed: 'path',
      tolerance: 0.002,
      minRadius: 0.05,
      maxRadius: 10000,
      chord: 0.01,
    },
    plane: 'G17',
    rapids: { path: 'unknown' },
    feed: { word: 'modal', mode: 'G94', min: 1, max: maxFeed, per: 'minute' },
    spindle: { speed: 'rpm', order: 'same-block', start: 'dwell', reverseAllowed: false },
    dwell: { word: 'P', unit: 's' },
    toolChange: 'one-tool-per-program',
    toolLength: 'none',
    workOffset: 'G54-G59.3',
    home: 'none',
    cycles: { use: 'G81-G83', return: 'G98/G99', cancel: true },
    modal: { motion: true, axes: true },
    words: { gPerBlock: 10, mPerBlock: 1, twoDigits: false },
    pathMode: 'none',
    start: { percent: false, programNumber: null, programWord: 'none' },
    end: { word: 'M2', percent: false },
    optionalStop: true,
    blockDelete: true,
    lineEnding: 'lf',
    fileName: { form: 'free', extension: 'ngc', upper: false },
    maxLineLength: 120,
    maxLines: null,
    maxBytes: null,
    zSign: 1,
    auxiliary: {},
  };
}

/** What each dialect has otherwise. */
const OTHERWISE: Readonly<Record<Dialect, (base: Controller) => Controller>> = {
  rs274ngc: (base) => base,
  iso6983: (base) => ({
    ...base,
    unitsWord: 'G70/G71',
    lineNumbers: { ...base.lineNumbers, use: 'every', max: 9999 },
    arcs: { ...base.arcs, fullCircle: 'two', helix: false, tolerance: 0.005 },
    dwell: { word: 'X', unit: 's' },
    // The standard tabulates only what a cycle does; its parameters are the machine's.
    cycles: { use: 'none', return: 'none', cancel: true },
    words: { ...base.words, gPerBlock: 4 },
    start: { percent: true, programNumber: null, programWord: 'none' },
    end: { word: 'M30', percent: false },
    optionalStop: true,
    fileName: { form: 'free', extension: 'iso', upper: false },
  }),
  rs274d: (base) => ({
    ...base,
    unitsWord: 'G70/G71',
    spacing: 'none',
    comments: 'none',
    lineNumbers: { ...base.lineNumbers, use: 'every', start: 1, step: 1, max: 999, width: 3 },
    numbers: { ...base.numbers, point: 'never', suppress: 'leading', feed: { decimals: 0, integers: 5 } },
    arcs: { ...base.arcs, quadrants: 'single', fullCircle: 'four', helix: false, tolerance: 0.005 },
    plane: 'none',
    feed: { ...base.feed, mode: 'none' },
    dwell: { word: 'X', unit: 's' },
    workOffset: 'none',
    cycles: { use: 'none', return: 'none', cancel: true },
    words: { gPerBlock: 1, mPerBlock: 1, twoDigits: true },
    end: { word: 'M30', percent: false },
    optionalStop: false,
    fileName: { form: '8.3', extension: 'NC', upper: true },
    maxLineLength: 72,
  }),
  linear: (base) => ({
    ...base,
    arcs: { ...base.arcs, form: 'none', helix: false },
    plane: 'none',
    cycles: { use: 'none', return: 'none', cancel: false },
    words: { ...base.words, gPerBlock: 1 },
    start: { percent: false, programNumber: null, programWord: 'none' },
    end: { word: 'M30', percent: false },
    optionalStop: false,
    blockDelete: false,
    fileName: { form: 'free', extension: 'nc', upper: false },
    maxLineLength: 80,
  }),
};

/**
 * What a dialect means when the profile says nothing more. RS274/NGC: NISTIR 6556. iso6983, rs274d: the standards leave much
 * to the machine; the narrowest reading is taken, and the profile widens it.
 */
export function dialectDefaults(dialect: Dialect, units: Units, maxFeed: number): Controller {
  return OTHERWISE[dialect](reportDefaults(dialect, units, maxFeed));
}
