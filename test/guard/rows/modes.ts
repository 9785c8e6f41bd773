import type { Hazard } from '../job-row.ts';

const RAW = { raw: true } as const;
const HEAD = 'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6';
const TAIL = 'G0 Z70\nM5\nM30';

/** Modes, offsets, arcs, cycles, text: what a line means. */
export const MODES: readonly Hazard[] = [
  {
    hazard: 'units',
    machine: 'heron',
    rows: [
      [
        'unknown',
        'no units stated',
        `G90 G17 G94 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\n${TAIL}`,
        RAW,
      ],
      ['not', 'inches stated, millimetres meant: X 300 in', 'G20\nG0 X300 Y300\nG21'],
      [
        'not',
        'units switched in the middle: Z0.6 after G21 is in the board by 17',
        'G20\nG0 X12 Y12\nG0 Z0.8\nG21\nG1 Z0.6 F1000',
      ],
      [
        'not',
        'g20 in lower case within a line of axis words: 17.5 in is beyond the travel',
        'G0 X300 Y300\ng20 z17.5',
      ],
      [
        'not',
        'after G20 the feed of F3000 is 3000 in/min, and the number stays: 60 in at once; here the depth 0.5 in is 5 deep',
        'G0 X300 Y300\nG0 Z20\nG20\nG1 Z0.5 F40\nG21',
      ],
      ['unknown', 'G70, which this controller does not have', 'G70\nG0 X12 Y12'],
    ],
  },
  {
    hazard: 'relative distance',
    machine: 'heron',
    rows: [
      [
        'not',
        'G91 left on: Z20 lifts by 20, then Z-3 sinks',
        'G0 X300 Y300\nG0 Z20\nG91\nG1 Z-3 F1000\nG1 X60 F3000\nG0 Z10\nG90',
      ],
      [
        'not',
        'G91 in the middle of a line: X300 is a step beyond the travel',
        'G0 X1200 Y300\nG91 G0 X300\nG90',
      ],
      ['not', 'Z is stepped twice', 'G0 X300 Y300\nG0 Z20\nG91 G1 Z-2.3 F1000\nZ-2.3\nG90 G0 Z30'],
      [
        'unknown',
        'no G90 and no G91',
        'G21 G17 G94 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG0 Z70\nM5\nM30',
        RAW,
      ],
      ['not', 'G90 only with block delete off', 'G0 X900 Y300\nG0 Z60\nG91\nG0 Y10\n/G90\nG0 X910\nG90'],
    ],
  },
  {
    hazard: 'arcs',
    machine: 'heron',
    rows: [
      [
        'unknown',
        'radii 4.24 and 6: no such circle',
        'G0 X7 Y7\nG0 Z20\nG1 Z17.5 F1000\nG2 X10 Y16 I3 J3 F3000',
      ],
      [
        'unknown',
        'a radius too small for its chord',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG2 X400 Y300 R20 F3000',
      ],
      [
        'unknown',
        'an arc by radius that ends where it starts',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG2 X300 Y300 R20 F3000',
      ],
      ['unknown', 'I and J and R', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG2 X320 Y320 I20 J0 R20 F3000'],
      [
        'not',
        'a full circle of 700 that leaves the travel at X -50',
        'G0 X600 Y300\nG1 Z60 F3000\nG2 X600 Y300 I-350 J0 F3000',
      ],
      [
        'not',
        'a negative radius takes the long way round, out of the travel',
        'G0 X30 Y300\nG1 Z60 F3000\nG2 X30 Y500 R-110 F3000',
      ],
      [
        'not',
        'a helix whose end height is under the board: Z 16',
        'G0 X300 Y300\nG0 Z20\nG2 X320 Y300 I10 J0 Z16 F2000',
      ],
      [
        'unknown',
        'the plane is not stated',
        'G21 G90 G94 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG2 X320 Y320 I20 J0 F3000\nG0 Z70\nM5\nM30',
        RAW,
      ],
      [
        'unknown',
        'G18 left on: I and J of an arc that was meant flat',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG18\nG2 X320 Y320 I20 J0 F3000\nG17',
      ],
      [
        'not',
        'G19: the arc goes down to 13 between its ends',
        'G0 X300 Y300\nG0 Z18.8\nG19\nG3 Y312 Z18.8 J6 K0 F2000\nG17',
      ],
    ],
  },
  {
    hazard: 'arcs',
    machine: 'avocet',
    rows: [
      [
        'unknown',
        'more than a quadrant',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z16500 F1000\nG2 X300000 Y340000 I0 J20000 F3000',
      ],
      [
        'unknown',
        'an arc by radius, which this control does not have',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z16500 F1000\nG2 X320000 Y320000 R20000 F3000',
      ],
      [
        'unknown',
        'a sign on I',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z16500 F1000\nG2 X280000 Y280000 I-20000 J0 F3000',
      ],
    ],
  },
  {
    hazard: 'arcs',
    machine: 'curlew',
    rows: [
      [
        'unknown',
        'G2, which this controller does not have',
        'G0 X300. Y300.\nG0 Z20.\nG1 Z17.8 F800\nG2 X320. Y320. I20. J0. F2400',
      ],
      ['unknown', 'G3 by radius', 'G0 X300. Y300.\nG0 Z20.\nG3 X320. Y320. R20. F2400'],
      ['unknown', 'a cycle', 'G0 X300. Y300.\nG81 X300. Y300. Z17.8 R20. F800'],
    ],
  },
  {
    hazard: 'drilling cycles',
    machine: 'heron',
    rows: [
      [
        'not',
        'R below the board’s top: a rapid into it',
        'G0 X300 Y300\nG0 Z30\nG81 X300 Y300 Z17.4 R17.6 F1000\nG80',
      ],
      [
        'not',
        'the next hole has a Z of its own: 16',
        'G0 X300 Y300\nG81 X300 Y300 Z17.4 R20 F1000\nX332 Z16\nG80',
      ],
      [
        'not',
        'G91: Z is an increment from R, 20 - 4',
        'G0 X300 Y300\nG0 Z20\nG91 G81 X10 Z-4 R0 F1000\nG80 G90',
      ],
      [
        'not',
        'the cycle is still on when the job moves to park: a hole at the park place, over the tool setter’s side',
        'G0 X300 Y300\nG81 X300 Y300 Z17.3 R20 F1000\nX332\nX1400\nG80',
      ],
      [
        'not',
        'repeats that walk out of the travel',
        'G0 X1000 Y300\nG0 Z30\nG91 G99 G81 X100 Z-2.6 R-10 L5 F1000\nG80 G90',
      ],
      ['unknown', 'no Z', 'G0 X300 Y300\nG81 X300 Y300 R20 F1000\nG80'],
      ['unknown', 'no R', 'G0 X300 Y300\nG81 X300 Y300 Z17.4 F1000\nG80'],
      ['unknown', 'Q 0', 'G0 X300 Y300\nG83 X300 Y300 Z17.4 R20 Q0 F1000\nG80'],
      ['unknown', 'R below Z', 'G0 X300 Y300\nG81 X300 Y300 Z17.4 R16 F1000\nG80'],
      ['unknown', 'tapping', 'G0 X300 Y300\nG84 X300 Y300 Z17.4 R20 F1000\nG80'],
      [
        'not',
        'X after G80: with axis words on the line of a G1 left over it would feed, here the rapid is missing and Z sinks',
        'G0 X300 Y300\nG81 X300 Y300 Z17.4 R20 F1000\nG80\nG1 X340 Z17 F2000',
      ],
      [
        'unknown',
        'axis words after G80 without a word',
        'G0 X300 Y300\nG81 X300 Y300 Z17.4 R20 F1000\nG80\nX340',
      ],
    ],
  },
  {
    hazard: 'the height a cycle returns to, read in two ways',
    machine: 'clamped',
    rows: [
      [
        'not',
        'G99 at R 20 and then G98: the height before this block is 20, before the chain 60; between the holes stands the clamp',
        'G0 X150 Y320\nG0 Z60\nG99 G81 X150 Y320 Z17.6 R20 F1000\nG98 X150 Y325\nX300\nG80',
        { cutter: null },
      ],
      [
        'not',
        'the chain began at 20 and R rose to 60: the other reading returns to 20',
        'G0 X150 Y320\nG0 Z20\nG99 G81 X150 Y320 Z17.6 R60 F1000\nG98 X150 Y325 R20\nX300\nG80',
        { cutter: null },
      ],
      [
        'run',
        'both readings return to 60',
        'G0 X150 Y320\nG0 Z60\nG98 G81 X150 Y320 Z17.6 R20 F1000\nX150 Y325\nX300\nG80',
        { cutter: null },
      ],
    ],
  },
  {
    hazard: 'work offsets',
    machine: 'heron',
    rows: [
      ['not', 'G55', 'G55\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000'],
      ['not', 'G59.1 for one line', 'G0 X300 Y300\nG59.1 G0 X310\nG54'],
      ['not', 'G10 rewrites G54', 'G10 L2 P1 X0 Y0 Z0\nG0 Z70'],
      ['not', 'G10 rewrites another', 'G10 L2 P2 Z-30'],
      ['not', 'g54 and then g56 in one job', 'G0 X300 Y300\ng56\ng0 x100 y100'],
    ],
  },
  {
    hazard: 'work offsets',
    machine: 'plover',
    rows: [
      ['not', 'G54 where the datum is G55', 'G54\nG0 X300 Y300'],
      [
        'not',
        'no offset stated: G54 is in force, the datum is G55',
        'G21 G90 G17\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y300\nG0 Z16\nG1 Z12.8 F1000\nG0 Z60\nM5\nM30',
        RAW,
      ],
      [
        'not',
        'G55 comes after the first motion across',
        'G21 G90 G17\nG0 Z60\nG0 X300 Y300\nG55\nS16000 M3\nG4 P5\nG0 Z60\nG0 X300 Y300\nG0 Z16\nG1 Z12.8 F1000\nG0 Z60\nM5\nM30',
        RAW,
      ],
    ],
  },
  {
    hazard: 'axis offsets',
    machine: 'heron',
    rows: [
      [
        'not',
        'Z called 30 at 20: Z 25 is 15',
        'G0 X300 Y300\nG0 Z20\nG92 Z30\nG1 Z25 F1000\nG1 X360 F3000\nG0 Z60\nG92.1',
      ],
      [
        'not',
        'left in force at the end',
        'G0 X300 Y300\nG0 Z20\nG92 X0 Y0\nG1 Z17.5 F1000\nG1 X60 F3000\nG0 Z60',
      ],
      ['unknown', 'brought back from another program', 'G92.3\nG0 Z70\nG0 X300 Y300\nG92.1'],
      [
        'unknown',
        'set at a place that is not known',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG92 X0 Y0 Z0\nG0 Z70\nM30',
        RAW,
      ],
    ],
  },
  {
    hazard: 'what cannot be followed',
    machine: 'heron',
    rows: [
      ['unknown', 'cutter compensation left', 'G0 X300 Y300\nG41 D1\nG1 X310 F1000'],
      ['unknown', 'compensation right, lower case', 'g42 d1 g1 x310 f1000'],
      ['unknown', 'a subprogram', 'M98 P1000'],
      ['unknown', 'an O word', 'O100 call'],
      ['unknown', 'a macro call', 'G65 P9010 A3'],
      ['unknown', 'a parameter that was never set', 'G0 X#100 Y300'],
      ['unknown', 'probing', 'G38.2 Z0 F100'],
      ['unknown', 'a rotary axis', 'G0 A90'],
      ['unknown', 'an unknown word', 'G7.7 X1'],
      ['unknown', 'a decimal comma', 'G0 X300,5 Y300'],
      ['unknown', 'an exponent', 'G0 X3e2 Y300'],
      ['unknown', 'a letter twice', 'G0 X300 X310'],
      ['unknown', 'two motion words', 'G0 G1 X300'],
      ['unknown', 'a comment that is not closed hides the retract', 'G0 X300 Y300\n(up G0 Z60\nG0 X310'],
      ['unknown', 'a byte that is no text', 'G0 X300 \u0001Y300'],
      ['unknown', 'a NUL', 'G0 X300\u0000 Y300'],
      ['unknown', 'a line of 300 characters', `G0 X300 Y300 (${'x'.repeat(300)})`],
      ['unknown', 'a letter O for a zero', 'G0 X3OO Y300'],
      ['unknown', 'axis words before any motion word', 'G21 G90 G17 G94 G54\nX300 Y300\nM30', RAW],
      ['unknown', 'nothing at all', '', RAW],
    ],
  },
  {
    hazard: 'cut off or run together',
    machine: 'heron',
    rows: [
      [
        'not',
        'the file ends in the cut, the spindle on',
        `${HEAD}\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000`,
        RAW,
      ],
      [
        'not',
        'the file ends in the middle of a number',
        `${HEAD}\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X3`,
        RAW,
      ],
      [
        'not',
        'a percent sign at the start and none at the end',
        `%\n${HEAD}\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000`,
        RAW,
      ],
      ['not', 'M30 in the cut', `${HEAD}\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nM30`, RAW],
    ],
  },
];
