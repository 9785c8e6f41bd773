import {
  type Diagnostic,
  feedText,
  fixed,
  inUnits,
  powerOfTen,
  type Units,
  writtenLength,
} from '@bedledger/diagnostics';
import type { Controller } from '../model/controller.ts';
import { type Locator, report } from '../report.ts';
import type { ControllerWritten } from '../written/controller.ts';
import { type Contradictions, writtenOption } from './contradiction.ts';
import { dialectContradictions } from './dialect-contradictions.ts';

/** What no controller can have, or no program could be written for. Each knows the whole controller; `units` are the file's. */
const CHECKS: readonly ((c: Controller, units: Units) => Contradictions)[] = [
  dialectContradictions,
  zeros,
  digits,
  arcs,
  cycles,
  feeds,
  waiting,
  speedCodes,
  blockNumbers,
  comments,
  fileNames,
  programNumber,
  outputs,
];

/** Combinations of options that cannot work, each at the option that a person has written. `at` locates below `controller`. */
export function controllerFindings(
  controller: Controller,
  written: ControllerWritten,
  units: Units,
  at: Locator,
): Diagnostic[] {
  const all = [
    ...CHECKS.flatMap((check) => [...check(controller, units)]),
    ...pointless(controller, written),
  ];
  return all.map((contradiction) =>
    report({
      code: 'profile/controller',
      ...at(writtenOption(contradiction, written)),
      message: contradiction.message,
      help: contradiction.help,
    }),
  );
}

/** Options that somebody has written although the others leave them no effect. */
function* pointless(c: Controller, written: ControllerWritten): Contradictions {
  const suppress = written.numbers?.suppress ?? 'none';
  if (c.numbers.point !== 'never' && suppress !== 'none') {
    yield {
      options: [['numbers', 'suppress']],
      message: `zeros are suppressed only in numbers without a point, found \`point: ${c.numbers.point}\``,
      help: 'leave `suppress` out, or write `point: never`',
    };
  }
  if (c.arcs.form === 'none' && written.arcs?.helix === true) {
    yield {
      options: [['arcs', 'helix']],
      message: 'a helix needs arcs, found `form: none`',
      help: 'leave `helix` out',
    };
  }
  if (c.cycles.use === 'none' && written.cycles?.return === 'G98/G99') {
    yield {
      options: [['cycles', 'return']],
      message: 'words for the height after a cycle need cycles, found `use: none`',
      help: 'leave `return` out',
    };
  }
}

function* zeros({ numbers }: Controller): Contradictions {
  if (numbers.point !== 'never') return;
  if (numbers.zeros === 'strip-trailing') {
    yield {
      options: [['numbers', 'zeros']],
      message: 'without a decimal point the zeros at the end carry the value and cannot be stripped',
      help: 'use `suppress: trailing` when the controller leaves them out',
    };
  }
  if (numbers.suppress === 'trailing' && numbers.leadingZero === 'strip') {
    yield {
      options: [['numbers', 'leading_zero']],
      message: 'leading and trailing zeros cannot both be left out of a number without a point',
      help: 'leave `leading_zero` out',
    };
  }
}

function* digits({ numbers, units, arcs: { form } }: Controller): Contradictions {
  const { xyz, ijk } = numbers;
  const least = units === 'mm' ? 2 : 3;
  if (xyz.decimals < least) {
    yield {
      options: [['numbers', 'xyz', 'decimals']],
      message: `positions with ${xyz.decimals} digits after the point are coarser than ${units === 'mm' ? '0.01 mm' : '0.001 in'}`,
      help: `write at least ${least}`,
    };
  }
  if (form !== 'none' && ijk.decimals < xyz.decimals) {
    yield {
      options: [['numbers', 'ijk', 'decimals']],
      message: `arc centres have ${ijk.decimals} digits after the point, fewer than the ${xyz.decimals} of positions: arcs would not close`,
      help: 'give `ijk` as many digits as `xyz`',
    };
  }
}

function* arcs({ arcs: a }: Controller, units: Units): Contradictions {
  if (a.form !== 'none' && a.quadrants === 'single' && a.fullCircle !== 'four') {
    yield {
      options: [['arcs', 'full_circle']],
      message: `an arc may not cross a quadrant, found \`full_circle: ${a.fullCircle}\``,
      help: 'write `full_circle: four`',
    };
  }
  if (a.form === 'radius' && a.fullCircle === 'one') {
    yield {
      options: [['arcs', 'full_circle']],
      message: 'a full turn cannot be given by its radius',
      help: 'write `full_circle: four`',
    };
  }
  if (a.form === 'radius' && a.quadrants === 'single') {
    yield {
      options: [['arcs', 'quadrants']],
      message: 'single-quadrant arcs are given by their centre, found `form: radius`',
      help: 'write `form: centre` or `quadrants: multi`',
    };
  }
  if (a.minRadius >= a.maxRadius) {
    yield {
      options: [['arcs', 'min_radius']],
      message: `the smallest radius ${writtenLength(a.minRadius, units)} is not below the largest, ${writtenLength(a.maxRadius, units)}`,
      help: 'exchange or correct `min_radius` and `max_radius`',
    };
  }
}

function* cycles({ cycles: c }: Controller): Contradictions {
  if (c.use === 'none' || c.return !== 'none') return;
  yield {
    options: [
      ['cycles', 'return'],
      ['cycles', 'use'],
    ],
    message: 'drilling cycles without the words G98 and G99 leave the height after a hole unknown',
    help: 'write `use: none` (holes are then written as plain moves), or `return: G98/G99`',
  };
}

