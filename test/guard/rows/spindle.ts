import type { Hazard } from '../job-row.ts';

const RAW = { raw: true } as const;
const CUT = 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000';
const HEAD = 'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70';
const TAIL = 'G0 Z70\nM5\nM30';
const CUT18 = 'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F2500';

/** What turns, how fast, with which cutter, and how long. */
export const SPINDLE: readonly Hazard[] = [
  {
    hazard: 'spindle off',
    machine: 'heron',
    rows: [
      ['not', 'never started', `${HEAD}\n${CUT}\n${TAIL}`, RAW],
      ['not', 'M3 without a speed', `${HEAD}\nM3\nG4 P6\n${CUT}\n${TAIL}`, RAW],
      ['not', 'S0', `${HEAD}\nS0 M3\nG4 P6\n${CUT}\n${TAIL}`, RAW],
      ['not', 'M5 before the cut', `M5\n${CUT}`],
      ['not', 'M5 in the cut', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nM5\nG1 X360 F3000'],
      [
        'not',
        'M5 with block delete on only',
        `/S16000 M3\n${CUT}`.replace('/S16000 M3', 'M5\n/S16000 M3\nG4 P6'),
      ],
      ['not', 'stopped by a tool change', `M5\nT1 M6\n${CUT}`],
    ],
  },
  {
    hazard: 'spindle the wrong way or too fast',
    machine: 'heron',
    rows: [
      ['not', 'M4', `${HEAD}\nS16000 M4\nG4 P6\n${CUT}\n${TAIL}`, RAW],
      ['not', 'm04 in lower case', `${HEAD}\ns16000m04\nG4 P6\n${CUT}\n${TAIL}`, RAW],
      ['not', '24000, the spindle ends at 18000', CUT, { speed: 24000 }],
      ['not', '1600, the spindle begins at 6000', CUT, { speed: 1600 }],
      [
        'not',
        '18000 with a surfacing cutter marked 14000',
        'G0 X300 Y300\nG0 Z20\nG1 X360 F3000',
        { speed: 18000, cutter: 'flattener-63' },
      ],
      [
        'not',
        'at once into the board after M3',
        `${HEAD}\nG0 X300 Y300\nG0 Z20\nS16000 M3\nG1 Z17.5 F1000\nG1 X360 F3000\n${TAIL}`,
        RAW,
      ],
      [
        'not',
        'a dwell in ms on a controller that counts seconds is no harm, 0.006 s of it is',
        `${HEAD}\nG0 X300 Y300\nG0 Z20\nS16000 M3\nG4 P0.006\nG1 Z17.5 F1000\nG1 X360 F3000\n${TAIL}`,
        RAW,
      ],
    ],
  },
  {
    hazard: 'dwell',
    machine: 'heron',
    rows: [
      ['not', 'ten seconds in the board', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG4 P10\nG1 X360 F3000'],
      [
        'not',
        'a cycle that waits 30 s at the bottom',
        'G0 X300 Y300\nG82 X300 Y300 Z17.4 R20 P30 F1000\nG80',
      ],
      ['not', 'feed zero stands still in the board', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F0'],
      ['not', 'a stop in the board, spindle on', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nM0\nG1 X360 F3000'],
      [
        'not',
        'a stop above the board, spindle on: somebody reaches in',
        'G0 X300 Y300\nG0 Z60\nM0\nG0 Z20\nG1 Z17.5 F1000',
      ],
    ],
  },
  {
    hazard: 'feed',
    machine: 'heron',
    rows: [
      ['not', 'no feed at all', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5\nG1 X360'],
      ['not', 'F0', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F0'],
      ['unknown', 'inverse time without its F', 'G0 X300 Y300\nG0 Z20\nG93\nG1 Z17.5 F400\nG1 X360'],
      ['unknown', 'a negative feed', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F-1000'],
      ['unknown', 'feed per turn, which this language does not have', 'G0 X300 Y300\nG95\nG1 Z17.5 F0.2'],
      [
        'not',
        'inverse time read as minutes: F1000 over 2.5 mm is 2.5 m/min, and 60 mm at F300 is 18 m/min, over twice the chip load at 6000 rpm',
        'G0 X300 Y300\nG0 Z20\nG93\nG1 Z17.5 F400\nG1 X360 F300\nG94',
        { speed: 6000 },
      ],
    ],
  },
  {
    hazard: 'feed',
    machine: 'egret',
    rows: [
      [
        'not',
        'F is missing in a cutting block of a controller that needs it in each',
        'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.7 F40.\nN80 G1 X14.',
        { zero: 'work', sheet: 19.05 },
      ],
      ['not', 'no F', 'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.3', { zero: 'work', sheet: 19.05 }],
      [
        'not',
        'spindle not started',
        '%\n:1\nN10 G70 G90 G17 G94\nN15 G40 G54\nN20 G0 Z2.5\nN50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.3 F40.\nN80 G0 Z2.5\nN90 M30',
        { raw: true, zero: 'work', sheet: 19.05 },
      ],
    ],
  },
  {
    hazard: 'the cutter cannot do it',
    machine: 'heron',
    rows: [
      ['not', 'straight down with a cutter that cannot plunge', CUT, { cutter: 'compression-8' }],
      ['not', 'a surfacing cutter straight down', CUT, { cutter: 'flattener-63', speed: 12000 }],
      [
        'not',
        '17.7 deep with 6 of flutes',
        'G0 X300 Y300\nG0 Z20\nG1 Z0.1 F1000\nG1 X360 F1500',
        { cutter: 'vee-90', depth: 18 },
      ],
      [
        'not',
        'a sheet of 30 with 25 of flutes',
        'G0 X300 Y300\nG0 Z5\nG1 Z-30 F500\nG1 X360 F1500',
        { zero: 'work', sheet: 30 },
      ],
    ],
  },
  {
    hazard: 'which cutter',
    machine: 'heron',
    rows: [
      ['unknown', 'nobody says', CUT, { cutter: null }],
      ['unknown', 'T9 is none of the house', `M5\nT9 M6\nS16000 M3\nG4 P6\n${CUT}`, { cutter: null }],
      ['unknown', 'the call says 6 mm, T2 of the house is 6.35', `M5\nT2 M6\nS16000 M3\nG4 P6\n${CUT}`],
      [
        'run',
        'the call says on purpose that the job’s T2 is the 6 mm',
        `M5\nT2 M6\nS16000 M3\nG4 P6\n${CUT}`,
        { cutter: null, cutters: { 2: 'upcut-6' } },
      ],
      [
        'unknown',
        'two tools on a machine that takes one a program',
        `M5\nT1 M6\nS16000 M3\nG4 P6\n${CUT}\nG0 Z60\nM5\nT3 M6\nS16000 M3\nG4 P6\nG0 X300 Y330\nG0 Z20\nG1 Z17.5 F1000`,
        { cutter: null },
      ],
      [
        'unknown',
        'T1 and T3 chosen and never fetched',
        `T1\n${CUT}\nG0 Z60\nT3\nG0 X300 Y330\nG0 Z20\nG1 Z17.5 F1000`,
        { cutter: null },
      ],
      [
        'unknown',
        'the header names the vee, the call the 6 mm',
        `(CUTTER: VEE-90 D12 T20)\n${HEAD}\nS16000 M3\nG4 P6\n${CUT}\n${TAIL}`,
        RAW,
      ],
      ['unknown', 'M6 before any T', `M5\nM6\nS16000 M3\nG4 P6\n${CUT}`],
    ],
  },
  {
    hazard: 'tool changes and lengths',
    machine: 'petrel',
    rows: [
      [
        'not',
        'T3 with the length of T1',
        `${CUT18}\nG0 Z60\nM5\nT3 M6\nG43 H1\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'T3 and no new length',
        `${CUT18}\nG0 Z60\nM5\nT3 M6\nS16000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'unknown',
        'G49 before the cut: the length of T1 is not in the text, so nobody knows how high the tip is then',
        `G49\n${CUT18}`,
        { cutter: null },
      ],
      [
        'not',
        'no length at all',
        'G21 G90 G17 G94 G40 G80 G54\nT1 M6\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG0 Z60\nM5\nM30',
        { raw: true, cutter: null },
      ],
      [
        'not',
        'changed while it turns',
        `${CUT18}\nG0 Z60\nT3 M6\nG43 H3\nG0 Z60\nS16000 M3\nG4 P5\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'changed low over the board',
        `${CUT18}\nG0 Z18.5\nM5\nT3 M6\nG43 H3\nG0 Z60\nS16000 M3\nG4 P5\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'the second tool is not started',
        `${CUT18}\nG0 Z60\nM5\nT3 M6\nG43 H3\nG0 Z60\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'the second tool cannot plunge: T4',
        `${CUT18}\nG0 Z60\nM5\nT4 M6\nG43 H4\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'an empty spindle goes to the work',
        `${CUT18}\nG0 Z60\nM5\nT0 M6\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'unknown',
        'T7 is none of the house',
        `${CUT18}\nG0 Z60\nM5\nT7 M6\nG43 H7\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000`,
        { cutter: null },
      ],
      [
        'not',
        'the wider second tool (63 mm) reaches 1 mm deep where the first was let',
        `${CUT18}\nG0 Z60\nM5\nT10 M6\nG43 H10\nG0 Z60\nS12000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 X400 Z16.9 F3000`,
        { cutter: null },
      ],
    ],
  },
  {
    hazard: 'more than can be followed',
    machine: 'heron',
    rows: [
      [
        'unknown',
        'pecks of 0.0011, ten thousand times',
        'G0 X300 Y300\nG0 Z20\nG99 G83 X300 Y300 Z17.4 R20 Q0.0011 L9999 F1000\nG80',
      ],
      [
        'unknown',
        'a repeat count of a million',
        'G0 X300 Y300\nG0 Z20\nG99 G81 X300 Y300 Z17.4 R20 L1000000 F1000\nG80',
      ],
      [
        'unknown',
        'a coordinate of 1 with 200 zeros: longer than the controller’s line',
        `G0 X1${'0'.repeat(200)} Y300`,
      ],
      ['not', 'a coordinate of 1 with 60 zeros', `G0 X1${'0'.repeat(60)} Y300`],
      [
        'run',
        'a radius of 100 km over 10 mm, high up: a straight line',
        'G0 X300 Y300\nG1 Z60 F3000\nG2 X310 Y300 R100000000 F3000',
      ],
    ],
  },
];
