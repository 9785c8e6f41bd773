import type { Move, NeutralProgram } from '@bedledger/bedwork';
import type { Controller, Dialect } from '@bedledger/fleet';
import fc from 'fast-check';
import { EIA, ISO, LINES, NGC } from './controllers.ts';
import { programOf } from './programs.ts';

const BASE: Readonly<Record<Dialect, Controller>> = {
  rs274ngc: NGC,
  iso6983: ISO,
  rs274d: EIA,
  linear: LINES,
};

/** Any controller the dialects allow: every axis at random, contradictions left out. */
export const anyController: fc.Arbitrary<Controller> = fc
  .record({
    dialect: fc.constantFrom<Dialect>('rs274ngc', 'iso6983', 'rs274d', 'linear'),
    units: fc.constantFrom('mm' as const, 'in' as const),
    unitsNone: fc.boolean(),
    distance: fc.constantFrom('absolute' as const, 'incremental' as const),
    spacing: fc.constantFrom('space' as const, 'none' as const),
    comments: fc.constantFrom('none' as const, 'paren' as const, 'semicolon' as const),
    upper: fc.boolean(),
    numbering: fc.constantFrom('off' as const, 'every' as const, 'sections' as const),
    at_max: fc.constantFrom('wrap' as const, 'stop' as const),
    width: fc.constantFrom(0, 4),
    point: fc.constantFrom('always' as const, 'fraction' as const, 'never' as const),
    zeros: fc.constantFrom('keep' as const, 'strip-trailing' as const),
    suppress: fc.constantFrom('none' as const, 'leading' as const, 'trailing' as const),
    leadingZero: fc.constantFrom('keep' as const, 'strip' as const),
    decimals: fc.integer({ min: 2, max: 4 }),
    finer: fc.integer({ min: 0, max: 1 }),
    feedDecimals: fc.integer({ min: 0, max: 2 }),
    plus: fc.boolean(),
    form: fc.constantFrom('none' as const, 'centre' as const, 'centre-absolute' as const, 'radius' as const),
    quadrants: fc.constantFrom('multi' as const, 'single' as const),
    fullCircle: fc.constantFrom('one' as const, 'two' as const, 'four' as const),
    helix: fc.boolean(),
    helixFeed: fc.constantFrom('path' as const, 'projection' as const),
    every: fc.boolean(),
    order: fc.constantFrom('same-block' as const, 'speed-first' as const),
    start: fc.constantFrom('dwell' as const, 'at-speed' as const, 'manual' as const),
    dwell: fc.constantFrom('P' as const, 'X' as const, 'F' as const, 'S' as const, 'U' as const),
    ms: fc.boolean(),
    toolChange: fc.constantFrom(
      'one-tool-per-program' as const,
      'automatic' as const,
      'manual-stop' as const,
    ),
    toolLength: fc.constantFrom('none' as const, 'G43' as const),
    cycles: fc.boolean(),
    cycleReturn: fc.boolean(),
    cancel: fc.boolean(),
    modalMotion: fc.boolean(),
    modalAxes: fc.boolean(),
    gPerBlock: fc.integer({ min: 1, max: 9 }),
    twoDigits: fc.boolean(),
    perSecond: fc.boolean(),
    lineEnding: fc.constantFrom('lf' as const, 'crlf' as const, 'cr' as const),
    zSign: fc.constantFrom(1 as const, 1 as const, -1 as const),
  })
  .map((a) => {
    const base = BASE[a.dialect];
    const ngc = a.dialect === 'rs274ngc';
    const point = a.dialect === 'rs274d' ? 'never' : ngc && a.point === 'never' ? 'always' : a.point;
    const xyz = { decimals: a.units === 'mm' ? a.decimals : a.decimals + 1, integers: 5 };
    const linear = a.dialect === 'linear';
    const single = a.quadrants === 'single' && !ngc;
    const form = linear ? 'none' : single || (ngc && a.form === 'centre-absolute') ? 'centre' : a.form;
    const cycles = a.cycles && !linear && a.dialect !== 'rs274d';
    return {
      ...base,
      units: a.units,
      unitsWord: a.unitsNone ? 'none' : base.unitsWord,
      distance: a.distance,
      spacing: a.spacing,
      comments:
        base.comments === 'none'
          ? 'none'
          : ngc || a.dialect === 'iso6983'
            ? a.comments === 'none'
              ? 'none'
              : 'paren'
            : a.comments,
      characterSet: a.upper ? 'ascii-upper' : 'ascii',
      lineNumbers: { use: a.numbering, start: 5, step: 5, max: 9999, at_max: a.at_max, width: a.width },
      numbers: {
        point,
        zeros: point === 'never' ? 'keep' : a.zeros,
        suppress: a.suppress,
        leadingZero: a.leadingZero,
        xyz,
        ijk: { decimals: xyz.decimals + a.finer, integers: 5 },
        feed: { decimals: a.units === 'mm' && !a.perSecond ? a.feedDecimals : 3, integers: 5 },
        speed: { decimals: 0, integers: 5 },
        dwell: { decimals: a.ms ? 0 : 1, integers: 5 },
        plus: a.plus,
      },
      arcs: {
        ...base.arcs,
        form,
        quadrants: single ? 'single' : 'multi',
        fullCircle: a.fullCircle,
        helix: a.helix,
        helixFeed: a.helixFeed,
      },
      feed: { ...base.feed, word: a.every ? 'every-cut' : 'modal', per: a.perSecond ? 'second' : 'minute' },
      spindle: { ...base.spindle, order: a.order, start: a.start },
      dwell: { word: ngc ? 'P' : a.dwell, unit: a.ms ? 'ms' : 's' },
      toolChange: a.toolChange,
      toolLength: ngc || a.dialect === 'iso6983' ? a.toolLength : 'none',
      cycles: {
        use: cycles ? 'G81-G83' : 'none',
        return: cycles && a.cycleReturn ? 'G98/G99' : 'none',
        cancel: a.cancel,
      },
      modal: { motion: a.modalMotion, axes: a.modalAxes },
      words: { gPerBlock: a.gPerBlock, mPerBlock: 1, twoDigits: a.twoDigits },
      maxLineLength: 128,
      lineEnding: a.lineEnding,
      zSign: a.zSign,
    };
  });