function* feeds({ feed, numbers, units: text }: Controller, units: Units): Contradictions {
  if (feed.min >= feed.max) {
    yield {
      options: [
        ['feed', 'min'],
        ['feed', 'max'],
      ],
      message: `the smallest feed ${feedText(feed.min, units)} is not below the largest, ${feedText(feed.max, units)}`,
      help: 'correct `feed.min` or `feed.max`',
    };
  }
  const perSecond = feed.per === 'second';
  const largest = inUnits(feed.max, text) / (perSecond ? 60 : 1);
  if (largest >= powerOfTen(numbers.feed.integers)) {
    yield {
      options: [['numbers', 'feed', 'integers']],
      message: `the largest feed ${fixed(largest, 0)} ${text}/${perSecond ? 's' : 'min'} needs more than ${numbers.feed.integers} digits before the point`,
      help: 'raise `numbers.feed.integers` or lower `feed.max`',
    };
  }
}

function* waiting({ spindle, dwell }: Controller): Contradictions {
  if (spindle.start !== 'dwell' || dwell.word !== 'none') return;
  yield {
    options: [['dwell', 'word']],
    message: 'the spindle is waited for by a dwell, but the controller has no dwell',
    help: 'write `spindle: { start: at-speed }` or `{ start: manual }`, or name the dwell word',
  };
}

function* speedCodes({ spindle }: Controller): Contradictions {
  const { codes } = spindle;
  if (!codes) return;
  if (spindle.speed === 'none') {
    yield {
      options: [['spindle', 'codes']],
      message: 'speed codes need a speed word, found `speed: none`',
      help: 'leave `codes` or `speed: none` out',
    };
  }
  for (const [i, { rpm, code }] of codes.entries()) {
    if (!codes.slice(0, i).some((e) => e.code === code || e.rpm === rpm)) continue;
    yield {
      options: [['spindle', 'codes', i]],
      message: `speed ${rpm} rpm, code ${code}, repeats an earlier entry`,
      help: 'give each speed one code',
    };
  }
}

function* blockNumbers({ lineNumbers: n }: Controller): Contradictions {
  if (n.use === 'off') return;
  if (n.start + n.step > n.max) {
    yield {
      options: [['line_numbers', 'max']],
      message: `block numbers from ${n.start} in steps of ${n.step} pass the largest, ${n.max}, at the second block`,
      help: 'raise `max` or lower `step`',
    };
  }
  const width = n.width ?? 0;
  if (width > 0 && String(n.max).length > width) {
    yield {
      options: [['line_numbers', 'width']],
      message: `block numbers up to ${n.max} do not fit ${width} digits`,
      help: 'raise `width` or lower `max`',
    };
  }
}

function* comments({ comments: style, commentLength, maxLineLength }: Controller): Contradictions {
  if (style === 'none' || commentLength + 2 <= maxLineLength) return;
  yield {
    options: [['comment_length']],
    message: `a comment of ${commentLength} characters and its signs does not fit a line of ${maxLineLength}`,
    help: `write ${maxLineLength - 12} or less`,
  };
}

function* fileNames({ fileName, start }: Controller): Contradictions {
  if (fileName.form === '8.3' && fileName.extension.length > 3) {
    yield {
      options: [['file_name', 'extension']],
      message: `a short name has an extension of 3 characters at most, found \`${fileName.extension}\``,
      help: 'shorten `extension`, or write `form: free`',
    };
  }
  if (fileName.form === 'digits' && start.programNumber === null) {
    yield {
      options: [['file_name', 'form']],
      message: 'file names of digits are program numbers, but no `start.program_number` is given',
      help: 'give `start: { program_number: 1000 }`',
    };
  }
}

function* programNumber({ start, fileName }: Controller): Contradictions {
  if (start.programWord !== 'none' && start.programNumber === null) {
    yield {
      options: [['start', 'program_word']],
      message: `a program number after \`${start.programWord}\` is wanted, but none is given`,
      help: 'give `program_number`, or write `program_word: none`',
    };
  }
  if (start.programWord === 'none' && start.programNumber !== null && fileName.form !== 'digits') {
    yield {
      options: [['start', 'program_number']],
      message: 'a program number is given, but `program_word` is `none`: it would appear nowhere',
      help: 'give `program_word`, or leave `program_number` out',
    };
  }
}

/** M words that programs use themselves: an output cannot be switched by them. */
const RESERVED: ReadonlySet<number> = new Set([0, 1, 2, 3, 4, 5, 6, 19, 30, 60, 98, 99]);

function* outputs({ auxiliary }: Controller): Contradictions {
  for (const [name, words] of Object.entries(auxiliary)) {
    if (words.on === words.off) {
      yield {
        options: [['auxiliary', name, 'off']],
        message: `output \`${name}\` is switched on and off by the same word \`${words.on}\``,
        help: 'correct one of them',
      };
    }
    for (const state of ['on', 'off'] as const) {
      if (!RESERVED.has(Number(/^M(\d+)/.exec(words[state])?.[1]))) continue;
      yield {
        options: [['auxiliary', name, state]],
        message: `\`${words[state]}\` stops a program, ends it or turns the spindle, and cannot switch \`${name}\``,
        help: 'give the word that switches this output',
      };
    }
  }
}
