import type { Diagnostic, Units } from '@bedledger/diagnostics';
import type { Controller } from '../model/controller.ts';
import { type Locator, nowhere } from '../report.ts';
import type { ControllerWritten } from '../written/controller.ts';
import { toInternal } from '../written/quantity.ts';
import { controllerFindings } from './contradictions.ts';
import { dialectDefaults } from './defaults.ts';

/** Defaults with whatever is written laid over them; `undefined` writes nothing. */
function over<T extends object>(defaults: T, written: Partial<Record<keyof T, unknown>> | undefined): T {
  const out: Record<string, unknown> = { ...(defaults as Record<string, unknown>) };
  for (const [key, value] of Object.entries(written ?? {})) if (value !== undefined) out[key] = value;
  return out as T;
}

/** A quantity as written, in the units of the machine inside; as the dialect has it where nothing is written. */
function quantityOr(
  value: number | string | undefined,
  kind: 'length' | 'speed',
  fileUnits: Units,
  otherwise: number,
): number {
  return value === undefined ? otherwise : toInternal(value, kind, fileUnits);
}

function numbersOf(written: ControllerWritten, d: Controller): Controller['numbers'] {
  const n = written.numbers;
  return {
    point: n?.point ?? d.numbers.point,
    zeros: n?.zeros ?? d.numbers.zeros,
    suppress:
      n?.suppress ??
      ((n?.point ?? d.numbers.point) === 'never' && d.numbers.suppress === 'none'
        ? 'leading'
        : d.numbers.suppress),
    xyz: over(d.numbers.xyz, n?.xyz),
    ijk: over(n?.xyz ? over(d.numbers.ijk, n.xyz) : d.numbers.ijk, n?.ijk),
    feed: over(d.numbers.feed, n?.feed),
    speed: over(d.numbers.speed, n?.speed),
    dwell: over(
      // A dwell of a minute in milliseconds has five digits and needs none behind the point.
      (written.dwell?.unit ?? d.dwell.unit) === 'ms' ? { decimals: 0, integers: 6 } : d.numbers.dwell,
      n?.dwell,
    ),
    plus: n?.plus ?? d.numbers.plus,
    leadingZero: n?.leading_zero ?? d.numbers.leadingZero ?? 'keep',
  };
}

function arcsOf(written: ControllerWritten, d: Controller, fileUnits: Units): Controller['arcs'] {
  const a = written.arcs;
  const mm = (value: number | string | undefined, otherwise: number): number =>
    quantityOr(value, 'length', fileUnits, otherwise);
  // A full turn cannot be given by its radius, and a half turn only badly (NISTIR 6556 §3.5.3.1).
  const fullCircle =
    a?.full_circle ??
    ((a?.quadrants ?? d.arcs.quadrants) === 'single' || a?.form === 'radius' ? 'four' : d.arcs.fullCircle);
  return {
    form: a?.form ?? d.arcs.form,
    quadrants: a?.quadrants ?? d.arcs.quadrants,
    fullCircle,
    helix: a?.helix ?? d.arcs.helix,
    helixFeed: a?.helix_feed ?? d.arcs.helixFeed,
    tolerance: mm(a?.tolerance, d.arcs.tolerance),
    minRadius: mm(a?.min_radius, d.arcs.minRadius),
    maxRadius: mm(a?.max_radius, d.arcs.maxRadius),
    chord: mm(a?.chord, d.arcs.chord),
  };
}

function feedOf(written: ControllerWritten, d: Controller, fileUnits: Units): Controller['feed'] {
  const speed = (value: number | string | undefined, otherwise: number): number =>
    quantityOr(value, 'speed', fileUnits, otherwise);
  return {
    word: written.feed?.word ?? d.feed.word,
    mode: written.feed?.mode ?? d.feed.mode,
    min: speed(written.feed?.min, d.feed.min),
    max: speed(written.feed?.max, d.feed.max),
    per: written.feed?.per ?? d.feed.per ?? 'minute',
  };
}

function spindleOf(written: ControllerWritten, d: Controller): Controller['spindle'] {
  return {
    speed: written.spindle?.speed ?? d.spindle.speed,
    order: written.spindle?.order ?? d.spindle.order,
    start: written.spindle?.start ?? d.spindle.start,
    reverseAllowed: false,
    ...(written.spindle?.codes ? { codes: written.spindle.codes } : {}),
  };
}

