import type { Hazard } from '../job-row.ts';

/** Too deep: into the board, the bed, its grooves, screw heads and inserts. */
export const HEIGHTS: readonly Hazard[] = [
  {
    hazard: 'too deep into the board',
    machine: 'heron',
    rows: [
      ['not', '17.0 is 0.766 deep, 0.5 allowed', 'G0 X300 Y300\nG0 Z20\nG1 Z17 F1000\nG1 X360 F3000'],
      [
        'not',
        'by a relative step: 20 - 3',
        'G0 X300 Y300\nG0 Z20\nG91\nG1 Z-3 F1000\nG1 X60 F3000\nG0 Z30\nG90',
      ],
      [
        'not',
        'twenty small steps of a repeat of relative lines: 20 - 20 x 0.15',
        `G0 X300 Y300\nG0 Z20\nG91\n${'G1 X3 Z-0.15 F3000\n'.repeat(20)}G0 Z30\nG90`,
      ],
      ['not', 'a helix down to 17.0', 'G0 X300 Y300\nG0 Z20\nG3 X300 Y300 I15 J0 Z17 F2000'],
      [
        'not',
        'an upright arc in G18 whose lowest point lies between its ends: 20 - 5',
        'G0 X300 Y300\nG0 Z20\nG18\nG2 X310 Z20 I5 K0 F2000\nG17',
      ],
      ['not', 'a cycle to 17.0', 'G0 X300 Y300\nG81 X300 Y300 Z17 R20 F1000\nG80'],
      ['not', 'pecks to 16', 'G0 X300 Y300\nG83 X300 Y300 Z16 R20 Q1 F1000\nG80'],
      ['not', 'an expression: [30-13.2] is 16.8', 'G0 X300 Y300\nG0 Z20\nG1 Z[30-13.2] F1000\nG1 X360 F3000'],
      ['not', 'a parameter of 16', '#5=16\nG0 X300 Y300\nG0 Z20\nG1 Z#5 F1000'],
      ['not', 'lower case, without spaces', 'g0x300y300\ng0z20\ng1z16f1000\nx360f3000'],
      [
        'not',
        'deeper only with block delete on',
        'G0 X300 Y300\nG0 Z20\nG91\nG1 Z-2.4 F1000\n/G0 Z10\nG1 Z-1\nG1 X60 F3000\nG0 Z30\nG90',
      ],
      [
        'not',
        'nothing into the board is allowed: 0.1 is',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.66 F1000\nG1 X360 F3000',
        { depth: 0 },
      ],
      [
        'not',
        'the sheet is 17 and the job cuts 18.2: 1.2 into the board',
        'G0 X300 Y300\nG0 Z5\nG1 Z-18.2 F1000\nG1 X360 F2000',
        { zero: 'work', sheet: 17 },
      ],
      [
        'not',
        'a job for Z 0 on the sheet with Z 0 on the board: 6 into the board',
        'G0 X300 Y300\nG0 Z5\nG1 Z-6 F1000\nG1 X360 F3000',
        { zero: 'board-top' },
      ],
    ],
  },
  {
    hazard: 'into the bed',
    machine: 'heron',
    rows: [
      [
        'not',
        '0.3 below the bed surface',
        'G0 X300 Y300\nG0 Z20\nG1 Z-0.3 F1000\nG1 X360 F3000',
        { depth: 30 },
      ],
      [
        'not',
        'a groove floor is 8 down, and still bed: Z -1 in the groove at Y 300',
        'G0 X100 Y300\nG0 Z20\nG1 Z-1 F1000\nG1 X500 F3000',
        { depth: 30 },
      ],
      [
        'not',
        'the divider between A (to X 600) and B (from X 630) cut through at -1',
        'G0 X580 Y300\nG0 Z20\nG1 Z-1 F1000\nG1 X650 F3000',
        { depth: 30 },
      ],
      [
        'not',
        'a pocket for the bare bed: Z 0 meant on the sheet, set on the bed',
        'G0 X300 Y300\nG0 Z20\nG1 Z-6 F1000\nG1 X360 F3000',
        { depth: 30 },
      ],
      [
        'not',
        'through a sheet of 18 and a board of 17.766: 36 below the sheet’s top',
        'G0 X300 Y300\nG0 Z5\nG1 Z-36 F1000\nG1 X360 F1500',
        { zero: 'work', sheet: 18, depth: 30 },
      ],
      [
        'not',
        'a drill cycle 30 down from R 20',
        'G0 X300 Y300\nG0 Z20\nG91 G81 X1 Y1 Z-30 R0 F1000\nG80 G90',
        { depth: 30 },
      ],
      [
        'not',
        'an inch number read in inches: Z -0.05 in is 1.27',
        'G20\nG0 X12 Y12\nG0 Z0.8\nG1 Z-0.05 F40\nG0 Z2\nG21',
        { depth: 30 },
      ],
      [
        'not',
        'at the cut limit of 2.5',
        'G0 X300 Y300\nG0 Z20\nG1 Z-2.5 F1000\nG1 X310 F3000',
        { depth: 30 },
      ],
      [
        'not',
        'through the board by 0.1',
        'G0 X300 Y300\nG0 Z20\nG1 Z-0.1 F1000\nG1 X360 F3000',
        { depth: 17.766 },
      ],
    ],
  },
  {
    hazard: 'screw heads',
    machine: 'plover',
    rows: [
      [
        'not',
        'over A1 at 11.0: the head reaches 11.15',
        'G0 X45 Y55\nG0 Z16\nG1 Z11 F1000\nG1 X60 F3000',
        { depth: 5 },
      ],
      [
        'not',
        '0.1 above the head, 0.5 is needed',
        'G0 X45 Y55\nG0 Z16\nG1 Z11.25 F1000\nG1 X60 F3000',
        { depth: 5 },
      ],
      [
        'not',
        'beside the head with 0.1: 11.05 + 3 + 0.1 from its middle',
        'G0 X59.18 Y30\nG0 Z16\nG1 Z10 F1000\nG1 Y80 F3000',
        { depth: 5 },
      ],
      [
        'not',
        'a circle about the head, radius 14.1: 0.05 off',
        'G0 X59.13 Y55\nG0 Z16\nG1 Z10 F1000\nG2 X59.13 Y55 I-14.1 J0 F3000',
        { depth: 5 },
      ],
      ['not', 'drilled into the head of A3', 'G0 X745 Y135\nG81 X745 Y135 Z8 R16 F1000\nG80', { depth: 6 }],
      [
        'not',
        'drilled into A3 by the second of two repeats',
        'G0 X713 Y135\nG0 Z16\nG91 G81 X16 Z-8 R0 L2 F1000\nG80 G90',
        { depth: 6 },
      ],
      [
        'not',
        'in inches: A1 is at 1.7728, 2.1654',
        'G20\nG0 X1.77 Y2.16\nG0 Z0.63\nG1 Z0.41 F40\nG0 Z2\nG21',
        { depth: 5 },
      ],
      [
        'not',
        'by G92: 100 called 0, so X -54.97 is A1',
        'G0 X100 Y55\nG0 Z16\nG92 X0\nG0 X-54.97\nG1 Z10 F1000\nG0 Z16\nG92.1',
        { depth: 5 },
      ],
      [
        'not',
        'the job’s Z 0 on the board: -2.5 is 10.58',
        'G0 X45 Y55\nG0 Z5\nG1 Z-2.5 F1000\nG1 X60 F3000',
        { zero: 'profile', depth: 5 },
      ],
      [
        'not',
        'a wider cutter than the line looks: 25 mm about a line 20 from the head',
        'G0 X65.5 Y0\nG0 Z16\nG1 Y100 Z12 F3000\nG1 Y0 Z10 F3000',
        { depth: 5, cutter: 25 },
      ],
      [
        'not',
        'a sheet cut through and 2.5 deeper, over A1',
        'G0 X45 Y30\nG0 Z5\nG1 Z-8.5 F1000\nG1 Y80 F3000',
        { zero: 'work', sheet: 6, depth: 5 },
      ],
    ],
  },
  {
    hazard: 'screw heads',
    machine: 'avocet',
    rows: [
      [
        'not',
        'A1 at 33910, 55310 cut to 10.5',
        'G0 X33910 Y30000\nG0 Z20000\nG1 Z10500 F1000\nG1 Y80000 F3000',
      ],
      [
        'not',
        'leading zeros left out: Y55310 Z10000 by a plunge',
        'G0 X33910 Y55310\nG0 Z20000\nG1 Z10000 F500',
        { depth: 8 },
      ],
      [
        'not',
        'a quarter circle that ends on the head',
        'G0 X13910 Y35310\nG0 Z20000\nG1 Z10500 F500\nG2 X33910 Y55310 I20000 J0 F3000',
        { depth: 8 },
      ],
    ],
  },
  {
    hazard: 'inserts',
    machine: 'petrel',
    rows: [
      [
        'not',
        'bored over A1 (45, 45) down to 0.2: the bush begins at 0',
        'G0 X45 Y45\nG0 Z20\nG1 Z0.2 F1000',
        { depth: 18, cutter: null },
      ],
      ['not', 'a cycle over A2 (310, 45)', 'G81 X310 Y45 Z0.1 R20 F1000\nG80', { depth: 18, cutter: null }],
      [
        'not',
        'a slot across A1 at 0.3',
        'G0 X30 Y45\nG0 Z20\nG1 Z0.3 F1000\nG1 X60 F1500',
        { depth: 18, cutter: null },
      ],
      [
        'run',
        '0.6 over the bush, the board bored nearly through',
        'G0 X45 Y45\nG0 Z20\nG1 Z0.6 F1000',
        { depth: 18, cutter: null },
      ],
    ],
  },
  {
    hazard: 'too deep',
    machine: 'curlew',
    rows: [
      ['not', '17 is 1.04 deep', 'G0 X300. Y300.\nG0 Z20.\nG1 Z17. F800\nG1 X360. F2400'],
      ['not', 'relative', 'G0 X300. Y300.\nG0 Z20.\nG91\nG1 Z-4. F800\nG0 Z10.\nG90'],
      ['not', 'into the bed by 0.5', 'G0 X300. Y300.\nG0 Z20.\nG1 Z-0.5 F800\nG1 X360. F2400', { depth: 30 }],
    ],
  },
  {
    hazard: 'too deep',
    machine: 'avocet',
    rows: [
      ['not', '16000 is 16: 0.908 deep', 'G0 X300000 Y300000\nG0 Z20000\nG1 Z16000 F1000\nG1 X360000 F3000'],
      [
        'not',
        'meant as 16.5 in a format without a point: Z165 is 0.165',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z165 F1000',
      ],
      ['not', 'relative: 20 - 4', 'G0 X300000 Y300000\nG0 Z20000\nG91\nG1 Z-4000 F1000\nG0 Z10000\nG90'],
    ],
  },
  {
    hazard: 'too deep',
    machine: 'egret',
    rows: [
      [
        'not',
        'through the sheet of 0.75 in and 0.05 into the bare bed',
        'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.8 F40.\nN80 G1 X14. F100.',
        { zero: 'work', sheet: 19.05 },
      ],
      [
        'not',
        'no sheet: 0.02 into the bare bed',
        'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.02 F40.\nN80 G1 X14. F100.',
      ],
      [
        'not',
        'millimetres in an inch machine: G71, Z-1 is 1 mm below the bed',
        'N50 G71\nN60 G0 X300. Y300.\nN70 G0 Z5.\nN80 G1 Z-1. F1000.\nN90 G1 X360. F2000.\nN95 G70',
      ],
    ],
  },
  {
    hazard: 'too deep',
    machine: 'smew',
    rows: [
      ['not', 'a ramp from 20 to 16 along 80', 'G0 X100 Y100\nG0 Z20\nG1 X180 Z16 F1500'],
      ['not', 'half a helix down by radius', 'G0 X100 Y100\nG0 Z20\nG2 X120 Y100 R10.001 Z16 F1000'],
      ['not', 'below the travel of -3 too', 'G0 X100 Y100\nG0 Z20\nG1 Z-4 F500', { depth: 30 }],
    ],
  },
];