const coordinate = fc.oneof(
  fc.double({ min: -50, max: 2500, noNaN: true }),
  fc.integer({ min: -50, max: 2500 }),
  fc.integer({ min: -50_000, max: 2_500_000 }).map((n) => n / 1000),
  fc.integer({ min: -50_000, max: 2_500_000 }).map((n) => (n + 0.5) / 1000),
);
const height = fc.oneof(
  fc.double({ min: -12, max: 40, noNaN: true }),
  fc.constantFrom(40, 40, 18.12, 2, 0, -0.0001),
);
const feed = fc.integer({ min: 200, max: 12000 });

type Raw =
  | Move
  | {
      readonly kind: 'swing';
      readonly radius: number;
      readonly angle: number;
      readonly sweep: number;
      readonly clockwise: boolean;
      readonly z: number | null;
      readonly feed: number;
    };

const rawMove: fc.Arbitrary<Raw> = fc.oneof(
  {
    weight: 3,
    arbitrary: fc.record({ kind: fc.constant('rapid-xy' as const), x: coordinate, y: coordinate }),
  },
  { weight: 3, arbitrary: fc.record({ kind: fc.constant('rapid-z' as const), z: height }) },
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('feed' as const),
      x: coordinate,
      y: coordinate,
      z: height,
      feed,
    }),
  },
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('swing' as const),
      radius: fc.oneof(fc.double({ min: 0.1, max: 400, noNaN: true }), fc.constantFrom(6, 12.7, 50)),
      angle: fc.oneof(
        fc.double({ min: 0, max: 6.3, noNaN: true }),
        fc.constantFrom(0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2),
      ),
      sweep: fc.oneof(
        fc.double({ min: 0.0005, max: 6.28, noNaN: true }),
        fc.constantFrom(2 * Math.PI, 2 * Math.PI, Math.PI, Math.PI / 2, (3 * Math.PI) / 2, 3.1, 3.2, 6.2825),
      ),
      clockwise: fc.boolean(),
      z: fc.option(height, { nil: null, freq: 2 }),
      feed,
    }),
  },
  {
    weight: 3,
    arbitrary: fc
      .record({
        x: coordinate,
        y: coordinate,
        link: fc.constantFrom(40, 40, 25),
        above: fc.constantFrom(2, 20.12, 25),
        depth: fc.double({ min: 0.05, max: 30, noNaN: true }),
        peck: fc.option(fc.double({ min: 1, max: 8, noNaN: true })),
        feed,
      })
      .map(({ depth, ...d }) => ({ kind: 'drill' as const, ...d, bottom: d.above - depth })),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('dwell' as const), seconds: fc.integer({ min: 1, max: 30 }) }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('stop' as const),
      message: fc.string(),
      optional: fc.boolean(),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('spindle' as const),
      rpm: fc.integer({ min: 1000, max: 24000 }),
    }),
  },
  { weight: 1, arbitrary: fc.constant({ kind: 'spindle-off' as const }) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('auxiliary' as const),
      name: fc.constant('vacuum'),
      on: fc.boolean(),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('section' as const),
      title: fc.string({ unit: 'binary' }),
      restart: fc.boolean(),
    }),
  },
);

/** Any program: swings become arcs from wherever the cutter stands; restarts and stops are as likely low down as high up. */
export const anyProgram: fc.Arbitrary<NeutralProgram> = fc
  .tuple(coordinate, coordinate, fc.array(rawMove, { maxLength: 40 }), fc.boolean())
  .map(([x0, y0, raw, top]) => {
    const moves: Move[] = [{ kind: 'rapid-xy', x: x0, y: y0 }];
    let [x, y, z] = [x0, y0, 40];
    for (const r of raw) {
      if (r.kind === 'swing') {
        const cx = x - r.radius * Math.cos(r.angle);
        const cy = y - r.radius * Math.sin(r.angle);
        const end = r.angle + (r.clockwise ? -r.sweep : r.sweep);
        const full = r.sweep > 6.283;
        const [ex, ey] = full ? [x, y] : [cx + r.radius * Math.cos(end), cy + r.radius * Math.sin(end)];
        moves.push({ kind: 'arc', clockwise: r.clockwise, x: ex, y: ey, z: r.z ?? z, cx, cy, feed: r.feed });
        [x, y, z] = [ex, ey, r.z ?? z];
        continue;
      }
      // Rapids sideways only where a program of ours makes them.
      if (r.kind === 'rapid-xy' && z < 40) {
        moves.push({ kind: 'rapid-z', z: 40 });
        z = 40;
      }
      moves.push(r);
      if (r.kind === 'rapid-xy') [x, y] = [r.x, r.y];
      else if (r.kind === 'rapid-z') z = r.z;
      else if (r.kind === 'feed') [x, y, z] = [r.x, r.y, r.z];
      else if (r.kind === 'drill') [x, y, z] = [r.x, r.y, r.link];
    }
    const program = programOf(moves, { park: [-20, 10.0005] });
    return top
      ? { ...program, header: { ...program.header, zZero: 'board-top' as const, zeroHeight: 18.12 } }
      : program;
  });