function wordsOf(written: ControllerWritten, d: Controller): Controller['words'] {
  return {
    gPerBlock: written.words?.g_per_block ?? d.words.gPerBlock,
    mPerBlock: written.words?.m_per_block ?? d.words.mPerBlock,
    twoDigits: written.words?.two_digits ?? d.words.twoDigits ?? false,
  };
}

function startOf(written: ControllerWritten, d: Controller): Controller['start'] {
  return {
    percent: written.start?.percent ?? d.start.percent,
    programNumber: written.start?.program_number ?? d.start.programNumber,
    programWord: written.start?.program_word ?? d.start.programWord,
  };
}

function fileNameOf(written: ControllerWritten, d: Controller): Controller['fileName'] {
  return {
    form: written.file_name?.form === 'short' ? '8.3' : (written.file_name?.form ?? d.fileName.form),
    extension: written.file_name?.extension ?? d.fileName.extension,
    upper: written.file_name?.upper ?? d.fileName.upper,
  };
}

/** A written controller with its dialect's defaults filled in. */
function withDefaults(written: ControllerWritten, fileUnits: Units, maxFeed: number): Controller {
  const units = written.units ?? fileUnits;
  const d = dialectDefaults(written.dialect, units, maxFeed);
  return {
    dialect: written.dialect,
    units,
    unitsWord: written.units_word ?? d.unitsWord,
    distance: written.distance ?? d.distance,
    spacing: written.spacing ?? d.spacing,
    comments: written.comments ?? d.comments,
    commentLength: Math.min(
      written.comment_length ?? d.commentLength,
      written.comment_length === undefined ? (written.max_line_length ?? d.maxLineLength) - 12 : 1000,
    ),
    characterSet: written.character_set ?? d.characterSet,
    lineNumbers: over(d.lineNumbers, written.line_numbers),
    numbers: numbersOf(written, d),
    arcs: arcsOf(written, d, fileUnits),
    plane: written.plane ?? d.plane,
    rapids: { path: written.rapids ?? d.rapids.path },
    feed: feedOf(written, d, fileUnits),
    spindle: spindleOf(written, d),
    dwell: over(d.dwell, written.dwell),
    toolChange: written.tool_change ?? d.toolChange,
    toolLength: written.tool_length ?? d.toolLength,
    workOffset: written.work_offset ?? d.workOffset,
    home: written.home ?? d.home,
    cycles: over(d.cycles, written.cycles),
    modal: over(d.modal, written.modal),
    words: wordsOf(written, d),
    pathMode: written.path_mode ?? d.pathMode ?? 'none',
    start: startOf(written, d),
    end: over(d.end, written.end),
    optionalStop: written.optional_stop ?? d.optionalStop,
    blockDelete: written.block_delete ?? d.blockDelete,
    lineEnding: written.line_ending ?? d.lineEnding,
    fileName: fileNameOf(written, d),
    maxLineLength: written.max_line_length ?? d.maxLineLength,
    maxLines: written.max_lines ?? d.maxLines,
    maxBytes: written.max_bytes ?? d.maxBytes,
    zSign: written.z_sign === 'down' ? -1 : 1,
    auxiliary: Object.fromEntries(
      Object.entries(written.auxiliary ?? {}).sort(([x], [y]) => (x < y ? -1 : x > y ? 1 : 0)),
    ),
  };
}

/**
 * Fill a written controller with its dialect's defaults. Lengths and feeds of `written` are in `fileUnits`; the result is
 * mm and mm/min. `maxFeed` (mm/min) stands in for the controller's largest feed when none is written. `at` locates below
 * `controller` in the profile; without it, combinations that cannot work are findings without a place.
 */
export function resolveController(
  written: ControllerWritten,
  fileUnits: Units = 'mm',
  maxFeed = 60_000,
  at: Locator = nowhere,
): { controller: Controller; diagnostics: Diagnostic[] } {
  const controller = withDefaults(written, fileUnits, maxFeed);
  return { controller, diagnostics: controllerFindings(controller, written, fileUnits, at) };
}
