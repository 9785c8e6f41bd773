import type { Hazard } from '../job-row.ts';

const RAW = { raw: true } as const;
const HEAD = 'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6';
const TAIL = 'G0 Z70\nM5\nM30';
const CUT = 'G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG1 Y760 F2800';
const SHEET = { zero: 'work', sheet: 12, depth: 0.3 } as const;

/** A hundred more, written down with their verdicts before any of them was run. */
export const BLIND: readonly Hazard[] = [
  {
    hazard: 'written blind',
    machine: 'heron',
    rows: [
      [
        'run',
        'two squares with a lift between',
        'G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG1 X540 F2800\nY740\nX500\nY700\nG0 Z22\nX600\nG1 Z17.4 F900\nG1 X640 F2800\nG0 Z22',
      ],
      [
        'run',
        'a full circle in G3 from the right',
        'G0 X520 Y700\nG0 Z20\nG1 Z17.4 F900\nG3 I-20 F2800 X520 Y700',
      ],
      ['run', 'words in another order', 'Y700 X500 G0\nZ20 G0\nF900 Z17.4 G1\nF2800 Y760 G1'],
      [
        'run',
        'spaces inside numbers, which mean nothing',
        'G0 X5 0 0 Y7 0 0\nG0 Z2 0\nG1 Z17 .4 F9 00\nG1 Y76 0 F28 00',
      ],
      ['run', 'tabs', 'G0\tX500\tY700\nG0\tZ20\nG1\tZ17.4\tF900\nG1\tY760\tF2800'],
      ['run', 'carriage returns and line feeds', `${CUT.replaceAll('\n', '\r\n')}`],
      ['run', 'a message to the operator', `(MSG, WATCH THE EDGE)\n${CUT}`],
      ['run', 'text after M30', `${HEAD}\n${CUT}\n${TAIL}\nTHAT WAS ALL`, RAW],
      ['run', 'G64, G61 and back', `G64\n${CUT}\nG61\nG1 Y700 F2800\nG64`],
      [
        'run',
        'a sheet of 12 engraved 3 deep',
        'G0 X500 Y700\nG0 Z4\nG1 Z-3 F900\nG1 Y760 F2800\nG0 Z4',
        SHEET,
      ],
      [
        'run',
        'a sheet of 12 drilled through by 0.2',
        'G0 X500 Y700\nG0 Z4\nG81 X500 Y700 Z-12.2 R2 F900\nX540\nY740\nG80',
        SHEET,
      ],
      [
        'run',
        'a sheet of 12 pecked through by 0.2',
        'G0 X500 Y700\nG0 Z4\nG83 X500 Y700 Z-12.2 R2 Q4 F900\nX540\nG80',
        SHEET,
      ],
      [
        'run',
        'chords of a curve by relative steps',
        `G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG91\n${'G1 X1 Y0.5 F2800\n'.repeat(40)}G90\nG0 Z22`,
      ],
      [
        'run',
        'a step by parameters, counted up by hand',
        '#1=500\nG0 X#1 Y700\nG0 Z20\nG1 Z17.4 F900\n#1=[#1+20]\nG1 X#1 F2800\n#1=[#1+20]\nX#1',
      ],
      [
        'run',
        'S before M3 in two lines, M3 before S in one',
        `G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS12000\nM3\nG4 P6\n${CUT}\n${TAIL}`,
        RAW,
      ],
      [
        'run',
        'high moves over the tool setter',
        'G0 X1340 Y2440\nG0 X700 Y2440\nG0 X500 Y700\nG0 Z20\nG1 Z17.4 F900',
      ],
      ['run', 'the extraction of the profile on and off', `M7\n${CUT}\nG0 Z60\nM9`],
      [
        'run',
        'an arc near the end of the travel that stays inside: to X 1340',
        'G0 X1320 Y300\nG1 Z60 F3000\nG3 X1320 Y340 I0 J20 F3000',
      ],
      ['not', '17.1 is 0.666 deep', 'G0 X500 Y700\nG0 Z20\nG1 Z17.1 F900\nG1 Y760 F2800'],
      [
        'not',
        'one point of forty dips to 16.9',
        `G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\n${Array.from({ length: 40 }, (_, k) => `G1 X${500 + k} Z${k === 23 ? 16.9 : 17.4} F2800`).join('\n')}`,
      ],
      ['not', 'a plus sign lost: Z-17.4 for Z17.4', 'G0 X500 Y700\nG0 Z20\nG1 Z-17.4 F900', { depth: 40 }],
      ['not', 'the point lost: Z174 is a lift, then Z1.74 a dive', 'G0 X500 Y700\nG0 Z174\nG1 Z1.74 F900'],
      [
        'not',
        'G90 and G91 in one job, the last Z a step: 22 - 17.4',
        'G0 X500 Y700\nG0 Z22\nG91 G1 X10 F2800\nZ-17.4 F900\nG90',
      ],
      [
        'not',
        'relative cycle: R is a step from 20, Z a step from R',
        'G0 X500 Y700\nG0 Z20\nG91 G98 G81 X10 Y0 R-1 Z-3 F900\nG80 G90',
      ],
      [
        'not',
        'the second repeat lands on the same depth, the third stands in the air beyond Y 2500',
        'G0 X500 Y2300\nG0 Z30\nG91 G81 Y90 R-10 Z-2.5 L3 F900\nG80 G90',
      ],
      [
        'not',
        'a helix of three turns to 16.5',
        'G0 X500 Y700\nG0 Z19\nG3 X500 Y700 I10 Z18.2 F2000\nG3 X500 Y700 I10 Z17.4\nG3 X500 Y700 I10 Z16.5',
      ],
      [
        'not',
        'upright arc in G19 that sags to 15.6 between its ends',
        'G0 X500 Y700\nG0 Z18.6\nG19\nG3 Y706 Z18.6 J3 K0 F2000\nG17',
      ],
      [
        'not',
        'the sheet is 12, the cut 12.5: 0.5 into the board, 0.3 allowed',
        'G0 X500 Y700\nG0 Z4\nG1 Z-12.5 F900\nG1 Y760 F2000',
        SHEET,
      ],
      ['not', 'a rapid at 1 below the sheet’s top', 'G0 X500 Y700\nG0 Z4\nG1 Z-1 F900\nG0 Y760', SHEET],
      [
        'not',
        'a retract to 0.4 above the sheet, then across',
        'G0 X500 Y700\nG0 Z4\nG1 Z-1 F900\nG0 Z0.4\nG0 Y760\nG1 Z-1',
        SHEET,
      ],
      ['not', 'a rapid down into the sheet where none was cut', 'G0 X500 Y700\nG0 Z-2\nG1 Y760 F2000', SHEET],
      [
        'not',
        'the slot is cut, and the rapid goes back through it and beyond its end',
        'G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG1 Y760 F2800\nG0 Y690',
      ],
      [
        'not',
        'into the groove at Y 100 by 3: a bed is a bed',
        'G0 X300 Y100\nG0 Z20\nG1 Z-3 F900',
        { depth: 40 },
      ],
      ['not', 'X -60', 'G0 X-60 Y700'],
      ['not', 'Y 2501 by a relative step', 'G0 X500 Y2400\nG91\nG0 Y101\nG90'],
      ['not', 'below the travel of Z: -13', 'G0 X500 Y700\nG1 Z-13 F900', { depth: 40 }],
      [
        'not',
        'a quarter more of the circle than meant: G2 for G3 leaves X -50',
        'G0 X0 Y700\nG1 Z60 F3000\nG2 X60 Y700 I30 J-25 F3000\nG3 X0 Y700 I-100 J0 F3000'.replace(
          '\nG3 X0 Y700 I-100 J0 F3000',
          '\nG2 X60 Y700 I-60 J0 F3000',
        ),
      ],
      ['not', 'M5 hidden between two cuts', `${CUT}\nM5\nG1 Y700 F2800`],
      [
        'not',
        'the spindle starts in the work',
        `${HEAD.replace('\nS16000 M3\nG4 P6', '')}\nG0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nS16000 M3\nG4 P6\nG1 Y760 F2800\n${TAIL}`,
        RAW,
      ],
      ['not', 'M0 with the spindle on, high up', `${CUT}\nG0 Z60\nM0\nG0 Z20\nG1 Z17.4 F900`],
      ['not', 'S is 160 for 16000', CUT, { speed: 160 }],
      [
        'not',
        'F in the unit of the other system: 1.5 mm/min is less than the controller takes, and the text ends there in the cut',
        `${HEAD}\nG0 X500 Y700\nG0 Z20\nG1 Z17.4 F1.5\nG1 Y760`,
        RAW,
      ],
      [
        'not',
        'feeds far above what the cutter takes: F12000 at 6000 rpm',
        'G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG1 Y760 F12000',
        { speed: 6000 },
      ],
      [
        'not',
        'the surfacing cutter down into the board',
        'G0 X500 Y700\nG0 Z20\nG1 Z17.4 F900\nG1 Y760 F2800',
        { cutter: 'flattener-25', speed: 12000 },
      ],
      ['not', 'another offset for the second half', `${CUT}\nG0 Z60\nG56\nG0 Z60\nG0 X500 Y700`],
      ['not', 'G10 in lower case', `g10l2p1x1\n${CUT}`],
      [
        'not',
        'G92 Z0 on the sheet’s top and never taken back',
        'G0 X500 Y700\nG0 Z20\nG92 Z2.234\nG1 Z-0.1 F900\nG0 Z40',
      ],
      [
        'not',
        'without block delete the depth is 17.0',
        `/G92 Z20.4\n${'G0 X500 Y700'}\nG0 Z20\n/G1 Z17 F900\nG1 Y760 F2800\nG0 Z60\nG92.1`.replace(
          '/G92 Z20.4\n',
          '',
        ),
      ],
      ['unknown', 'a loop', `O100 while [#1 LT 5]\n${CUT}\nO100 endwhile`],
      ['unknown', 'M99', `${CUT}\nM99`],
      ['unknown', 'G43 on a controller without lengths', `G43 H1\n${CUT}`],
      ['unknown', 'G41 with no number', `G41\n${CUT}`],
      ['unknown', 'a coordinate that is missing', 'G0 X Y700'],
      ['unknown', 'a number with two points', 'G0 X5.0.0 Y700'],
      ['unknown', 'a comment in a comment', '(A (B) C)\nG0 X500 Y700'],
      ['unknown', 'G53 with Z and X', 'M5\nG53 G0 Z0 X0'],
      [
        'unknown',
        'G53 Z home while the spindle turns is a stop; at rest but by a feed it is not known',
        'M5\nG53 G1 Z0 F1000',
      ],
      ['unknown', 'a coolant code of nobody: M50', `M50\n${CUT}`],
      ['unknown', 'the square root of minus one', 'G0 X[SQRT[0-1]] Y700'],
      ['unknown', 'a division by zero', 'G0 X[1/0] Y700'],
      ['unknown', 'four axes', 'G0 X500 Y700 B30'],
      ['unknown', 'L0', 'G0 X500 Y700\nG81 X500 Y700 Z17.4 R20 L0 F900\nG80'],
      ['unknown', 'P without a cycle', 'G0 X500 Y700 P3'],
      [
        'unknown',
        'T5 is none of the house, and the call names none',
        `M5\nT5 M6\nS16000 M3\nG4 P6\n${CUT}`,
        { cutter: null },
      ],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'plover',
    rows: [
      [
        'run',
        'Z 0 on the board: a letter 0.4 deep beside no screw',
        'G0 X300 Y700\nG0 Z5\nG1 Z-0.4 F900\nG1 Y760 F2800\nG0 Z5',
        { zero: 'profile' },
      ],
      [
        'run',
        '0.7 over the heads, right over A3',
        'G0 X745 Y135\nG0 Z16\nG1 Z11.9 F900\nG1 X770 F2800',
        { depth: 2 },
      ],
      [
        'run',
        'a sheet of 6 cut through by 0.3 over A1: 12.78 is 1.63 over the head',
        'G0 X45 Y30\nG0 Z5\nG1 Z-6.3 F900\nG1 Y80 F2000',
        { zero: 'work', sheet: 6 },
      ],
      ['not', '0.3 over A3, 0.5 is needed', 'G0 X745 Y135\nG0 Z16\nG1 Z11.45 F900', { depth: 2 }],
      [
        'not',
        'an arc that passes A3 at 0.2',
        'G0 X759.25 Y105\nG0 Z16\nG1 Z10 F900\nG3 X759.25 Y165 R2000 F2800',
        { depth: 4 },
      ],
      [
        'not',
        'down and across in one rapid into the board',
        'G0 X300 Y700 Z40\nG0 X340 Y740 Z12.9\nG1 Y760 F2800',
      ],
      ['not', 'a relative drop over A1', 'G0 X45 Y55\nG0 Z16\nG91\nG1 Z-5.5 F900\nG0 Z10\nG90', { depth: 4 }],
      ['not', 'the offset is changed to G54 by M30’s habit: the job states G54 itself', 'G54 G0 X300 Y700'],
      [
        'not',
        'beyond the cut corner and down: (1540, 1240) at -1 is off the bed or in it',
        'G0 X1540 Y1240\nG0 Z20\nG1 Z-1 F900',
        { depth: 40 },
      ],
      [
        'unknown',
        'X Y first',
        'G21 G90 G17 G94 G40 G49 G80 G55\nG0 X300 Y700\nG0 Z60\nS16000 M3\nG4 P5\nG0 Z16\nG1 Z12.8 F900\nG0 Z60\nM5\nM30',
        RAW,
      ],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'clamped',
    rows: [
      [
        'run',
        'round the clamp: 10 of air on every side',
        'G0 X180 Y280\nG0 Z20\nG1 Z17.7 F900\nG1 X280 F2800\nG1 Y360\nG1 X180\nG1 Y280',
        { cutter: null },
      ],
      [
        'not',
        'round the clamp with a cutter of 25: 180 - 12.5 is nearer than it looks, X 190 goes through',
        'G0 X190 Y280\nG0 Z20\nG1 X270 Z17.7 F2000\nG1 Y360\nG1 X190\nG1 Y280',
        { cutter: null, cutters: { 1: 25 } },
      ],
      [
        'not',
        'a circle about (230, 320) of 25 cuts its sides',
        'G0 X255 Y320\nG0 Z40\nG1 Z17.7 F900\nG2 X255 Y320 I-25 J0 F2800',
        { cutter: null },
      ],
      ['not', 'a rapid from one side to the other at 34', 'G0 X150 Y310\nG0 Z34\nG0 X300', { cutter: null }],
      [
        'not',
        'a tapered rapid over it: from 60 down to 20 on the other side',
        'G0 X150 Y320\nG0 X300 Z20\nG1 Z17.7 F900',
        { cutter: null },
      ],
      [
        'not',
        'the second tool has the length of the first',
        'G0 Z60\nM5\nT3 M6\nG43 H1\nG0 Z60\nS16000 M3\nG4 P5\nG0 X100 Y100\nG0 Z20\nG1 Z17.7 F900',
        { cutter: null },
      ],
      ['unknown', 'G53 X0 Y0', 'M5\nG53 G0 X0 Y0', { cutter: null }],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'egret',
    rows: [
      [
        'run',
        'a rectangle 0.2 in deep',
        'N50 G0 X20. Y30.\nN60 G0 Z0.1\nN70 G1 Z-0.2 F30.\nN80 G1 X22. F90.\nN90 G1 Y31. F90.\nN100 G1 X20. F90.\nN110 G1 Y30. F90.',
        { zero: 'work', sheet: 12.7 },
      ],
      [
        'not',
        '0.52 through a sheet of half an inch: the bed',
        'N50 G0 X20. Y30.\nN60 G0 Z0.1\nN70 G1 Z-0.52 F30.',
        { zero: 'work', sheet: 12.7 },
      ],
      [
        'not',
        'the spindle in reverse',
        'N50 M5\nN60 S16000 M4\nN70 G4 X8.\nN80 G0 X20. Y30.\nN85 G0 Z0.1\nN90 G1 Z-0.1 F30.',
        { zero: 'work', sheet: 12.7 },
      ],
      ['not', 'X 63 in is beyond 62.5', 'N50 G0 X63. Y30.'],
      [
        'unknown',
        'a cycle',
        'N50 G0 X20. Y30.\nN60 G81 X20. Y30. Z-0.2 R0.1 F30.',
        { zero: 'work', sheet: 12.7 },
      ],
      ['unknown', 'a dimension without its point', 'N50 G0 X20 Y30.'],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'curlew',
    rows: [
      [
        'run',
        'a zigzag of chords, 0.14 deep',
        'G0 X200. Y200.\nG0 Z20.\nG1 Z17.9 F700\nG1 X210. Y205. F2400\nG1 X220. Y200.\nG1 X230. Y205.\nG0 Z20.',
      ],
      [
        'not',
        'combined down rapid into the board, each axis for itself',
        'G0 X200. Y200. Z50.\nG0 X220. Y220. Z17.\nG1 X230. F2400',
      ],
      [
        'not',
        'a dwell of P3 is 3 ms, the spindle needs 3 s',
        'G21\nG90\nG94\nG0 Z55.\nG0 X200. Y200.\nG0 Z20.\nS16000 M3\nG4 P3\nG1 Z17.9 F700\nG0 Z55.\nM5\nM30',
        RAW,
      ],
      ['not', 'Z 91 is beyond the travel', 'G0 X200. Y200.\nG0 Z91.'],
      ['unknown', 'G54, which this controller does not have', 'G54\nG0 X200. Y200.'],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'avocet',
    rows: [
      ['run', '16800 is 0.108 deep', 'G0 X400000 Y200000\nG0 Z20000\nG1 Z16800 F900\nG1 Y260000 F2800'],
      ['not', 'one digit less: Z1680 is 1.68', 'G0 X400000 Y200000\nG0 Z20000\nG1 Z1680 F900'],
      ['not', 'a rapid at 17000, the board reaches 17.228', 'G0 X400000 Y200000\nG0 Z17000\nG0 Y260000'],
      ['unknown', 'a decimal point', 'G0 X400.0 Y200000'],
      ['unknown', 'an R arc', 'G0 X400000 Y200000\nG0 Z20000\nG3 X420000 Y220000 R20000 F2800'],
    ],
  },
  {
    hazard: 'written blind',
    machine: 'smew',
    rows: [
      [
        'run',
        'a ring of two half circles',
        'G0 X150 Y100\nG0 Z20\nG1 Z17.7 F500\nG2 X170 Y100 I10 J0 F1500\nG2 X150 Y100 I-10 J0',
      ],
      ['not', 'Y 240 by an arc', 'G0 X150 Y200\nG1 Z40 F1000\nG2 X170 Y200 R-25 F1500'],
      [
        'not',
        'at -0.5 beside the bed, reached through the air',
        'G0 X322 Y50\nG0 Z5\nG1 Z-0.5 F500',
        { depth: 40 },
      ],
      ['not', 'S25000, the spindle ends at 24000', 'G0 X150 Y100\nG0 Z20\nG1 Z17.7 F500', { speed: 25000 }],
      ['unknown', 'F-500', 'G0 X150 Y100\nG0 Z20\nG1 Z17.7 F-500'],
    ],
  },
];
