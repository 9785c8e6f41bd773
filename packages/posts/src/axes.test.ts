import type { Move, NeutralProgram } from '@bedledger/bedwork';
import { InputError } from '@bedledger/diagnostics';
import type { Controller } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { POST_RULES, post } from './index.ts';
import { ALL, EIA, ISO, LINES, NGC } from './testing/controllers.ts';
import { programOf, TWO_SITES } from './testing/programs.ts';

const CUTS: readonly Move[] = [
  { kind: 'spindle', rpm: 16000 },
  { kind: 'rapid-xy', x: 10, y: 20 },
  { kind: 'rapid-z', z: 20 },
  { kind: 'feed', x: 10, y: 20, z: 15, feed: 500 },
  { kind: 'feed', x: 30, y: 20, z: 15, feed: 1500 },
  { kind: 'feed', x: 30, y: 40, z: 15, feed: 1500 },
  { kind: 'rapid-z', z: 40 },
];

function blocks(
  moves: readonly Move[],
  controller: Controller,
  changes: Partial<NeutralProgram> = {},
): string[] {
  return post(programOf(moves, changes), controller)[0]!
    .text.split(/\r\n|\r|\n/)
    .filter((l) => l !== '' && l !== '%' && !/^[(;:]/.test(l));
}

const header = programOf([]).header;

describe('start and end', () => {
  test('every modal group is stated before anything moves, in as many blocks as the controller takes words', () => {
    expect(blocks(CUTS, NGC)[0]).toBe('G17 G21 G40 G49 G80 G90 G94 G54 G98');
    expect(blocks(CUTS, { ...NGC, words: { gPerBlock: 4, mPerBlock: 1 } }).slice(0, 3)).toEqual([
      'G17 G21 G40 G49',
      'G80 G90 G94 G54',
      'G98',
    ]);
    expect(blocks(CUTS, { ...NGC, pathMode: 'G64', words: { gPerBlock: 12, mPerBlock: 4 } })[0]).toMatch(
      /G98 G64$/,
    );
    expect(blocks(CUTS, { ...LINES, unitsWord: 'none' }).slice(0, 2)).toEqual(['G90', 'G0 Z40.000']);
    expect(blocks(CUTS, ISO).slice(0, 2)).toEqual(['N10 G17 G71 G40 G80', 'N20 G90 G94 G54']);
    expect(blocks(CUTS, EIA).slice(0, 7)).toEqual([
      'N1G17',
      'N2G71',
      'N3G40',
      'N4G74',
      'N5G80',
      'N6G90',
      'N7G94',
    ]);
  });

  test('up first, then the spindle and its wait, then across; at the end up, spindle off alone, park, end word', () => {
    const text = blocks(CUTS, NGC);
    expect(text.slice(1)).toEqual([
      'G0 Z40.000',
      'S16000 M3',
      'G4 P6.0',
      'G0 X10.000 Y20.000',
      'Z20.000',
      'G1 Z15.000 F500',
      'X30.000 F1500',
      'Y40.000',
      'G0 Z40.000',
      'M5',
      'G0 X0.000 Y0.000',
      'M30',
    ]);
  });

  test('a program that never turns the spindle says M5 before it moves across', () => {
    const text = blocks(
      [
        { kind: 'rapid-xy', x: 1, y: 1 },
        { kind: 'stop', message: 'Look', optional: false },
      ],
      NGC,
    );
    expect(text.indexOf('M5')).toBeLessThan(text.findIndex((b) => b.includes('X1.000')));
    expect(text.some((b) => /M3\b/.test(b))).toBe(false);
  });

  test('no block moves Z at rapid together with X or Y, and every M word but the tool’s and the start’s stands alone', () => {
    for (const controller of ALL) {
      for (const block of blocks(TWO_SITES, controller)) {
        if (/G0?0(?!\d)/.test(block)) expect(/Z/.test(block) && /[XY]/.test(block)).toBe(false);
        if (/M0?[59]/.test(block)) expect(block.replace(/^N\d+ ?/, '')).toMatch(/^M0?[59]$/);
      }
    }
  });

  test('work offsets 1 to 9 are G54 to G59.3', () => {
    for (const [n, word] of [
      [1, 'G54'],
      [6, 'G59'],
      [7, 'G59.1'],
      [9, 'G59.3'],
    ] as const) {
      expect(blocks(CUTS, NGC, { header: { ...header, workOffset: n } })[0]).toContain(`${word} `);
    }
  });

  test('program word and number', () => {
    const [file] = post(programOf(CUTS), {
      ...ISO,
      start: { percent: true, programNumber: 100, programWord: 'O' },
    });
    expect(file!.text.split('\r\n').slice(0, 2)).toEqual(['%', 'O7100']);
  });

  test('home by G53 before anything else and after the spindle is off; by G28 at the end only', () => {
    const g53 = blocks(CUTS, { ...NGC, home: 'G53' });
    expect(g53.slice(1, 3)).toEqual(['G53 G0 Z0.000', 'G0 Z40.000']);
    expect(g53.slice(-4)).toEqual(['M5', 'G0 X0.000 Y0.000', 'G53 G0 Z0.000', 'M30']);
    const g28 = blocks(CUTS, { ...NGC, home: 'G28' });
    expect(g28.filter((b) => b.includes('G28'))).toHaveLength(1);
    expect(g28.slice(-6)).toEqual(['M5', 'G0 X0.000 Y0.000', 'G91', 'G28 Z0.000', 'G90', 'M30']);
  });
  test('a spindle started by hand is not stopped by hand where it never turned', () => {
    const visit = blocks(
      [
        { kind: 'rapid-xy', x: 10, y: 20 },
        { kind: 'stop', message: 'LOOK', optional: false },
      ],
      {
        ...NGC,
        spindle: { ...NGC.spindle, start: 'manual' },
      },
    );
    expect(visit.filter((b) => b === 'M0')).toHaveLength(1);
  });
  test('a feed is never written above what was asked: 2500 mm/min is 41 mm/s, not 42', () => {
    const text = blocks(
      [
        { kind: 'rapid-xy', x: 10, y: 20 },
        { kind: 'feed', x: 30, y: 20, z: 40, feed: 2500 },
      ],
      {
        ...NGC,
        feed: { ...NGC.feed, per: 'second' },
        numbers: { ...NGC.numbers, feed: { decimals: 0, integers: 5 } },
      },
    );
    expect(text.some((b) => b.endsWith('F41'))).toBe(true);
  });
  test('minutes of a visiting program in parts follow its stops', () => {
    const moves: Move[] = [];
    for (let i = 1; i <= 12; i++) {
      moves.push(
        { kind: 'section', title: `SITE A${i}`, restart: true },
        { kind: 'rapid-xy', x: 10 * i, y: 20 },
        { kind: 'stop', message: 'LOOK', optional: false },
      );
    }
    const files = post(programOf(moves), { ...NGC, maxLines: 60 });
    expect(files.length).toBeGreaterThan(1);
    const minutes = files.reduce((sum, f) => sum + f.claims.minutes, 0);
    for (const file of files) {
      const stops = file.text.split('\n').filter((l) => l === 'M0').length;
      expect(Math.abs(file.claims.minutes / minutes - stops / 12)).toBeLessThan(0.1);
    }
  });
});

describe('tool', () => {
  test('one tool per program: no tool words', () => {
    expect(blocks(CUTS, NGC).some((b) => /[TH]\d|M6/.test(b))).toBe(false);
  });
  test('automatic, with a length offset: change, offset, and only then a height', () => {
    expect(blocks(CUTS, { ...NGC, toolChange: 'automatic', toolLength: 'G43' }).slice(1, 5)).toEqual([
      'M5',
      'T1 M6',
      'G43 H1',
      'G0 Z40.000',
    ]);
  });
  test('by hand: up, off, stop with words, up again', () => {
    const [file] = post(programOf(CUTS), { ...NGC, toolChange: 'manual-stop' });
    const lines = file!.text.split('\n');
    const at = lines.findIndex((l) => l.includes('FIT CUTTER'));
    expect(lines.slice(at - 2, at + 3)).toEqual([
      'G0 Z40.000',
      'M5',
      '(FIT CUTTER UPCUT 6 MM, TOUCH OFF, AND PRESS START)',
      'M0',
      'G0 Z40.000',
    ]);
  });
  test('no cutter: no tool words at all', () => {
    expect(
      blocks(
        CUTS,
        { ...NGC, toolChange: 'automatic', toolLength: 'G43' },
        { header: { ...header, cutter: null } },
      ).some((b) => /[TH]\d|M6/.test(b)),
    ).toBe(false);
  });
});

describe('spindle, dwell, outputs', () => {
  test.each<[string, Partial<Controller>, string[]]>([
    ['speed first', { spindle: { ...NGC.spindle, order: 'speed-first' } }, ['S16000', 'M3', 'G4 P6.0']],
    ['at speed', { spindle: { ...NGC.spindle, start: 'at-speed' } }, ['S16000 M3', 'G0 X10.000 Y20.000']],
    ['no speed word', { spindle: { ...NGC.spindle, speed: 'none' } }, ['M3', 'G4 P6.0']],
    ['codes', { spindle: { ...NGC.spindle, codes: [{ rpm: 16000, code: 41 }] } }, ['S41 M3', 'G4 P6.0']],
    ['by hand', { spindle: { ...NGC.spindle, start: 'manual' } }, ['M0', 'G0 X10.000 Y20.000']],
    [
      'milliseconds',
      { dwell: { word: 'P', unit: 'ms' }, numbers: { ...NGC.numbers, dwell: { decimals: 0, integers: 6 } } },
      ['S16000 M3', 'G4 P6000'],
    ],
  ])('%s', (_, changes, expected) => {
    expect(blocks(CUTS, { ...NGC, ...changes }).slice(2, 2 + expected.length)).toEqual(expected);
  });

  test.each(['X', 'F', 'S', 'U'] as const)('dwell by %s', (word) => {
    expect(blocks(CUTS, { ...ISO, dwell: { word, unit: 's' } })).toContain(`N50 G4 ${word}6.0`);
  });

  test('outputs go on with their words and off again at the end, last first', () => {
    const text = blocks(
      [
        { kind: 'auxiliary', name: 'vacuum', on: true },
        { kind: 'auxiliary', name: 'extraction', on: true },
        ...CUTS,
      ],
      NGC,
    );
    expect(text).toContain('M64 P1');
    expect(text.slice(-4)).toEqual(['M65 P1', 'M9', 'G0 X0.000 Y0.000', 'M30']);
  });

  test('an optional stop is M1 where there is one, and a stop otherwise', () => {
    const stop: Move[] = [
      { kind: 'rapid-xy', x: 0, y: 0 },
      { kind: 'stop', message: 'Look', optional: true },
    ];
    expect(blocks(stop, NGC)).toContain('M1');
    expect(blocks(stop, { ...NGC, optionalStop: false })).toContain('M0');
  });
});

describe('stops', () => {
  test('the message stands before the stop in the run sheet’s words; afterwards everything is said again, height first', () => {
    const text = post(
      programOf([
        ...CUTS,
        { kind: 'stop', message: 'Blow the pocket out', optional: false },
        { kind: 'rapid-xy', x: 30, y: 60 },
        { kind: 'rapid-z', z: 20 },
        { kind: 'feed', x: 30, y: 60, z: 15, feed: 1500 },
      ]),
      NGC,
    )[0]!.text.split('\n');
    const at = text.indexOf('(BLOW THE POCKET OUT)');
    expect(text.slice(at, at + 8)).toEqual([
      '(BLOW THE POCKET OUT)',
      'M0',
      'G0 Z40.000',
      'S16000 M3',
      'G4 P6.0',
      'G0 X30.000 Y60.000',
      'Z20.000',
      'G1 Z15.000 F1500',
    ]);
  });
});

describe('incremental distance', () => {
  test('three thousand thirds of a millimetre end where they should (naive steps end at 999.000)', () => {
    const moves: Move[] = [{ kind: 'rapid-xy', x: 0, y: 0 }];
    for (let n = 1; n <= 3000; n++) moves.push({ kind: 'feed', x: n / 3, y: 0, z: 15, feed: 1000 });
    const text = blocks(moves, { ...NGC, distance: 'incremental' });
    const steps = text
      .filter((b) => /^(G1 )?X/.test(b) && !b.includes('Y'))
      .map((b) => Number(/X([-\d.]+)/.exec(b)![1]));
    expect(steps).toHaveLength(3000);
    expect(steps.reduce((sum, s) => sum + Math.round(s * 1000), 0)).toBe(1_000_000);
  });

  test('the first height and place are absolute, and so is the way home', () => {
    const text = blocks(CUTS, { ...NGC, distance: 'incremental' });
    expect(text.slice(4, 8)).toEqual(['G0 X10.000 Y20.000', 'G91', 'Z-20.000', 'G1 Z-5.000 F500']);
    expect(text.slice(-5)).toEqual(['G0 Z25.000', 'G90', 'M5', 'G0 X0.000 Y0.000', 'M30']);
  });
});

describe('text', () => {
  test('spacing, numbering, two digits, feed on every cut, everything restated', () => {
    expect(blocks(CUTS, { ...NGC, spacing: 'none' })).toContain('G0X10.000Y20.000');
    expect(blocks(CUTS, { ...NGC, words: { ...NGC.words, twoDigits: true } })).toContain('G01 Z15.000 F500');
    expect(blocks(CUTS, { ...NGC, feed: { ...NGC.feed, word: 'every-cut' } })).toContain('Y40.000 F1500');
    expect(blocks(CUTS, { ...NGC, modal: { motion: false, axes: true } })).toContain('G1 Y40.000');
    expect(blocks(CUTS, { ...NGC, modal: { motion: false, axes: false } })).toContain(
      'G1 X30.000 Y40.000 Z15.000',
    );
    expect(
      blocks(CUTS, {
        ...NGC,
        feed: { ...NGC.feed, per: 'second' },
        numbers: { ...NGC.numbers, feed: { decimals: 2, integers: 3 } },
      }),
    ).toContain('X30.000 F25.00');
  });

  test('line numbers: padded, wrapped or stopped at their greatest, or only at sections', () => {
    const numbers = (c: Partial<Controller['lineNumbers']>): string[] =>
      blocks(TWO_SITES, {
        ...NGC,
        lineNumbers: { use: 'every', start: 10, step: 10, max: 50, at_max: 'wrap', ...c },
      }).map((b) => /^N\d+/.exec(b)?.[0] ?? '');
    expect(numbers({}).slice(0, 7)).toEqual(['N10', 'N20', 'N30', 'N40', 'N50', 'N10', 'N20']);
    expect(numbers({ at_max: 'stop' }).slice(0, 7)).toEqual(['N10', 'N20', 'N30', 'N40', 'N50', '', '']);
    expect(numbers({ width: 4 })[0]).toBe('N0010');
    expect(numbers({ use: 'sections', max: 9999 }).filter((n) => n !== '')).toEqual(['N10', 'N20', 'N30']);
  });

  test('line endings', () => {
    for (const [lineEnding, ending] of [
      ['lf', '\n'],
      ['crlf', '\r\n'],
      ['cr', '\r'],
    ] as const) {
      const { text } = post(programOf(CUTS), { ...NGC, lineEnding })[0]!;
      expect(text.endsWith(`M30${ending}%${ending}`)).toBe(true);
      expect(text.split(ending).join('')).not.toMatch(/[\r\n]/);
    }
  });

  test('inches: lengths, feeds and the header', () => {
    const inch: Controller = {
      ...NGC,
      units: 'in',
      numbers: { ...NGC.numbers, xyz: { decimals: 4, integers: 3 }, feed: { decimals: 1, integers: 4 } },
    };
    const { text } = post(
      programOf([
        { kind: 'rapid-xy', x: 25.4, y: 50.8 },
        { kind: 'feed', x: 76.2, y: 50.8, z: 12.7, feed: 2540 },
      ]),
      inch,
    )[0]!;
    expect(text).toContain('G20');
    expect(text).toContain('X1.0000 Y2.0000');
    expect(text).toContain('G1 X3.0000 Z0.5000 F100.0');
    expect(text).toContain('(CUTTER: UPCUT-6 D0.2362 T1)');
    expect(text).toContain('(KEY IN: 0.7134 IN)');
  });

  test('Z down', () => {
    const file = post(programOf(CUTS), { ...NGC, zSign: -1 })[0]!;
    expect(file.text).toContain('G1 Z-15.000');
    expect(file.claims.extents.z).toEqual([15, 40]);
  });

  test('a title cannot become a block, whatever stands in it', () => {
    const nasty = 'A1)\nG0 Z-50\r\nM3 S24000 (\u2028%\nO1';
    for (const controller of ALL) {
      const plain = post(programOf(CUTS), controller)[0]!.text;
      const text = post(
        programOf([{ kind: 'section', title: nasty, restart: false }, ...CUTS], {
          header: { ...header, title: nasty, machine: nasty, before: [nasty], cautions: [nasty] },
        }),
        controller,
      )[0]!.text;
      const code = (t: string): string[] => t.split(/[\r\n]+/).filter((l) => !/^[(;].*$/.test(l));
      expect(code(text)).toEqual(code(plain));
    }
  });
});

describe('arcs', () => {
  /** The blocks that an arc from (110, 100, 15) becomes. */
  const round = (
    arcs: Partial<Controller['arcs']>,
    moves: readonly Move[],
    base: Controller = NGC,
  ): string[] => {
    const text = blocks([{ kind: 'rapid-xy', x: 110, y: 100 }, { kind: 'rapid-z', z: 15 }, ...moves], {
      ...base,
      lineNumbers: NGC.lineNumbers,
      arcs: { ...base.arcs, ...arcs },
    });
    const from = text.findIndex((b) => /Z15(\.)?000/.test(b)) + 1;
    const to = text.findIndex((b, n) => n >= from && /Z40(\.)?000/.test(b));
    return text.slice(from, to);
  };
  const full: Move = { kind: 'arc', clockwise: false, x: 110, y: 100, z: 15, cx: 100, cy: 100, feed: 900 };

  test('a full circle in one, two or four', () => {
    expect(round({}, [full])).toEqual(['G3 X110.000 Y100.000 I-10.000 J0.000 F900']);
    expect(round({ fullCircle: 'two' }, [full])).toEqual([
      'G3 X90.000 Y100.000 I-10.000 J0.000 F900',
      'X110.000 Y100.000 I10.000 J0.000',
    ]);
    expect(round({ fullCircle: 'four' }, [full])).toHaveLength(4);
  });
  test('absolute centres, radius, single quadrants', () => {
    expect(round({ form: 'centre-absolute' }, [full], { ...ISO, lineNumbers: NGC.lineNumbers })).toEqual([
      'G3 X110.000 Y100.000 I100.000 J100.000 F900',
    ]);
    expect(round({ form: 'radius' }, [full])).toEqual([
      'G3 X95.000 Y108.660 R10.000 F900',
      'X95.000 Y91.340 R10.000',
      'X110.000 Y100.000 R10.000',
    ]);
    expect(round({}, [full], { ...EIA, lineNumbers: NGC.lineNumbers })).toEqual([
      'G03X100000Y110000I10000J0F900',
      'X90000Y100000I0J10000',
      'X100000Y90000I10000J0',
      'X110000Y100000I0J10000',
    ]);
  });
  test('too small, too large, or a helix the controller has not: chords inside the circle', () => {
    for (const arcs of [{ minRadius: 20 }, { maxRadius: 5 }, { helix: false }, { form: 'none' as const }]) {
      const lines = round(arcs, [{ ...full, z: 'helix' in arcs ? 14 : 15 } as Move]);
      // Chord tolerance 0.01 at r = 10: half angle arccos(1 − 0.001), so at least 2π / (2 · 0.04472) = 70.3 chords.
      expect(lines.length).toBeGreaterThanOrEqual(71);
      expect(lines.length).toBeLessThan(90);
      for (const line of lines) {
        const [x, y] = ['X', 'Y'].map((l) =>
          Number(new RegExp(`${l}([-\\d.]+)`).exec(line)?.[1] ?? Number.NaN),
        );
        if (!Number.isNaN(x! + y!)) expect(Math.hypot(x! - 100, y! - 100)).toBeLessThanOrEqual(10 + 1e-9);
      }
    }
  });
  test('a helix whose feed counts along its projection is fed slower', () => {
    // 3-4-5: a quarter of radius 40/π·… chosen so that the way round is 40 and the rise 30; path 50.
    const r = 40 / (Math.PI / 2);
    const moves: Move[] = [
      { kind: 'arc', clockwise: false, x: 110 - r, y: 100 + r, z: -15, cx: 110 - r, cy: 100, feed: 1000 },
    ];
    expect(round({ helixFeed: 'path' }, moves)[0]).toMatch(/F1000$/);
    expect(round({ helixFeed: 'projection' }, moves)[0]).toMatch(/F800$/);
  });
  test('a vanishing arc is never a full circle', () => {
    for (const form of ['centre', 'radius'] as const) {
      const tiny: Move = {
        kind: 'arc',
        clockwise: false,
        x: 110,
        y: 100.0003,
        z: 15,
        cx: 100,
        cy: 100,
        feed: 900,
      };
      expect(round({ form }, [tiny])).toEqual([]);
      const short: Move = {
        kind: 'arc',
        clockwise: true,
        x: 110,
        y: 99.998,
        z: 15,
        cx: 100,
        cy: 100,
        feed: 900,
      };
      expect(round({ form }, [short])).toEqual(['G1 Y99.998 F900']);
    }
  });
});

describe('what cannot be written is an error that says what and where', () => {
  const fails = (
    moves: readonly Move[],
    controller: Controller = NGC,
    changes: Partial<NeutralProgram> = {},
  ): string => {
    try {
      post(programOf(moves, changes), controller);
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
      const [d] = (error as InputError).diagnostics;
      expect(d!.severity).toBe('stop');
      expect(d!.help).toBeTruthy();
      return `${d!.code}: ${d!.message}`;
    }
    throw new Error('did not fail');
  };
  const at = (x: number): Move[] => [
    { kind: 'rapid-xy', x: 0, y: 0 },
    { kind: 'feed', x, y: 0, z: 15, feed: 500 },
  ];

  test('numbers', () => {
    const short = { ...NGC, numbers: { ...NGC.numbers, xyz: { decimals: 3, integers: 3 } } };
    expect(fails(at(1000), short)).toBe(
      'post/overflow: clearance-holes-first-fit, move 2 (feed): X 1000 mm does not fit 3 digits before the point and 3 after it',
    );
    expect(fails(at(999.9996), short)).toContain('post/overflow');
    expect(fails(at(Number.NaN))).toContain('post/not-a-number');
    expect(fails(at(Number.POSITIVE_INFINITY))).toContain('post/not-a-number');
    expect(
      fails(
        [
          { kind: 'rapid-xy', x: -600, y: 0 },
          { kind: 'feed', x: 600, y: 0, z: 15, feed: 500 },
        ],
        { ...short, distance: 'incremental' },
      ),
    ).toContain('X 1200');
    expect(
      fails([{ kind: 'spindle', rpm: 16000 }], {
        ...NGC,
        numbers: { ...NGC.numbers, speed: { decimals: 0, integers: 4 } },
      }),
    ).toContain('S 16000');
    expect(fails([{ kind: 'spindle', rpm: 0 }])).toContain('S 0');
  });

  test('feeds', () => {
    expect(
      fails([
        { kind: 'rapid-xy', x: 0, y: 0 },
        { kind: 'feed', x: 9, y: 0, z: 15, feed: 30000 },
      ]),
    ).toContain('feed 30000 mm/min, the controller takes 1 mm/min to 20000 mm/min');
    expect(
      fails([
        { kind: 'rapid-xy', x: 0, y: 0 },
        { kind: 'feed', x: 9, y: 0, z: 15, feed: 0 },
      ]),
    ).toContain('post/feed');
    expect(
      fails([
        { kind: 'rapid-xy', x: 0, y: 0 },
        { kind: 'feed', x: 9, y: 0, z: 15, feed: Number.NaN },
      ]),
    ).toContain('post/feed');
  });

  test('moves', () => {
    expect(fails([{ kind: 'feed', x: 9, y: 0, z: 15, feed: 500 }])).toContain('post/no-start');
    expect(
      fails([{ kind: 'drill', x: 0, y: 0, link: 10, above: 20, bottom: 5, peck: null, feed: 500 }]),
    ).toContain('post/drill');
    expect(
      fails([{ kind: 'drill', x: 0, y: 0, link: 40, above: 20, bottom: 25, peck: null, feed: 500 }]),
    ).toContain('post/drill');
    expect(
      fails([{ kind: 'drill', x: 0, y: 0, link: 40, above: 20, bottom: 5, peck: 0, feed: 500 }]),
    ).toContain('post/drill');
    expect(fails([{ kind: 'auxiliary', name: 'air', on: true }])).toContain('it has vacuum, extraction');
    expect(
      fails([{ kind: 'dwell', seconds: 2 }], {
        ...NGC,
        dwell: { word: 'none', unit: 's' },
        spindle: { ...NGC.spindle, start: 'at-speed' },
      }),
    ).toContain('post/dwell');
    expect(fails([{ kind: 'dwell', seconds: -1 }])).toContain('post/');
    expect(
      fails([{ kind: 'spindle', rpm: 9000 }], {
        ...NGC,
        spindle: { ...NGC.spindle, codes: [{ rpm: 16000, code: 1 }] },
      }),
    ).toContain('it has 16000 rpm'.replace('it has', 'the controller has'));
  });

  test('too little room', () => {
    expect(fails(CUTS, { ...NGC, maxLineLength: 18, commentLength: 18 })).toContain('post/comment-room');
    expect(fails(CUTS, { ...LINES, comments: 'none', maxLineLength: 12 })).toContain('post/line-length');
  });
});

describe('what no profile can ask for is misuse', () => {
  const misuse = (controller: Controller, changes: Partial<NeutralProgram> = {}): string => {
    try {
      post(programOf(CUTS, changes), controller);
    } catch (error) {
      expect(error).toBeInstanceOf(RangeError);
      return (error as RangeError).message;
    }
    throw new Error('did not fail');
  };

  test('controllers that contradict their dialect', () => {
    expect(misuse({ ...NGC, unitsWord: 'G70/G71' })).toContain('G70/G71');
    expect(misuse({ ...NGC, comments: 'semicolon' })).toContain('semicolon');
    expect(misuse({ ...NGC, start: { ...NGC.start, programWord: 'O' } })).toContain('program word');
    expect(misuse({ ...LINES, arcs: NGC.arcs })).toContain('arcs');
    expect(misuse({ ...EIA, workOffset: 'G54-G59.3' })).toContain('G54');
    expect(misuse({ ...NGC, dwell: { word: 'none', unit: 's' } })).toContain('dwell');
  });

  test('words that are none', () => {
    expect(misuse({ ...NGC, auxiliary: { vacuum: { on: 'M7\nG0 Z-50', off: 'M9' } } })).toContain(
      'one code word',
    );
    expect(misuse(EIA, { header: { ...header, workOffset: 2 } })).toContain('work offset 2');
    expect(misuse({ ...NGC, fileName: { form: 'free', extension: 'n/c', upper: false } })).toContain(
      'file extension',
    );
  });

  /** Every closed list of a controller, each with a member that it does not have. */
  test.each<[string, (c: Controller) => unknown]>([
    ['dialect', (c) => ({ ...c, dialect: 'x' })],
    ['unit', (c) => ({ ...c, units: 'x' })],
    ['units word', (c) => ({ ...c, unitsWord: 'x' })],
    ['distance', (c) => ({ ...c, distance: 'x' })],
    ['spacing', (c) => ({ ...c, spacing: 'x' })],
    ['comment style', (c) => ({ ...c, comments: 'x' })],
    ['character set', (c) => ({ ...c, characterSet: 'x' })],
    ['use of line numbers', (c) => ({ ...c, lineNumbers: { ...c.lineNumbers, use: 'x' } })],
    ['end of line numbers', (c) => ({ ...c, lineNumbers: { ...c.lineNumbers, at_max: 'x' } })],
    ['use of the point', (c) => ({ ...c, numbers: { ...c.numbers, point: 'x' } })],
    ['use of zeros', (c) => ({ ...c, numbers: { ...c.numbers, zeros: 'x' } })],
    ['zero suppression', (c) => ({ ...c, numbers: { ...c.numbers, suppress: 'x' } })],
    ['use of the leading zero', (c) => ({ ...c, numbers: { ...c.numbers, leadingZero: 'x' } })],
    ['form of arcs', (c) => ({ ...c, arcs: { ...c.arcs, form: 'x' } })],
    ['use of quadrants', (c) => ({ ...c, arcs: { ...c.arcs, quadrants: 'x' } })],
    ['form of a full circle', (c) => ({ ...c, arcs: { ...c.arcs, fullCircle: 'x' } })],
    ['feed of a helix', (c) => ({ ...c, arcs: { ...c.arcs, helixFeed: 'x' } })],
    ['plane', (c) => ({ ...c, plane: 'x' })],
    ['use of the feed word', (c) => ({ ...c, feed: { ...c.feed, word: 'x' } })],
    ['feed mode', (c) => ({ ...c, feed: { ...c.feed, mode: 'x' } })],
    ['time of a feed', (c) => ({ ...c, feed: { ...c.feed, per: 'x' } })],
    ['spindle speed', (c) => ({ ...c, spindle: { ...c.spindle, speed: 'x' } })],
    ['spindle order', (c) => ({ ...c, spindle: { ...c.spindle, order: 'x' } })],
    ['start of the spindle', (c) => ({ ...c, spindle: { ...c.spindle, start: 'x' } })],
    ['unit of a dwell', (c) => ({ ...c, dwell: { ...c.dwell, unit: 'x' } })],
    ['change of cutters', (c) => ({ ...c, toolChange: 'x' })],
    ['length offset', (c) => ({ ...c, toolLength: 'x' })],
    ['work offset', (c) => ({ ...c, workOffset: 'x' })],
    ['home word', (c) => ({ ...c, home: 'x' })],
    ['use of cycles', (c) => ({ ...c, cycles: { ...c.cycles, use: 'x' } })],
    ['return from a cycle', (c) => ({ ...c, cycles: { ...c.cycles, return: 'x' } })],
    ['path mode', (c) => ({ ...c, pathMode: 'x' })],
    ['line ending', (c) => ({ ...c, lineEnding: 'x' })],
    ['form of file names', (c) => ({ ...c, fileName: { ...c.fileName, form: 'x' } })],
  ])('unknown %s: refused, never written as another one', (list, change) => {
    expect(misuse(change(NGC) as Controller)).toBe(`unknown ${list} "x"`);
  });

  test('unknown operation, form or place of Z 0', () => {
    const short: Controller = { ...NGC, fileName: { form: '8.3', extension: 'nc', upper: false } };
    const operation = 'engrave' as NeutralProgram['operation'];
    expect(misuse(short, { operation, name: 'engrave-more' })).toBe('unknown operation "engrave"');
    const form = 'third-fit' as NonNullable<NeutralProgram['form']>;
    expect(misuse({ ...short, fileName: { ...short.fileName, form: 'digits' } }, { form })).toBe(
      'unknown form of an operation "third-fit"',
    );
    const zZero = 'ceiling' as NeutralProgram['header']['zZero'];
    expect(misuse(NGC, { header: { ...header, zZero } })).toBe('unknown place of Z 0 "ceiling"');
  });
});

test('every code has its rule: what it is, why it matters, what to do', () => {
  for (const [code, rule] of Object.entries(POST_RULES)) {
    expect(code).toMatch(/^post\/[a-z-]+$/);
    expect(rule.title).toMatch(/^[^A-Z.][^.]*$/);
    expect(rule.why).toMatch(/^[A-Z].*\.$/);
    expect(rule.remedy).toMatch(/^[a-z][^.]*(\.[a-z][^.]*)*$/);
  }
});
