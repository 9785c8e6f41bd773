import type { Fault } from '../checks/fault.ts';
import type { Controller } from '../model/controller.ts';
import type { Path } from '../source/yaml-source.ts';
import type { ControllerWritten } from '../written/controller.ts';

type Written = Readonly<Record<string, unknown>>;

/** The deepest part of `path` that is really written, so that the finding points at what a person typed. */
function writtenPath(written: ControllerWritten, path: Path): Path {
  const out: (string | number)[] = [];
  let value: unknown = written;
  for (const step of path) {
    if (typeof value !== 'object' || value === null) break;
    const next = (value as Written)[String(step)];
    if (next === undefined) break;
    out.push(step);
    value = next;
  }
  return out.length === 0 ? ['dialect'] : out;
}

/** M words the programs use themselves: an output cannot be switched by them. */
const RESERVED = new Set([0, 1, 2, 3, 4, 5, 6, 19, 30, 60, 98, 99]);

/** Words and signs that a dialect's standard does not have, though the profile asks for them. */
function textOfDialect(c: Controller, written: ControllerWritten): Fault[] {
  const faults: Fault[] = [];
  const fault = (path: Path, message: string, help: string) =>
    faults.push({ word: 'controller', path: writtenPath(written, path), message, help });
  const { dialect } = c;
  if (c.comments === 'semicolon' && (dialect === 'rs274ngc' || dialect === 'iso6983')) {
    fault(
      ['comments'],
      `${dialect} writes comments in parentheses, found \`comments: semicolon\``,
      'write `comments: paren` or `comments: none`',
    );
  }
  if (c.pathMode !== undefined && c.pathMode !== 'none' && dialect !== 'rs274ngc') {
    fault(
      ['path_mode'],
      `${dialect} has no path control word, found ${c.pathMode}`,
      'write `path_mode: none`, or choose another `dialect`',
    );
  }
  if (c.toolLength !== 'none' && dialect === 'linear') {
    fault(['tool_length'], 'a linear controller has no tool length word', 'write `tool_length: none`');
  }
  if (dialect === 'rs274ngc') {
    if (c.arcs.form === 'centre-absolute') {
      fault(
        ['arcs', 'form'],
        'in rs274ngc arc centres count from the start of the arc (NISTIR 6556 §3.5.3), found `form: centre-absolute`',
        'write `form: centre`, or choose another `dialect`',
      );
    }
    if (c.start.programWord === ':') {
      fault(
        ['start', 'program_word'],
        'rs274ngc has no program word (NISTIR 6556 §3.1), found `:`',
        'write `program_word: none`',
      );
    }
    if (c.dwell.word !== 'P' && c.dwell.word !== 'none') {
      fault(
        ['dwell', 'word'],
        `the time of a dwell is a P word in rs274ngc (NISTIR 6556 §3.5.4), found ${c.dwell.word}`,
        'write `word: P`',
      );
    }
    if (c.start.percent !== c.end.percent) {
      fault(
        [c.start.percent ? 'start' : 'end', 'percent'],
        'a line `%` stands at both ends of an rs274ngc program or at neither (NISTIR 6556 §3.1)',
        'write the same `percent` under `start` and under `end`',
      );
    }
    if (c.lineNumbers.use !== 'off' && (c.lineNumbers.width ?? 0) > 5) {
      fault(
        ['line_numbers', 'width'],
        `rs274ngc takes block numbers of up to 5 digits (NISTIR 6556 §3.3.1), found ${c.lineNumbers.width}`,
        'write 5 or less',
      );
    }
  }
  if (dialect === 'rs274d') {
    if (c.unitsWord === 'G20/G21') {
      fault(
        ['units_word'],
        'rs274d states its unit by G70 and G71 (EIA RS-274-D), found G20/G21',
        'write `units_word: G70/G71` or `units_word: none`',
      );
    }
    if (c.cycles.use !== 'none') {
      fault(
        ['cycles', 'use'],
        'in rs274d the height after a drilling cycle cannot be chosen (EIA RS-274-D has no G98 and G99)',
        'write `use: none`: holes are then written as plain moves',
      );
    }
    if (c.arcs.form === 'centre-absolute' && c.arcs.quadrants === 'single') {
      fault(
        ['arcs', 'form'],
        'the centre of a single-quadrant arc counts from its start, found `form: centre-absolute`',
        'write `form: centre`, or `quadrants: multi`',
      );
    }
  }
  return faults;
}

