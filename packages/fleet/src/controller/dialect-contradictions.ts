import type { Controller, Dialect } from '../model/controller.ts';
import type { Contradiction, Contradictions } from './contradiction.ts';

/**
 * Options that the standard of the controller's dialect does not have words for, or reads otherwise. The one place that
 * says so: post-processors take it from here.
 */
export function dialectContradictions(controller: Controller): Contradiction[] {
  return [...BY_DIALECT[controller.dialect](controller), ...pathMode(controller)];
}

const BY_DIALECT: Readonly<Record<Dialect, (c: Controller) => Contradictions>> = {
  rs274ngc,
  iso6983,
  rs274d,
  linear,
};

/** RS274/NGC as NISTIR 6556 reports it. */
function* rs274ngc(c: Controller): Contradictions {
  yield* parenthesesOnly(c);
  if (c.numbers.point === 'never') {
    yield {
      options: [['numbers', 'point']],
      message:
        'rs274ngc reads a number without a point as whole units (NISTIR 6556 §3.3.2.1), found `point: never`',
      help: 'write `point: always`, or choose another `dialect`',
    };
  }
  if (c.unitsWord === 'G70/G71') {
    yield {
      options: [['units_word']],
      message: 'rs274ngc states its unit by G20 and G21 (NISTIR 6556 §3.5.6), found G70/G71',
      help: 'write `units_word: G20/G21`',
    };
  }
  if (c.arcs.quadrants === 'single') {
    yield {
      options: [['arcs', 'quadrants']],
      message: 'rs274ngc has no single-quadrant arcs',
      help: 'write `quadrants: multi`',
    };
  }
  if (c.arcs.form === 'centre-absolute') {
    yield {
      options: [['arcs', 'form']],
      message:
        'in rs274ngc arc centres count from the start of the arc (NISTIR 6556 §3.5.3), found `form: centre-absolute`',
      help: 'write `form: centre`, or choose another `dialect`',
    };
  }
  if (c.start.programWord !== 'none') {
    yield {
      options: [['start', 'program_word']],
      message: `rs274ngc has no ${c.start.programWord} word, nor any other program word (NISTIR 6556 §3.1)`,
      help: 'write `program_word: none`',
    };
  }
  if (c.dwell.word !== 'P' && c.dwell.word !== 'none') {
    yield {
      options: [['dwell', 'word']],
      message: `the time of a dwell is a P word in rs274ngc (NISTIR 6556 §3.5.4), found ${c.dwell.word}`,
      help: 'write `word: P`',
    };
  }
  if (c.start.percent !== c.end.percent) {
    yield {
      options: [[c.start.percent ? 'start' : 'end', 'percent']],
      message: 'a line `%` stands at both ends of an rs274ngc program or at neither (NISTIR 6556 §3.1)',
      help: 'write the same `percent` under `start` and under `end`',
    };
  }
  yield* rs274ngcLimits(c);
}

function* rs274ngcLimits({ lineNumbers, maxLineLength }: Controller): Contradictions {
  if (lineNumbers.use !== 'off' && (lineNumbers.width ?? 0) > 5) {
    yield {
      options: [['line_numbers', 'width']],
      message: `rs274ngc takes block numbers of up to 5 digits (NISTIR 6556 §3.3.1), found ${lineNumbers.width}`,
      help: 'write 5 or less',
    };
  }
  if (lineNumbers.use !== 'off' && lineNumbers.max > 99999) {
    yield {
      options: [['line_numbers', 'max']],
      message: `rs274ngc takes block numbers up to 99999 (NISTIR 6556 §3.3.1), found ${lineNumbers.max}`,
      help: 'write 99999 or less',
    };
  }
  if (maxLineLength > 256) {
    yield {
      options: [['max_line_length']],
      message: `rs274ngc takes lines up to 256 characters (NISTIR 6556 §3.3), found ${maxLineLength}`,
      help: 'write 256 or less',
    };
  }
}

/** ISO 6983-1 and its national relatives. */
function* iso6983(c: Controller): Contradictions {
  yield* parenthesesOnly(c);
  yield* noMachineCoordinates(c);
}

/** EIA RS-274-D. */
function* rs274d(c: Controller): Contradictions {
  if (c.numbers.point !== 'never') {
    yield {
      options: [['numbers', 'point']],
      message: `rs274d has no decimal point (EIA RS-274-D), found \`point: ${c.numbers.point}\``,
      help: 'write `point: never`, or choose another `dialect`',
    };
  }
  if (c.unitsWord === 'G20/G21') {
    yield {
      options: [['units_word']],
      message: 'rs274d states its unit by G70 and G71 (EIA RS-274-D), found G20/G21',
      help: 'write `units_word: G70/G71` or `units_word: none`',
    };
  }
  if (c.workOffset !== 'none') {
    yield {
      options: [['work_offset']],
      message: 'in rs274d G54 to G59 shift single axes (EIA RS-274-D) and cannot select a work offset',
      help: 'write `work_offset: none`',
    };
  }
  if (c.toolLength !== 'none') {
    yield {
      options: [['tool_length']],
      message: 'in rs274d G43 is a cutter offset (EIA RS-274-D), not a tool length',
      help: 'write `tool_length: none`',
    };
  }
  yield* noMachineCoordinates(c);
  if (c.cycles.use !== 'none') {
    yield {
      options: [['cycles', 'use']],
      message:
        'in rs274d the height after a drilling cycle cannot be chosen (EIA RS-274-D has no G98 and G99)',
      help: 'write `use: none`: holes are then written as plain moves',
    };
  }
  if (c.arcs.form === 'centre-absolute' && c.arcs.quadrants === 'single') {
    yield {
      options: [['arcs', 'form']],
      message: 'the centre of a single-quadrant arc counts from its start, found `form: centre-absolute`',
      help: 'write `form: centre`, or `quadrants: multi`',
    };
  }
}

/** Straight moves, a dwell and M words. */
function* linear(c: Controller): Contradictions {
  if (c.arcs.form !== 'none') {
    yield {
      options: [['arcs', 'form']],
      message: `a linear controller has no arcs, found arcs \`${c.arcs.form}\``,
      help: 'leave `arcs` out, or choose another `dialect`',
    };
  }
  if (c.cycles.use !== 'none') {
    yield {
      options: [['cycles', 'use']],
      message: 'a linear controller has no drilling cycles',
      help: 'leave `cycles` out, or choose another `dialect`',
    };
  }
  if (c.toolLength !== 'none') {
    yield {
      options: [['tool_length']],
      message: 'a linear controller has no tool length word',
      help: 'write `tool_length: none`',
    };
  }
}

function* parenthesesOnly(c: Controller): Contradictions {
  if (c.comments !== 'semicolon') return;
  yield {
    options: [['comments']],
    message: `${c.dialect} writes comments in parentheses, found \`comments: semicolon\``,
    help: 'write `comments: paren` or `comments: none`',
  };
}

function* noMachineCoordinates(c: Controller): Contradictions {
  if (c.home !== 'G53') return;
  yield {
    options: [['home']],
    message: `in ${c.dialect} G53 cancels an origin shift and moves nowhere`,
    help: 'write `home: none` or `home: G28`',
  };
}

function* pathMode({ pathMode: word = 'none', dialect }: Controller): Contradictions {
  if (word === 'none' || dialect === 'rs274ngc') return;
  yield {
    options: [['path_mode']],
    message: `${dialect} has no path control word, found ${word}`,
    help: 'write `path_mode: none`, or choose another `dialect`',
  };
}
