import type { Hazard } from '../job-row.ts';

/** Jobs that harm nothing. A refusal of any of them is a fault too. */
export const SAFE: readonly Hazard[] = [
  {
    hazard: 'safe',
    machine: 'heron',
    rows: [
      [
        'run',
        '0.266 into the board, 0.5 allowed, nothing near',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
      ],
      ['run', 'lower case', 'g0 x300 y300\ng0 z20\ng1 z17.5 f1000\ng1 x360 f3000'],
      ['run', 'no spaces', 'G0X300Y300\nG0Z20\nG1Z17.5F1000\nG1X360F3000'],
      [
        'run',
        'leading zeros, plus signs',
        'G00 X0300. Y+300.000\nG00 Z020\nG01 Z17.50 F1000\nG01 X+360 F3000',
      ],
      [
        'run',
        'line numbers, blank lines, comments of both kinds',
        'N10 G0 X300 Y300 (over the work)\n\nN20 G0 Z20 ; down\nN30 G1 Z17.5 F1000\nN40 G1 X360 F3000',
      ],
      [
        'run',
        'line numbers out of order',
        'N50 G0 X300 Y300\nN20 G0 Z20\nN20 G1 Z17.5 F1000\nN7 G1 X360 F3000',
      ],
      [
        'run',
        'an umlaut in a comment',
        '(Schild f\u00fcr die T\u00fcr)\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
      ],
      [
        'run',
        'combined rapids high above everything',
        'G0 X300 Y300 Z60\nG0 X320 Y310 Z50\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z40\nG0 X100 Y100 Z60',
      ],
      [
        'run',
        'a tapered rapid that stays 2 mm above the board on a machine that runs straight',
        'G0 X300 Y300 Z60\nG0 X320 Y310 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
      ],
      ['run', 'a circle by its centre', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG2 X300 Y300 I20 J0 F3000'],
      ['run', 'a quarter by its radius', 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG3 X320 Y320 R20 F3000'],
      [
        'run',
        'a helix into the board, 0.266 deep',
        'G0 X300 Y300\nG0 Z18.8\nG3 X300 Y300 I10 J0 Z17.5 F2000\nG3 X300 Y300 I10 J0 F3000',
      ],
      [
        'run',
        'relative moves that come back',
        'G0 X300 Y300\nG0 Z20\nG91\nG1 Z-2.5 F1000\nG1 X60 F3000\nG0 Z10\nG90',
      ],
      ['run', 'inches throughout', 'G20\nG0 X12 Y12\nG0 Z0.8\nG1 Z0.69 F40\nG1 X14 F120\nG0 Z2\nG21'],
      [
        'run',
        'drilling 0.466 deep, back to the start height',
        'G0 X300 Y300\nG81 X300 Y300 Z17.3 R20 F1000\nX332\nX364\nG80',
      ],
      [
        'run',
        'drilling three by repeats in G91, R plane at 20',
        'G0 X300 Y300\nG0 Z22\nG91 G99 G81 X32 Z-2.6 R-2 L3 F1000\nG80 G90',
      ],
      [
        'run',
        'a cycle with a second of dwell at the bottom',
        'G0 X300 Y300\nG82 X300 Y300 Z17.3 R20 P1 F1000\nG80',
      ],
      ['run', 'pecks that clear to R', 'G0 X300 Y300\nG99 G83 X300 Y300 Z17.3 R20 Q0.3 F1000\nG80'],
      [
        'run',
        'parameters and an expression: X is 300, Z is 17.5',
        '#1=300 #2=[35/2]\nG0 X#1 Y300\nG0 Z20\nG1 Z#2 F1000\nG1 X[#1+60] F3000',
      ],
      [
        'run',
        'G92 set and taken back: X 300 is called 0',
        'G0 X300 Y300\nG0 Z20\nG92 X0 Y0\nG1 Z17.5 F1000\nG1 X60 F3000\nG0 Z30\nG92.1',
      ],
      [
        'run',
        'a stop with the spindle off and the cutter up',
        'G0 X300 Y300\nG0 Z60\nM5\nM0 (LOOK)\nS16000 M3\nG4 P6\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
      ],
      [
        'run',
        'block delete before a line that matters to nothing',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\n/G1 X340 F3000\nG1 X360 F3000',
      ],
      [
        'run',
        'one tool, fetched by its number',
        'M5\nT1 M6\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
        { cutter: null },
      ],
      [
        'run',
        'inverse time: 60 mm in 1/50 min is 3000 mm/min',
        'G0 X300 Y300\nG0 Z20\nG93\nG1 Z17.5 F400\nG1 X360 F50\nG94',
      ],
      [
        'run',
        'a sheet of 18 cut through, 0.2 into the board',
        'G0 X300 Y300\nG0 Z5\nG1 Z-18.2 F1000\nG1 X360 F2000',
        { zero: 'work', sheet: 18 },
      ],
      [
        'run',
        'the same sheet in its place',
        'G0 X300 Y300\nG0 Z5\nG1 Z-18.2 F1000\nG1 X360 F2000',
        { zero: 'work', sheet: 18, place: [200, 200, 400, 300] },
      ],
      [
        'run',
        'a pocket of the sheet, nothing reaches the board',
        'G0 X300 Y300\nG0 Z5\nG1 Z-6 F1000\nG1 X360 F3000\nG1 Y340\nG1 X300',
        { zero: 'work', sheet: 18, depth: 0 },
      ],
      [
        'run',
        'no M5 before M30, which stops the spindle, cutter at 70',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z70\nM30',
        { raw: true },
      ],
      [
        'run',
        'M2, percent signs, an O number is not there',
        '%\nG21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z70\nM5\nM2\n%',
        { raw: true },
      ],
      [
        'run',
        'no work offset stated: after a program end it is G54',
        'G21 G90 G17\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'run',
        'Z home at rest at both ends: up and away',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG53 G0 Z0\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z60\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z70\nM5\nG53 G0 Z0\nM30',
        { raw: true },
      ],
      [
        'run',
        'no dwell after M3, but the way to the work takes 8 s: 1400 mm across and back at 18 m/min with 900 mm/s2',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG0 X1200 Y100\nG0 X100 Y1400\nG0 X1200 Y100\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'run',
        'speed changed once for another cut',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nG0 Z30\nS14000\nG0 X400\nG0 Z20\nG1 Z17.5 F1000\nG1 X460 F3000',
      ],
      [
        'run',
        'a ball that does not matter: a diameter instead of a name',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000',
        { cutter: 8 },
      ],
      [
        'run',
        'an upright arc that bulges upwards, from 20 over 25 to 20',
        'G0 X300 Y300\nG0 Z20\nG18\nG3 X310 Z20 I5 K0 F2000\nG17',
      ],
      ['run', 'nothing but a wait', 'G4 P0.5'],
    ],
  },
  {
    hazard: 'safe',
    machine: 'plover',
    rows: [
      [
        'run',
        'Z 0 on the board by habit: 0.3 deep',
        'G0 X300 Y300\nG0 Z5\nG1 Z-0.3 F1000\nG1 X360 F3000',
        { zero: 'profile' },
      ],
      ['run', 'over the head of A1 (11.15) at 12.7', 'G0 X45 Y55\nG0 Z16\nG1 Z12.7 F1000\nG1 X60 F3000'],
      [
        'run',
        'beside the head of A1: centre 11.05 + 3 + 0.6 away',
        'G0 X59.7 Y30\nG0 Z16\nG1 Z10.5 F1000\nG1 Y80 F3000',
        { depth: 3 },
      ],
      [
        'run',
        'over the head by 0.6: Z 11.75',
        'G0 X45 Y55\nG0 Z16\nG1 Z11.75 F1000\nG1 X60 F3000',
        { depth: 3 },
      ],
      [
        'run',
        'a dog-leg in clear air: 50 above the bed, nothing reaches it',
        'G0 X300 Y300\nG0 Z50\nG0 X500 Y420\nG0 Z16\nG1 Z12.8 F1000\nG1 X560 F3000',
      ],
      [
        'run',
        'crossing at Z 16, 2.9 above the board, heads are in it',
        'G0 X45 Y55\nG0 Z16\nG0 X745 Y135\nG1 Z12.8 F1000',
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'egret',
    rows: [
      [
        'run',
        'a sheet of 0.75 in on the bare bed, 0.7 deep',
        'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.7 F40.\nN80 G1 X14. F100.',
        { zero: 'work', sheet: 19.05, depth: 0 },
      ],
      [
        'run',
        'an arc by its centre',
        'N50 G0 X12. Y12.\nN60 G0 Z0.2\nN70 G1 Z-0.3 F40.\nN80 G2 X13. Y13. I1. J0. F100.',
        { zero: 'work', sheet: 19.05, depth: 0 },
      ],
      [
        'run',
        'lower case, comments after a semicolon',
        'n50 g0 x12. y12. ; over the work\nn60 g0 z0.2\nn70 g1 z-0.7 f40.\nn80 g1 x14. f100.',
        { zero: 'work', sheet: 19.05, depth: 0 },
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'curlew',
    rows: [
      ['run', '0.24 into the board', 'G0 X300. Y300.\nG0 Z20.\nG1 Z17.8 F800\nG1 X360. F2400'],
      ['run', 'a comment in parentheses', '(SIGN)\nG0 X300. Y300.\nG0 Z20.\nG1 Z17.8 F800\nG1 X360. F2400'],
      [
        'run',
        'the edge of the board trimmed: 620 is its edge, 20 beside it',
        'G0 X300. Y920.\nG0 Z20.\nG1 Z17.8 F800\nG1 X360. F2400',
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'avocet',
    rows: [
      [
        'run',
        '16.5 is 0.408 into the board',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z16500 F1000\nG1 X360000 F3000',
      ],
      [
        'run',
        'a quarter of a circle in its quadrant',
        'G0 X300000 Y300000\nG0 Z20000\nG1 Z16500 F1000\nG2 X320000 Y320000 I20000 J0 F3000',
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'petrel',
    rows: [
      [
        'run',
        'T1 with its own length',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F3000',
        { cutter: null },
      ],
      [
        'run',
        'two tools, each with its own length, changed at rest and high',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F3000\nG0 Z60\nM5\nT3 M6\nG43 H3\nG0 Z60\nS16000 M3\nG4 P5\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F2500',
        { cutter: null },
      ],
      [
        'run',
        'the job’s T7 is the house’s 5 mm',
        'G0 X300 Y300\nG0 Z60\nM5\nT7 M6\nG43 H7\nG0 Z60\nS16000 M3\nG4 P5\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F2500',
        { cutter: null, cutters: { 7: 'upcut-5' } },
      ],
      [
        'run',
        'the next tool chosen early, fetched never',
        'T3\nG0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F3000',
        { cutter: null },
      ],
      [
        'run',
        'G28 home from high at the end',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F3000\nG0 Z60\nM5\nG91 G28 Z0\nG90',
        { cutter: null },
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'clamped',
    rows: [
      [
        'run',
        'a straight way in X past the clamp: Y 280 is 20 before it, 3 of cutter',
        'G0 X150 Y280\nG0 Z20\nG1 Z17.7 F1000\nG1 X300 F3000',
        { cutter: null },
      ],
      [
        'run',
        'over the clamp at 60',
        'G0 X150 Y320\nG0 X300 Y330\nG0 Z20\nG1 Z17.7 F1000\nG1 X360 F3000',
        { cutter: null },
      ],
    ],
  },
  {
    hazard: 'safe',
    machine: 'smew',
    rows: [
      ['run', '0.3 into the board at its feeds', 'G0 X150 Y100\nG0 Z20\nG1 Z17.7 F500\nG1 X200 F1800'],
      [
        'run',
        'at the end of the travel, at height: X 330',
        'G0 X330 Y100\nG0 X150\nG0 Z20\nG1 Z17.7 F500\nG1 X200 F1800',
      ],
    ],
  },
];