/** Combinations of options that no controller can have, or that no program could be written for. */
export function controllerFaults(c: Controller, written: ControllerWritten): Fault[] {
  const faults: Fault[] = [];
  const fault = (path: Path, message: string, help: string, severity: 'stop' | 'warn' = 'stop') =>
    faults.push({
      word: 'controller',
      path: ['controller', ...writtenPath(written, path)],
      message,
      help,
      severity,
    });

  const arcs = c.arcs.form !== 'none';
  const cycles = c.cycles.use !== 'none';
  const never = c.numbers.point === 'never';

  if (c.dialect === 'linear') {
    if (arcs)
      fault(
        ['arcs', 'form'],
        `a linear controller has no arcs, found arcs \`${c.arcs.form}\``,
        'leave `arcs` out, or choose another `dialect`',
      );
    if (cycles)
      fault(
        ['cycles', 'use'],
        'a linear controller has no drilling cycles',
        'leave `cycles` out, or choose another `dialect`',
      );
  }
  if (c.dialect === 'rs274d' && !never) {
    fault(
      ['numbers', 'point'],
      `rs274d has no decimal point (EIA RS-274-D), found \`point: ${c.numbers.point}\``,
      'write `point: never`, or choose another `dialect`',
    );
  }
  if (c.dialect === 'rs274ngc' && never) {
    fault(
      ['numbers', 'point'],
      'rs274ngc reads a number without a point as whole units (NISTIR 6556 §3.3.2.1), found `point: never`',
      'write `point: always`, or choose another `dialect`',
    );
  }
  if (c.dialect === 'rs274ngc' && c.unitsWord === 'G70/G71') {
    fault(
      ['units_word'],
      'rs274ngc states its unit by G20 and G21 (NISTIR 6556 §3.5.6), found G70/G71',
      'write `units_word: G20/G21`',
    );
  }
  if (c.dialect === 'rs274ngc' && c.arcs.quadrants === 'single') {
    fault(['arcs', 'quadrants'], 'rs274ngc has no single-quadrant arcs', 'write `quadrants: multi`');
  }
  if (c.dialect === 'rs274d' && c.workOffset !== 'none') {
    fault(
      ['work_offset'],
      'in rs274d G54 to G59 shift single axes (EIA RS-274-D) and cannot select a work offset',
      'write `work_offset: none`',
    );
  }
  if (c.dialect === 'rs274d' && c.toolLength !== 'none') {
    fault(
      ['tool_length'],
      'in rs274d G43 is a cutter offset (EIA RS-274-D), not a tool length',
      'write `tool_length: none`',
    );
  }
  if ((c.dialect === 'rs274d' || c.dialect === 'iso6983') && c.home === 'G53') {
    fault(
      ['home'],
      `in ${c.dialect} G53 cancels an origin shift and moves nowhere`,
      'write `home: none` or `home: G28`',
    );
  }
  faults.push(...textOfDialect(c, written).map((f) => ({ ...f, path: ['controller', ...f.path] })));
  if (!never && written.numbers?.suppress !== undefined && written.numbers.suppress !== 'none') {
    fault(
      ['numbers', 'suppress'],
      `zeros are suppressed only in numbers without a point, found \`point: ${c.numbers.point}\``,
      'leave `suppress` out, or write `point: never`',
    );
  }
  if (never && written.numbers?.zeros === 'strip-trailing') {
    fault(
      ['numbers', 'zeros'],
      'without a decimal point the zeros at the end carry the value and cannot be stripped',
      'use `suppress: trailing` when the controller leaves them out',
    );
  }
  if (never && c.numbers.suppress === 'trailing' && c.numbers.leadingZero === 'strip') {
    fault(
      ['numbers', 'leading_zero'],
      'leading and trailing zeros cannot both be left out of a number without a point',
      'leave `leading_zero` out',
    );
  }
  const least = c.units === 'mm' ? 2 : 3;
  if (c.numbers.xyz.decimals < least) {
    fault(
      ['numbers', 'xyz', 'decimals'],
      `positions with ${c.numbers.xyz.decimals} digits after the point are coarser than ${c.units === 'mm' ? '0.01 mm' : '0.001 in'}`,
      `write at least ${least}`,
    );
  }
  if (arcs && c.numbers.ijk.decimals < c.numbers.xyz.decimals) {
    fault(
      ['numbers', 'ijk', 'decimals'],
      `arc centres have ${c.numbers.ijk.decimals} digits after the point, fewer than the ${c.numbers.xyz.decimals} of positions: arcs would not close`,
      'give `ijk` as many digits as `xyz`',
    );
  }
  if (arcs && c.arcs.quadrants === 'single' && c.arcs.fullCircle !== 'four') {
    fault(
      ['arcs', 'full_circle'],
      `an arc may not cross a quadrant, found \`full_circle: ${c.arcs.fullCircle}\``,
      'write `full_circle: four`',
    );
  }
  if (c.arcs.form === 'radius' && c.arcs.fullCircle === 'one') {
    fault(['arcs', 'full_circle'], 'a full turn cannot be given by its radius', 'write `full_circle: four`');
  }
  if (c.arcs.form === 'radius' && c.arcs.quadrants === 'single') {
    fault(
      ['arcs', 'quadrants'],
      'single-quadrant arcs are given by their centre, found `form: radius`',
      'write `form: centre` or `quadrants: multi`',
    );
  }
  if (!arcs && written.arcs?.helix === true) {
    fault(['arcs', 'helix'], 'a helix needs arcs, found `form: none`', 'leave `helix` out');
  }
  if (c.arcs.minRadius >= c.arcs.maxRadius) {
    fault(
      ['arcs', 'min_radius'],
      `the smallest radius ${c.arcs.minRadius} mm is not below the largest, ${c.arcs.maxRadius} mm`,
      'exchange or correct `min_radius` and `max_radius`',
    );
  }
  if (cycles && c.cycles.return === 'none') {
    fault(
      ['cycles', written.cycles?.return === undefined ? 'use' : 'return'],
      'drilling cycles without the words G98 and G99 leave the height after a hole unknown',
      'write `use: none` (holes are then written as plain moves), or `return: G98/G99`',
    );
  }
  if (!cycles && written.cycles?.return === 'G98/G99') {
    fault(
      ['cycles', 'return'],
      'words for the height after a cycle need cycles, found `use: none`',
      'leave `return` out',
    );
  }
  if (c.feed.min >= c.feed.max) {
    fault(
      ['feed', written.feed?.min === undefined ? 'max' : 'min'],
      `the smallest feed ${c.feed.min} mm/min is not below the largest, ${c.feed.max} mm/min`,
      'correct `feed.min` or `feed.max`',
    );
  }
  const feedMax = (c.units === 'mm' ? c.feed.max : c.feed.max / 25.4) / (c.feed.per === 'second' ? 60 : 1);
  if (feedMax >= 10 ** c.numbers.feed.integers) {
    fault(
      ['numbers', 'feed', 'integers'],
      `the largest feed ${Math.round(feedMax)} ${c.units}/${c.feed.per === 'second' ? 's' : 'min'} needs more than ${c.numbers.feed.integers} digits before the point`,
      'raise `numbers.feed.integers` or lower `feed.max`',
    );
  }
  if (c.spindle.start === 'dwell' && c.dwell.word === 'none') {
    fault(
      ['dwell', 'word'],
      'the spindle is waited for by a dwell, but the controller has no dwell',
      'write `spindle: { start: at-speed }` or `{ start: manual }`, or name the dwell word',
    );
  }
  if (c.spindle.codes && c.spindle.speed === 'none') {
    fault(
      ['spindle', 'codes'],
      'speed codes need a speed word, found `speed: none`',
      'leave `codes` or `speed: none` out',
    );
  }
  if (c.spindle.codes) {
    const codes = c.spindle.codes;
    for (const [i, entry] of codes.entries()) {
      if (codes.slice(0, i).some((e) => e.code === entry.code || e.rpm === entry.rpm)) {
        fault(
          ['spindle', 'codes', i],
          `speed ${entry.rpm} rpm, code ${entry.code}, repeats an earlier entry`,
          'give each speed one code',
        );
      }
    }
  }
  if (c.lineNumbers.use !== 'off' && c.lineNumbers.start + c.lineNumbers.step > c.lineNumbers.max) {
    fault(
      ['line_numbers', 'max'],
      `block numbers from ${c.lineNumbers.start} in steps of ${c.lineNumbers.step} pass the largest, ${c.lineNumbers.max}, at the second block`,
      'raise `max` or lower `step`',
    );
  }
  if (
    c.lineNumbers.use !== 'off' &&
    (c.lineNumbers.width ?? 0) > 0 &&
    String(c.lineNumbers.max).length > (c.lineNumbers.width ?? 0)
  ) {
    fault(
      ['line_numbers', 'width'],
      `block numbers up to ${c.lineNumbers.max} do not fit ${c.lineNumbers.width} digits`,
      'raise `width` or lower `max`',
    );
  }
  if (c.dialect === 'rs274ngc' && c.lineNumbers.use !== 'off' && c.lineNumbers.max > 99999) {
    fault(
      ['line_numbers', 'max'],
      `rs274ngc takes block numbers up to 99999 (NISTIR 6556 §3.3.1), found ${c.lineNumbers.max}`,
      'write 99999 or less',
    );
  }
  if (c.comments !== 'none' && c.commentLength + 2 > c.maxLineLength) {
    fault(
      ['comment_length'],
      `a comment of ${c.commentLength} characters and its signs does not fit a line of ${c.maxLineLength}`,
      `write ${c.maxLineLength - 12} or less`,
    );
  }
  if (c.dialect === 'rs274ngc' && c.maxLineLength > 256) {
    fault(
      ['max_line_length'],
      `rs274ngc takes lines up to 256 characters (NISTIR 6556 §3.3), found ${c.maxLineLength}`,
      'write 256 or less',
    );
  }
  if (c.fileName.form === '8.3' && c.fileName.extension.length > 3) {
    fault(
      ['file_name', 'extension'],
      `a short name has an extension of 3 characters at most, found \`${c.fileName.extension}\``,
      'shorten `extension`, or write `form: free`',
    );
  }
  if (c.fileName.form === 'digits' && c.start.programNumber === null) {
    fault(
      ['file_name', 'form'],
      'file names of digits are program numbers, but no `start.program_number` is given',
      'give `start: { program_number: 1000 }`',
    );
  }
  if (c.start.programWord !== 'none' && c.start.programNumber === null) {
    fault(
      ['start', 'program_word'],
      `a program number after \`${c.start.programWord}\` is wanted, but none is given`,
      'give `program_number`, or write `program_word: none`',
    );
  }
  if (c.start.programWord === 'none' && c.start.programNumber !== null && c.fileName.form !== 'digits') {
    fault(
      ['start', 'program_number'],
      'a program number is given, but `program_word` is `none`: it would appear nowhere',
      'give `program_word`, or leave `program_number` out',
    );
  }
  if (c.start.programWord === 'O' && c.dialect === 'rs274ngc') {
    fault(
      ['start', 'program_word'],
      'rs274ngc has no O word (NISTIR 6556 §3.3.2)',
      'write `program_word: none`',
    );
  }
  for (const [name, words] of Object.entries(c.auxiliary)) {
    if (words.on === words.off) {
      fault(
        ['auxiliary', name, 'off'],
        `output \`${name}\` is switched on and off by the same word \`${words.on}\``,
        'correct one of them',
      );
    }
    for (const state of ['on', 'off'] as const) {
      const number = Number(/^M(\d+)/.exec(words[state])?.[1]);
      if (RESERVED.has(number)) {
        fault(
          ['auxiliary', name, state],
          `\`${words[state]}\` stops a program, ends it or turns the spindle, and cannot switch \`${name}\``,
          'give the word that switches this output',
        );
      }
    }
  }
  return faults;
}
