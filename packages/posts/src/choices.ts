import type { Controller } from '@bedledger/fleet';
import { entryOf } from './closed-list.ts';

/** What the writer asks of a controller's closed lists again and again, answered once. */
export interface Choices {
  /** Distances from the last point (G91) instead of from zero. */
  readonly incremental: boolean;
  readonly spaced: boolean;
  /** Which blocks are numbered. */
  readonly numbered: 'none' | 'sections' | 'all';
  /** At the largest line number: start again, or stop numbering. */
  readonly numbersWrap: boolean;
  readonly feedInEveryCut: boolean;
  /** Feeds in units a second instead of a minute. */
  readonly feedPerSecond: boolean;
  readonly cycles: boolean;
  /** G98 and G99 choose the height after a cycle. */
  readonly cycleReturn: boolean;
  readonly speedWord: boolean;
  readonly speedInOwnBlock: boolean;
  /** The program waits for the spindle; otherwise the controller does, or the operator. */
  readonly dwellForSpindle: boolean;
  readonly spindleByHand: boolean;
  /** Units of the dwell word in a second. */
  readonly dwellPerSecond: number;
  readonly arcs: ArcChoices;
  readonly changesCutter: boolean;
  readonly lengthOffset: boolean;
  /** The home word is safe anywhere, so that a program may begin with it. */
  readonly homeFirst: boolean;
}

export interface ArcChoices {
  /** How an arc block says where its centre is; null: there are no arc blocks. */
  readonly centre: 'from-start' | 'absolute' | 'by-radius' | null;
  readonly oneQuadrant: boolean;
  /** Blocks of a full circle. */
  readonly fullCircle: 1 | 2 | 4;
  /** The feed of a helix counts along its projection. */
  readonly projectedFeed: boolean;
}

function arcChoices({ arcs }: Controller): ArcChoices {
  return {
    centre: entryOf(
      { none: null, centre: 'from-start', 'centre-absolute': 'absolute', radius: 'by-radius' } as const,
      arcs.form,
      'form of arcs',
    ),
    oneQuadrant: entryOf({ multi: false, single: true }, arcs.quadrants, 'use of quadrants'),
    fullCircle: entryOf({ one: 1, two: 2, four: 4 } as const, arcs.fullCircle, 'form of a full circle'),
    projectedFeed: entryOf({ path: false, projection: true }, arcs.helixFeed, 'feed of a helix'),
  };
}

/** @throws RangeError for a member that a closed list does not have */
export function choicesOf(c: Controller): Choices {
  const start = entryOf(
    {
      dwell: { dwellForSpindle: true, spindleByHand: false },
      'at-speed': { dwellForSpindle: false, spindleByHand: false },
      manual: { dwellForSpindle: false, spindleByHand: true },
    },
    c.spindle.start,
    'start of the spindle',
  );
  return {
    incremental: entryOf({ absolute: false, incremental: true }, c.distance, 'distance'),
    spaced: entryOf({ space: true, none: false }, c.spacing, 'spacing'),
    numbered: entryOf(
      { off: 'none', sections: 'sections', every: 'all' } as const,
      c.lineNumbers.use,
      'use of line numbers',
    ),
    numbersWrap: entryOf({ wrap: true, stop: false }, c.lineNumbers.at_max, 'end of line numbers'),
    feedInEveryCut: entryOf({ modal: false, 'every-cut': true }, c.feed.word, 'use of the feed word'),
    feedPerSecond: entryOf({ minute: false, second: true }, c.feed.per ?? 'minute', 'time of a feed'),
    cycles: entryOf({ none: false, 'G81-G83': true }, c.cycles.use, 'use of cycles'),
    cycleReturn: entryOf({ none: false, 'G98/G99': true }, c.cycles.return, 'return from a cycle'),
    speedWord: entryOf({ none: false, rpm: true }, c.spindle.speed, 'spindle speed'),
    speedInOwnBlock: entryOf({ 'same-block': false, 'speed-first': true }, c.spindle.order, 'spindle order'),
    ...start,
    dwellPerSecond: entryOf({ s: 1, ms: 1000 }, c.dwell.unit, 'unit of a dwell'),
    arcs: arcChoices(c),
    changesCutter: entryOf(
      { 'one-tool-per-program': false, automatic: true, 'manual-stop': true },
      c.toolChange,
      'change of cutters',
    ),
    lengthOffset: entryOf({ none: false, G43: true }, c.toolLength, 'length offset'),
    homeFirst: entryOf({ none: false, G28: false, G53: true }, c.home, 'home word'),
  };
}
