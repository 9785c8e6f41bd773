import { z } from 'zod';
import { COMMENT_STYLES, DIALECTS } from '../model/controller.ts';
import { choice, count, yesNo } from './common.ts';
import { quantity } from './quantity.ts';

function wordFormat(word: string, decimals: number, integers: number) {
  return z
    .strictObject({
      decimals: count(
        `Digits after the point of ${word}, or after its implied place`,
        decimals,
        0,
        6,
        'Unit: digits',
      ).optional(),
      integers: count(
        `Digits before the point of ${word}; a number that needs more is an error`,
        integers,
        1,
        7,
        'Unit: digits',
      ).optional(),
    })
    .meta({ description: `Number format of ${word}. No unit.`, examples: [{ decimals, integers }] });
}

/** What the controller can read. Everything but the dialect may be left out: the dialect's defaults stand in. */
export const controllerSchema = z
  .strictObject({
    dialect: choice(
      'Family of program text: rs274ngc (NISTIR 6556), iso6983 (ISO 6983-1), rs274d (EIA RS-274-D, no decimal point), linear (straight moves only)',
      DIALECTS,
      'rs274ngc',
    ),
    units: choice('Unit of the program text; default: the unit of this file', ['mm', 'in'], 'mm').optional(),
    units_word: choice(
      'Words that state the unit in a program',
      ['G20/G21', 'G70/G71', 'none'],
      'G20/G21',
    ).optional(),
    distance: choice('Distance mode of the program text', ['absolute', 'incremental'], 'absolute').optional(),
    spacing: choice('What stands between the words of a block', ['space', 'none'], 'space').optional(),
    comments: choice('How a comment is written', COMMENT_STYLES, 'paren').optional(),
    comment_length: count(
      'Longest comment text; longer ones are cut at a word',
      72,
      8,
      250,
      'Unit: characters',
    ).optional(),
    character_set: choice(
      'Characters the controller takes',
      ['ascii-upper', 'ascii'],
      'ascii-upper',
    ).optional(),
    line_numbers: z
      .strictObject({
        use: choice('Which blocks carry an N word', ['off', 'every', 'sections'], 'off').optional(),
        start: count('First number', 10, 0, 9_999_999).optional(),
        step: count('Distance of two numbers', 10, 1, 1000).optional(),
        max: count('Largest number', 9999, 9, 99_999_999).optional(),
        at_max: choice(
          'At the largest number: start again, or stop numbering',
          ['wrap', 'stop'],
          'wrap',
        ).optional(),
        width: count(
          'Digits of the number, padded with zeros; 0 does not pad',
          4,
          0,
          8,
          'Unit: digits',
        ).optional(),
      })
      .meta({ description: 'Block numbers. No unit.', examples: [{ use: 'every', step: 10, max: 9999 }] })
      .optional(),
    numbers: z
      .strictObject({
        point: choice(
          'When a number carries a decimal point',
          ['always', 'fraction', 'never'],
          'always',
        ).optional(),
        zeros: choice(
          'Zeros at the end of a number with a point',
          ['keep', 'strip-trailing'],
          'keep',
        ).optional(),
        suppress: choice(
          'Which zeros are left out when there is no point',
          ['none', 'leading', 'trailing'],
          'leading',
        ).optional(),
        xyz: wordFormat('X, Y and Z', 3, 4).optional(),
        ijk: wordFormat('I, J, K and R', 3, 4).optional(),
        feed: wordFormat('F', 0, 5).optional(),
        speed: wordFormat('S', 0, 5).optional(),
        dwell: wordFormat('the dwell word', 3, 4).optional(),
        leading_zero: choice('Is the zero before the point written', ['keep', 'strip'], 'keep').optional(),
        plus: yesNo('Write the sign of positive numbers', false).optional(),
      })
      .meta({
        description: 'How numbers are written. No unit.',
        examples: [{ point: 'never', suppress: 'leading' }],
      })
      .optional(),
    arcs: z
      .strictObject({
        form: choice(
          'How an arc is written: not at all, centre from its start, centre absolute, or radius',
          ['none', 'centre', 'centre-absolute', 'radius'],
          'centre',
        ).optional(),
        quadrants: choice('May an arc cross a quadrant', ['multi', 'single'], 'multi').optional(),
        full_circle: choice(
          'In how many blocks a full turn is written',
          ['one', 'two', 'four'],
          'one',
        ).optional(),
        helix: yesNo('May Z move along with an arc', true).optional(),
        helix_feed: choice(
          'Does the feed of a helix count along its path or its projection',
          ['path', 'projection'],
          'path',
        ).optional(),
        tolerance: quantity(
          'length',
          'Allowed difference between the radius at start and end of an arc',
          0.005,
        ).optional(),
        min_radius: quantity('length', 'Smallest radius', 0.05, 'zero-or-more').optional(),
        max_radius: quantity('length', 'Largest radius', 10000).optional(),
        chord: quantity(
          'length',
          'Where arcs become straight moves: how far a chord may lie off the arc',
          0.01,
        ).optional(),
      })
      .meta({
        description: 'Arcs. Unit: length where a length is meant.',
        examples: [{ form: 'centre', full_circle: 'two' }],
      })
      .optional(),
    plane: choice('Word that selects the XY plane', ['G17', 'none'], 'G17').optional(),
    rapids: choice(
      'Does a rapid of two axes run straight; anything else is checked over its whole box',
      ['straight', 'per-axis', 'unknown'],
      'per-axis',
    ).optional(),
    feed: z
      .strictObject({
        word: choice(
          'Is the F word kept in force, or needed in every cutting block',
          ['modal', 'every-cut'],
          'modal',
        ).optional(),
        mode: choice('Word for feed per minute', ['G94', 'none'], 'G94').optional(),
        min: quantity('speed', 'Smallest feed the controller takes', 1, 'zero-or-more').optional(),
        max: quantity(
          'speed',
          'Largest feed the controller takes; default: the largest feed of the machine',
          12000,
        ).optional(),
        per: choice(
          'Do feeds in the text count per minute or per second',
          ['minute', 'second'],
          'minute',
        ).optional(),
      })
      .meta({ description: 'Feeds in the program text. Unit: speed.', examples: [{ word: 'every-cut' }] })
      .optional(),
    spindle: z
      .strictObject({
        speed: choice(
          'Is the speed commanded by S in rpm, or set by hand',
          ['rpm', 'none'],
          'rpm',
        ).optional(),
        order: choice(
          'Speed in the block of the start word, or in a block before it',
          ['same-block', 'speed-first'],
          'same-block',
        ).optional(),
        start: choice(
          'After the start word: wait by a dwell, the controller waits itself, or the operator starts the spindle by hand',
          ['dwell', 'at-speed', 'manual'],
          'dwell',
        ).optional(),
        codes: z
          .array(
            z
              .strictObject({
                rpm: count('Speed', 12000, 1, 100_000, 'Unit: rpm'),
                code: count('Code number that selects it', 4, 0, 9999),
              })
              .meta({ description: 'One speed. Unit: rpm.', examples: [{ rpm: 12000, code: 4 }] }),
          )
          .min(1)
          .max(100)
          .meta({
            description:
              'Speeds that are chosen by a code number instead of being written in rpm. Unit: rpm.',
            examples: [[{ rpm: 12000, code: 4 }]],
          })
          .optional(),
      })
      .meta({ description: 'Spindle words. No unit.', examples: [{ order: 'speed-first' }] })
      .optional(),
    dwell: z
      .strictObject({
        word: choice(
          'Word that carries the time of a dwell',
          ['P', 'X', 'F', 'S', 'U', 'none'],
          'P',
        ).optional(),
        unit: choice('Unit of that time', ['s', 'ms'], 's').optional(),
      })
      .meta({ description: 'Dwell (G4). Unit: s or ms as stated.', examples: [{ word: 'X', unit: 's' }] })
      .optional(),
    tool_change: choice(
      'How cutters are changed',
      ['one-tool-per-program', 'automatic', 'manual-stop'],
      'one-tool-per-program',
    ).optional(),
    tool_length: choice(
      'Word that applies a tool length from the controller',
      ['none', 'G43'],
      'none',
    ).optional(),
    work_offset: choice('Words that select a work offset', ['G54-G59.3', 'none'], 'G54-G59.3').optional(),
    home: choice('Word for moves in machine coordinates', ['none', 'G28', 'G53'], 'none').optional(),
    cycles: z
      .strictObject({
        use: choice('Drilling cycles', ['none', 'G81-G83'], 'G81-G83').optional(),
        return: choice(
          'Words that choose the height after a cycle',
          ['G98/G99', 'none'],
          'G98/G99',
        ).optional(),
        cancel: yesNo('Is G80 needed before the next plain move', true).optional(),
      })
      .meta({ description: 'Drilling cycles. No unit.', examples: [{ use: 'none' }] })
      .optional(),
    modal: z
      .strictObject({
        motion: yesNo('May the motion word be left out while it stays in force', true).optional(),
        axes: yesNo('May an axis word be left out while its value stays the same', true).optional(),
      })
      .meta({ description: 'Words that may be left out. No unit.', examples: [{ motion: false }] })
      .optional(),
    words: z
      .strictObject({
        g_per_block: count('Most G words in a block', 4, 1, 10).optional(),
        m_per_block: count('Most M words in a block', 1, 1, 4).optional(),
        two_digits: yesNo('Are codes written with two digits, G01 for G1', false).optional(),
      })
      .meta({ description: 'Words in one block. No unit.', examples: [{ g_per_block: 1 }] })
      .optional(),
    start: z
      .strictObject({
        percent: yesNo('Does a program begin with a line `%`', false).optional(),
        program_number: count('Program number of the first program', 1, 1, 99_999_999).optional(),
        program_word: choice('Letter before the program number', ['O', ':', 'none'], 'none').optional(),
      })
      .meta({
        description: 'First lines of a program. No unit.',
        examples: [{ percent: true, program_word: 'O', program_number: 1001 }],
      })
      .optional(),
    end: z
      .strictObject({
        word: choice('Word that ends a program', ['M2', 'M30'], 'M30').optional(),
        percent: yesNo('Does a program end with a line `%`', false).optional(),
      })
      .meta({ description: 'Last lines of a program. No unit.', examples: [{ word: 'M2' }] })
      .optional(),
    path_mode: choice(
      'Word that says what happens at corners',
      ['none', 'G61', 'G61.1', 'G64'],
      'none',
    ).optional(),
    optional_stop: yesNo('Does the controller know the optional stop (M1)', true).optional(),
    block_delete: yesNo('Does the controller know the block delete sign `/`', true).optional(),
    line_ending: choice('Bytes that end a line', ['lf', 'crlf', 'cr'], 'lf').optional(),
    file_name: z
      .strictObject({
        form: choice(
          'Which file names the controller takes: free, short (eight characters, a dot, three), or digits only',
          ['free', 'short', 'digits'],
          'free',
        ).optional(),
        extension: z
          .string()
          .regex(/^[A-Za-z0-9]{1,8}$/, { error: () => 'expected 1 to 8 letters or digits, without the dot' })
          .meta({ description: 'File name extension without the dot. No unit.', examples: ['ngc'] })
          .optional(),
        upper: yesNo('Are file names in capitals', false).optional(),
      })
      .meta({
        description: 'Names of program files. No unit.',
        examples: [{ form: 'short', extension: 'NC', upper: true }],
      })
      .optional(),
    max_line_length: count('Longest line', 120, 20, 1024, 'Unit: characters').optional(),
    max_lines: count(
      'Most lines in a file; longer programs are split. Default: no limit',
      4000,
      60,
      10_000_000,
      'Unit: lines',
    ).optional(),
    max_bytes: count(
      'Most bytes in a file; longer programs are split. Default: no limit',
      65536,
      2048,
      2_000_000_000,
      'Unit: bytes',
    ).optional(),
    z_sign: choice('Does Z grow upwards or downwards on this controller', ['up', 'down'], 'up').optional(),
    auxiliary: z
      .record(
        z.string().regex(/^[a-z][a-z0-9-]{0,39}$/),
        z
          .strictObject({
            on: auxiliaryWord('on', 'M7'),
            off: auxiliaryWord('off', 'M9'),
          })
          .meta({
            description: 'Words that switch one output. No unit.',
            examples: [{ on: 'M7', off: 'M9' }],
          }),
      )
      .meta({
        description: 'Outputs the programs may switch, by name: vacuum, extraction, air and others. No unit.',
        examples: [{ extraction: { on: 'M7', off: 'M9' } }],
      })
      .optional(),
  })
  .meta({
    description:
      'What the controller can read, by capability. Left-out options take the default of the dialect. No unit.',
    examples: [{ dialect: 'rs274ngc' }],
  });

function auxiliaryWord(state: string, example: string) {
  return z
    .string()
    .regex(/^M\d{1,4}(?: [A-Z]\d{1,6}(?:\.\d{1,3})?){0,2}$/, {
      error: () => 'expected an M word such as `M7`, with at most two parameters such as `M64 P1`',
    })
    .meta({ description: `Word that switches the output ${state}. No unit.`, examples: [example] });
}

export type ControllerWritten = z.infer<typeof controllerSchema>;
