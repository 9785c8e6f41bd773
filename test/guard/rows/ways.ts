import type { Hazard } from '../job-row.ts';

/** The way there: rapids, solids, travel, places nobody gave. */
export const WAYS: readonly Hazard[] = [
  {
    hazard: 'rapids through material',
    machine: 'heron',
    rows: [
      ['not', 'G0 instead of G1 across', 'G0 X300 Y300\nG0 Z20\nG1 Z17.4 F1000\nG0 X360'],
      ['not', 'a rapid plunge', 'G0 X300 Y300\nG0 Z17.4\nG1 X360 F3000'],
      ['not', 'a tapered rapid that dips in', 'G0 X300 Y300\nG0 Z60\nG0 X400 Y350 Z17.4\nG1 X460 F3000'],
      [
        'not',
        'leaving the cut sideways',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.4 F1000\nG1 X360 F3000\nG0 X400 Y400 Z60',
      ],
      [
        'not',
        'modal: the line without a word is still a rapid',
        'G0 X300 Y300\nG0 Z20\nZ17.4\nG1 X360 F3000',
      ],
      [
        'not',
        'the retract is missing before the next hole',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.4 F1000\nG0 X500\nG1 Z17.4',
      ],
      [
        'not',
        'G98 after G99: read per block the hop runs at R, in the sheet’s clamps or not, here in the board: R 17.5',
        'G0 X300 Y300\nG0 Z20\nG99 G81 X300 Y300 Z17.4 R17.5 F1000\nX332\nG80',
      ],
      [
        'not',
        'through a sheet of 18 from where its place is not known',
        'G0 X300 Y300\nG0 Z-5\nG1 X360 F3000',
        { zero: 'work', sheet: 18 },
      ],
      [
        'not',
        'through the sheet in its place',
        'G0 X300 Y300\nG0 Z-5\nG1 X360 F3000',
        { zero: 'work', sheet: 18, place: [200, 200, 400, 300] },
      ],
      [
        'not',
        'G28 by way of a low point',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000\nM5\nG28 X500 Y300 Z17.5',
      ],
    ],
  },
  {
    hazard: 'rapids too low across',
    machine: 'heron',
    rows: [
      ['not', '0.2 above the board', 'G0 X300 Y300\nG0 Z18\nG0 X500\nG1 Z17.5 F1000'],
      ['not', 'on the top of the board exactly', 'G0 X300 Y300\nG0 Z17.766\nG0 X500\nG1 Z17.5 F1000'],
      [
        'not',
        '0.5 above the sheet',
        'G0 X300 Y300\nG0 Z0.5\nG0 X500\nG1 Z-6 F1000',
        { zero: 'work', sheet: 18 },
      ],
      [
        'not',
        'by cycles that return to R, 0.3 above the board',
        'G0 X300 Y300\nG0 Z30\nG99 G81 X300 Y300 Z17.5 R18.066 F1000\nX332\nG80',
      ],
    ],
  },
  {
    hazard: 'rapids that need not run straight',
    machine: 'plover',
    rows: [
      [
        'not',
        'Z and X Y together down to the cut: X Y may arrive first or last',
        'G0 X300 Y300\nG0 Z50\nG0 X400 Y400 Z12.9\nG1 X460 F3000',
      ],
      [
        'not',
        'leaving the cut upwards and sideways in one',
        'G0 X300 Y300\nG0 Z16\nG1 Z12.8 F1000\nG1 X360 F3000\nG0 X400 Y400 Z50',
      ],
      [
        'not',
        'through a deep pocket of its own making, round the corner',
        'G0 X300 Y300\nG0 Z16\nG1 Z12.7 F1000\nG1 X400 F3000\nG1 Y400\nG0 X300 Y300',
      ],
    ],
  },
  {
    hazard: 'clamps',
    machine: 'clamped',
    rows: [
      [
        'not',
        'straight through it at 20',
        'G0 X150 Y320\nG0 Z20\nG1 Z17.7 F1000\nG1 X300 F3000',
        { cutter: null },
      ],
      ['not', 'a rapid through it at 30', 'G0 X150 Y320\nG0 Z30\nG0 X300\nG1 Z17.7 F1000', { cutter: null }],
      [
        'not',
        'its corner lies in the box of a rapid that need not run straight',
        'G0 X150 Y380\nG0 Z30\nG0 X280 Y250\nG1 Z17.7 F1000',
        { cutter: null },
      ],
      [
        'not',
        'an arc that bulges into it',
        'G0 X150 Y320\nG0 Z20\nG1 Z17.7 F1000\nG3 X190 Y360 I40 J0 F3000\nG2 X150 Y320 I20 J-20 F3000',
        { cutter: null },
      ],
      [
        'not',
        '0.2 beside it: 3 + 0.2 from X 200',
        'G0 X196.8 Y280\nG0 Z20\nG1 Z17.7 F1000\nG1 Y360 F3000',
        { cutter: null },
      ],
      [
        'not',
        'drilling hops at R 20',
        'G0 Z60\nG99 G81 X150 Y320 Z17.7 R20 F1000\nX300\nG80',
        { cutter: null },
      ],
      [
        'not',
        'the collet nut (45 mm) 34 above the tip: at Z 0.5 it stands 34.5 up beside the clamp',
        'G0 X190 Y320\nG0 Z20\nG1 Z0.6 F1000',
        { cutter: null, depth: 18 },
      ],
      [
        'not',
        'by relative lines',
        'G0 X150 Y320\nG0 Z20\nG91\nG1 Z-2.3 F1000\nG1 X100 F3000\nG0 Z60\nG90',
        { cutter: null },
      ],
      [
        'unknown',
        'across at the start, before the height is known',
        'G21 G90 G17 G94 G40 G49 G80 G54\nT1 M6\nG43 H1\nG0 X150 Y320\nG0 Z60\nS16000 M3\nG4 P5\nG0 Z20\nG1 Z17.7 F1000\nG0 Z60\nM5\nM30',
        { raw: true, cutter: null },
      ],
      [
        'unknown',
        'coming from anywhere at 30, which is above the board and below the clamp',
        'G21 G90 G17 G94 G40 G49 G80 G54\nT1 M6\nG43 H1\nG0 Z30\nS16000 M3\nG4 P5\nG0 X150 Y320\nG0 Z20\nG1 Z17.7 F1000\nG0 Z60\nM5\nM30',
        { raw: true, cutter: null },
      ],
    ],
  },
  {
    hazard: 'tool setter',
    machine: 'heron',
    rows: [
      ['not', 'a rapid over its place at 30', 'G0 X300 Y300\nG0 Z30\nG0 X1340 Y2430\nG0 X1000'],
      ['not', 'a line that ends 0.3 beside it', 'G0 X1200 Y2430\nG0 Z20\nG1 X1310.8 F3000\nG1 X1200'],
      [
        'not',
        'an arc about the corner of the board',
        'G0 X1300 Y2400\nG0 Z30\nG1 X1310 Y2400 F3000\nG3 X1310 Y2460 I0 J30 F3000',
      ],
      ['not', 'a plunge on it with clear ways there', 'G0 X1340 Y2430\nG0 Z41\nG0 Z60'],
      ['run', 'over it at 60', 'G0 X1340 Y2430\nG0 X1000\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000'],
    ],
  },
  {
    hazard: 'travel',
    machine: 'heron',
    rows: [
      ['not', 'X 1346, the travel ends at 1345', 'G0 X1346 Y300'],
      [
        'not',
        'an arc whose ends lie within and whose quarter does not: to X 1350',
        'G0 X1330 Y280\nG1 Z60 F3000\nG3 X1330 Y320 I0 J20 F3000',
      ],
      ['not', 'Z 200, the travel ends at 190', 'G0 X300 Y300\nG0 Z200'],
      [
        'not',
        'Z from the sheet: 160 above 35.766',
        'G0 X300 Y300\nG0 Z160\nG1 Z-2 F1000',
        { zero: 'work', sheet: 18 },
      ],
      ['not', 'relative steps that add up', `G0 X300 Y300\nG91\n${'G0 X150\n'.repeat(8)}G90`],
      ['not', 'in inches: 60 in is 1524', 'G20\nG0 X60 Y12\nG21'],
      ['not', 'Y -51', 'G0 X300 Y-51'],
      [
        'not',
        'repeats of a cycle that run out of the travel',
        'G0 X300 Y300\nG0 Z30\nG91 G81 X200 Z-2.3 R-10.2 L8 F1000\nG80 G90',
      ],
      ['not', 'by an axis offset: 0 is called 2000', 'G0 X0 Y0\nG92 X2000\nG0 X3400\nG92.1'],
    ],
  },
  {
    hazard: 'travel',
    machine: 'smew',
    rows: [
      ['not', 'Y 231', 'G0 X100 Y231'],
      ['not', 'Z 71 by a relative lift', 'G0 X100 Y100\nG91 G0 Z21\nG90'],
      ['not', 'X -31', 'G0 X-31 Y100'],
    ],
  },
  {
    hazard: 'plunges off the bed',
    machine: 'smew',
    rows: [
      [
        'not',
        'X 320 is 10 beside the bed, Z -1 below its surface',
        'G0 X320 Y100\nG1 Z-1 F500',
        { depth: 30 },
      ],
      ['not', 'by a cycle', 'G0 X325 Y100\nG81 X325 Y100 Z-1 R20 F500\nG80', { depth: 30 }],
      [
        'not',
        'by a line that runs out over the edge',
        'G0 X280 Y215\nG0 Z20\nG1 Z-0.5 F500\nG1 X325 F1500',
        { depth: 30 },
      ],
      ['not', 'relative', 'G0 X320 Y100\nG91\nG1 Z-52 F500\nG0 Z52\nG90', { depth: 30 }],
    ],
  },
  {
    hazard: 'places nobody gave',
    machine: 'heron',
    rows: [
      [
        'unknown',
        'X Y before the height is known',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 X300 Y300\nG0 Z70\nS16000 M3\nG4 P6\nG0 Z20\nG1 Z17.5 F1000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'unknown',
        'the first lift goes to 30, the tool setter stands 42 high',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z30\nS16000 M3\nG4 P6\nG0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'unknown',
        'relative from an unknown place',
        'G21 G91 G17 G94 G40 G49 G80 G54\nG0 Z30\nS16000 M3\nG4 P6\nG0 X30 Y30\nG1 Z-2 F1000\nG90\nM5\nM30',
        { raw: true },
      ],
      [
        'unknown',
        'the cut begins where only X was given',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6\nG0 X300\nG0 Z20\nG1 Z17.5 F1000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'unknown',
        'all three axes at once from nowhere',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 X300 Y300 Z70\nS16000 M3\nG4 P6\nG0 Z20\nG1 Z17.5 F1000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
      [
        'unknown',
        'an arc from nowhere',
        'G21 G90 G17 G94 G40 G49 G80 G54\nG0 Z70\nS16000 M3\nG4 P6\nG2 X300 Y300 I10 J0 F3000\nG0 Z70\nM5\nM30',
        { raw: true },
      ],
    ],
  },
  {
    hazard: 'machine coordinates',
    machine: 'heron',
    rows: [
      ['unknown', 'G53 X Y', 'M5\nG53 G0 X10 Y10'],
      ['unknown', 'G53 Z-100: down, nobody knows how far', 'M5\nG53 G0 Z-100'],
      ['unknown', 'G53 on a feed', 'G53 G1 Z0 F1000'],
      ['unknown', 'G30', 'G0 X300 Y300\nM5\nG30'],
      [
        'unknown',
        'G28 from 20, below the tool setter',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG0 Z20\nM5\nG91 G28 Z0\nG90',
      ],
      ['unknown', 'g53 in lower case, without spaces', 'm5\ng53g0x10y10'],
    ],
  },
  {
    hazard: 'machine coordinates',
    machine: 'petrel',
    rows: [
      [
        'unknown',
        'G28 with the cutter 0.5 above the board',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG0 Z18.5\nM5\nG91 G28 Z0\nG90',
        { cutter: null },
      ],
      ['unknown', 'G53 across', 'M5\nG53 G0 X0', { cutter: null }],
      [
        'unknown',
        'G30 from low',
        'G0 X300 Y300\nG0 Z20\nG1 Z17.7 F1000\nG0 Z18.5\nM5\nG30',
        { cutter: null },
      ],
    ],
  },
];
