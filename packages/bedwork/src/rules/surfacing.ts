import type { RuleTable } from '@bedledger/diagnostics';

/** What a skim leaves. */
export const SURFACING_RULES = {
  'surfacing/strip': {
    severity: 'warn',
    title: 'a strip along an edge cannot be surfaced',
    why: 'The strip stays as high as it was. A sheet that lies on it rides up, leaks and is cut too deep.',
    remedy:
      'use a wider cutter, trim the board back by that much, or plane the strip by hand so that no sheet rides up on it',
  },
  'surfacing/left': {
    severity: 'warn',
    title: 'a part of the board stays uncut',
    why: 'What the rows leave stands above the rest of the surface: a sheet rocks on it and leaks.',
    remedy: 'increase the overrun, or add a perimeter pass',
  },
  'surfacing/unmeasured': {
    severity: 'warn',
    title: 'the height map does not speak for all of the board',
    why: 'Between readings that are far apart, and outside them, the board may stand higher, where the first pass would be deeper than planned, or lower, where it stays uncut.',
    remedy: 'measure the corners and edges too, and between readings that are far apart',
  },
  'surfacing/patch': {
    severity: 'warn',
    title: 'a part of the board lies lower than the rest',
    why: 'A sheet that lies over a recess is not held there: it leaks at the rim, and gives under a cutter.',
    remedy:
      'let an inlay in, skim the board, and take `board.patch` out of the profile; keep sheets away from it till then',
  },
  'surfacing/ridge': {
    severity: 'warn',
    title: 'the lean of the spindle leaves a step that can be felt',
    why: 'A cutter that leans across its rows leaves a step between neighbouring ones. From 0.05 mm (0.002 in) on a fingernail finds it, and thin sheets show it.',
    remedy: 'tram the spindle and state the new readings in `tram`, or lower `surfacing.stepover`',
  },
  'surfacing/note': {
    severity: 'note',
    title: 'the rows are not what the profile asks for',
    why: 'The stepover was changed, or it is too wide for the chosen style. The surface is whole; its finish may differ.',
    remedy: 'lower `surfacing.stepover` if the finish matters',
  },
} as const satisfies RuleTable;
