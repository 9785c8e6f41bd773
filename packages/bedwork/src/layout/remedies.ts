import { placeText, tinyLength, writtenLength } from '@bedledger/diagnostics';
import type { LayoutRules, Machine, MachineRecord, Zone } from '@bedledger/fleet';
import { gridGrooves } from '@bedledger/fleet';
import { containsPoint, distance, nearestOnBoundary, type Point } from '@bedledger/geometry';
import type { Lands } from '../lands/lands.ts';
import { coverageLimit, farthestFromLand, landBehindEdges, SIDES } from './cover-rules.ts';
import type { Effort } from './draft.ts';
import type { Layout, Remedy } from './model.ts';
import { pitchRule } from './pitch.ts';

/** A change of one kind by an amount; the sentence is written when it has worked. */
interface Change {
  readonly record: MachineRecord;
  readonly say: (layout: Layout) => string;
}

/** Changes of one kind, the smallest first. */
interface Kind {
  /** Amounts that may be tried, mm, growing; the smallest that works is narrowed down between it and the one before. */
  readonly amounts: readonly number[];
  readonly change: (amount: number) => Change | null;
}

interface Case {
  readonly record: MachineRecord;
  readonly layout: Layout;
  readonly lands: Lands;
  /** Where the board is not held: the worst place. */
  readonly at: Point;
}

/** What may be spent on trying layouts for one bed: a layout costs a part of its sites, and as much as all cost alike. */
const MOST_SPENT = 600;
const COST_OF_A_LAYOUT = 20;
const COST_OF_A_SITE = 1 / 3;
/** Layouts of more sites than this, about, are not tried. */
const MOST_SITES = 400;
/** Halvings between an amount that works and one that does not. */
const HALVINGS = 2;
/** A wider pitch is advised while the board lifts no more than this, mm, or than so many times what it does now. */
const MOST_LIFT = 1;
const MOST_LIFT_AGAIN = 3;
/** A shorter board ends this near to the lands, at the least, as a share of what a site may be away. */
const CLOSEST_TO_EDGE = 0.2;
/** Remedies told. */
const MOST_TOLD = 3;

/**
 * The smallest changes with which a layout is possible, each tried on the whole layout, the cheapest in the shop first:
 * a greater nudge, another edge rule, sites off their lines, a wider pitch, a groove filled for a site inside a zone,
 * another pocket cutter, a shorter board; two of them together where none is enough alone. Common practice, no source,
 * decides the order. Deterministic, and limited by the size and number of the layouts.
 * @param plan lays a changed record out
 */
export function findRemedies(
  record: MachineRecord,
  layout: Layout,
  lands: Lands,
  plan: (record: MachineRecord, effort: Effort) => Layout,
): Remedy[] {
  if (lands.actual.length === 0) return [];
  const it: Case = { record, layout, lands, at: worstPlace(layout, lands) };
  const trial = new Trial(plan);
  const alone = trial.best(it, kindsFor(it));
  return alone.length > 0 ? alone : trial.best(it, pairsFor(it));
}

/** Every change of one kind, the cheapest kind first. */
function kindsFor(it: Case): Kind[] {
  return [
    ...(beyondReach(it) ? [] : [nudges(it), ...edges(it), pattern(it)]),
    pitches(it),
    ...plugs(it),
    ...cutters(it),
    ...boards(it),
    ...boardOverLands(it),
  ];
}

/** Changes of two kinds at once: the first as it is, the second in growing amounts. */
function pairsFor(it: Case): Kind[] {
  const firsts = [pattern(it), nudges(it), ...edges(it), pitches(it), ...boards(it)];
  return firsts.flatMap((first, k) => {
    const change = greatest(first);
    if (change === null) return [];
    const changed: Case = { ...it, record: change.record };
    const seconds = [
      ...(k < 1 ? [...edges(changed)] : []),
      ...(k < firsts.length - 2 ? [pitches(changed), ...plugs(changed)] : []),
      ...boards(changed),
      ...boardOverLands(changed),
    ];
    return seconds.map(
      (second): Kind => ({
        amounts: second.amounts,
        change: (amount) => {
          const both = second.change(amount);
          return both && { record: both.record, say: (l) => `${plainSay(change, l)} and ${both.say(l)}` };
        },
      }),
    );
  });
}

/** A change without the number of its sites: the second one tells it. */
function plainSay(change: Change, layout: Layout): string {
  return change
    .say(layout)
    .replace(` (${sitesText(layout)})`, '')
    .replace(`${sitesText(layout)}; `, '')
    .replace(`${sitesText(layout)}, `, '');
}

/** The change of a kind by its greatest amount that can be written. */
function greatest(kind: Kind): Change | null {
  for (const amount of [...kind.amounts].reverse()) {
    const change = kind.change(amount);
    if (change !== null) return change;
  }
  return null;
}

/** No rule about lines and nudges brings land nearer to a place that is so far from any. */
function beyondReach({ record, layout, lands, at }: Case): boolean {
  const near = lands.nearestActual(at);
  const nudge = Math.max(layout.pitch.limit / 4, record.machine.fixing.layout.nudgeMax);
  return near !== null && distance(near, at) > coverageLimit(layout.pitch) + nudge + lands.uncertainty;
}

/** Layouts with changes, tried while the allowance lasts. */
class Trial {
  readonly #plan: (record: MachineRecord, effort: Effort) => Layout;
  #spent = 0;

  constructor(plan: (record: MachineRecord, effort: Effort) => Layout) {
    this.#plan = plan;
  }

  /** The smallest amount that works of every kind, as many kinds as are told. */
  best(it: Case, kinds: readonly Kind[]): Remedy[] {
    const out: Remedy[] = [];
    for (const kind of kinds) {
      if (out.length >= MOST_TOLD || this.#spent >= MOST_SPENT) break;
      const found = this.#smallest(it, kind);
      // Any layout with the fewest sites shows that there is one; rows and columns are looked at with all their tries.
      if (found && (found.machine.fixing.layout.pattern !== 'aligned' || this.#holds(it, found)))
        out.push(found);
    }
    return out;
  }

  /** Where the greatest amount does not help, nor one half-way, none is expected to. */
  #smallest(it: Case, kind: Kind): Remedy | null {
    const amounts = kind.amounts.filter((amount) => kind.change(amount) !== null);
    let high = amounts.length - 1;
    let found = high < 0 ? null : this.#attempt(it, kind, amounts[high] as number);
    if (found === null && high > 1) {
      high >>= 1;
      found = this.#attempt(it, kind, amounts[high] as number);
    }
    if (found === null) return null;
    let low = -1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      const better = this.#attempt(it, kind, amounts[middle] as number);
      if (better) [found, high] = [better, middle];
      else low = middle;
    }
    if (low < 0) return found;
    let [less, more] = [amounts[low] as number, amounts[high] as number];
    for (let n = 0; n < HALVINGS; n++) {
      const better = this.#attempt(it, kind, (less + more) / 2);
      if (better) [found, more] = [better, (less + more) / 2];
      else less = (less + more) / 2;
    }
    return found;
  }

  #attempt({ record }: Case, kind: Kind, amount: number): Remedy | null {
    const change = this.#spent < MOST_SPENT ? kind.change(amount) : null;
    if (change === null) return null;
    const changed = this.#plan(change.record, 'quick');
    const [width, depth] = record.machine.board.size;
    const sites = (width * depth) / (changed.pitch.limit * changed.pitch.limit);
    this.#spent += COST_OF_A_LAYOUT + COST_OF_A_SITE * sites;
    if (!possible(changed)) return null;
    return { say: change.say(changed), sites: changed.sites.length, machine: change.record.machine };
  }

  #holds({ record }: Case, { machine }: Remedy): boolean {
    return possible(this.#plan({ ...record, machine }, 'full'));
  }
}

function possible(layout: Layout): boolean {
  const stopped = layout.findings.some((f) => f.severity === 'stop' && f.code.startsWith('layout/'));
  return layout.sites.length > 0 && !stopped;
}

/** The place of the board that no land is near enough to; else the one that a finding names, or the farthest from any site. */
function worstPlace(layout: Layout, lands: Lands): Point {
  const far = farthestFromLand(lands, coverageLimit(layout.pitch));
  if (far !== null) return far.at;
  for (const f of layout.findings) {
    const { x, y } = f.facts ?? {};
    if (f.severity === 'stop' && typeof x === 'number' && typeof y === 'number') return [x, y];
  }
  const { minX, minY, maxX, maxY } = lands.boardBox;
  return layout.sites.length > 0 ? layout.coverage.at : [(minX + maxX) / 2, (minY + maxY) / 2];
}

function withRules(record: MachineRecord, changes: Partial<LayoutRules>): MachineRecord {
  const { fixing } = record.machine;
  return withMachine(record, { fixing: { ...fixing, layout: { ...fixing.layout, ...changes } } });
}

function withMachine(record: MachineRecord, changes: Partial<Machine>): MachineRecord {
  return { ...record, machine: { ...record.machine, ...changes } };
}

/** The next figure that people write: tenths of a millimetre, hundredths of an inch; up, unless `down`. */
function written(record: MachineRecord, mm: number, down = false): number {
  const unit = record.machine.units === 'mm' ? 0.5 : 0.254;
  return (down ? Math.floor(mm / unit + 1e-9) : Math.ceil(mm / unit - 1e-9)) * unit;
}

function fewEnough(record: MachineRecord, pitch: number): boolean {
  const [width, depth] = record.machine.board.size;
  return (width * depth) / (pitch * pitch) <= MOST_SITES;
}

function sitesText(layout: Layout): string {
  return `${layout.sites.length} ${layout.sites.length === 1 ? 'site' : 'sites'}`;
}

/** A nudge of more than a quarter of the pitch makes rows and columns meaningless: it is never advised. */
function nudges({ record, layout }: Case): Kind {
  const { pattern, nudgeMax } = record.machine.fixing.layout;
  const most = written(record, layout.pitch.limit / 4, true);
  const amounts = [0.05, 0.1, 0.2, 0.35, 0.6, 1].map((f) => Math.min(most, written(record, f * most)));
  return {
    amounts: pattern === 'aligned' ? amounts.filter((a, k) => a > nudgeMax && a !== amounts[k - 1]) : [],
    change: (amount) => {
      const mm = Math.min(most, written(record, amount));
      return {
        record: withRules(record, { nudgeMax: mm }),
        say: (l) => `raise fixing.layout.nudge_max to ${writtenLength(mm, l.units)} (${sitesText(l)})`,
      };
    },
  };
}

/** Outer lines nearer to the edge, or farther from it, as far as the pitch has a use for that. */
function edges({ record, layout, lands }: Case): Kind[] {
  const { pattern, edge } = record.machine.fixing.layout;
  if (pattern !== 'aligned') return [];
  const half = layout.pitch.limit / 2;
  const nearest = written(record, lands.needs.boardEdge + lands.uncertainty);
  const change = (range: readonly [number, number]): Change => ({
    record: withRules(record, { edge: range }),
    say: (l) =>
      `set fixing.layout.edge to ${writtenLength(range[0], l.units)} … ${writtenLength(range[1], l.units)} (${sitesText(l)})`,
  });
  const kinds: Kind[] = [];
  if (edge[0] > nearest) {
    kinds.push({
      amounts: [edge[0] - (edge[0] - nearest) / 2, nearest].map((v) => edge[0] - v),
      change: (by) => {
        const least = written(record, edge[0] - by, true);
        return change([least, Math.max(least, Math.min(edge[1], written(record, half, true)))]);
      },
    });
  }
  if (edge[1] < half) {
    kinds.push({
      amounts: [(half - edge[1]) / 2, half - edge[1]],
      change: (by) => change([edge[0], Math.min(written(record, half, true), written(record, edge[1] + by))]),
    });
  }
  return kinds;
}

function pattern({ record, layout }: Case): Kind {
  const other = record.machine.fixing.layout.pattern === 'aligned';
  return {
    amounts: other && fewEnough(record, layout.pitch.limit) ? [1] : [],
    change: () => ({
      record: withRules(record, { pattern: 'fewest' }),
      say: (l) => `use fixing.layout.pattern fewest (${sitesText(l)}, not in rows and columns)`,
    }),
  };
}

/** A wider pitch, from what the worst place needs; the board then lifts more, which is told. */
function pitches({ record, layout, lands, at }: Case): Kind {
  const limit = layout.pitch.limit;
  const land = lands.nearestActual(at);
  const gap = lands.needs.between + 2 * lands.uncertainty;
  const [least] = record.machine.fixing.layout.edge;
  const behindEdge = layout.findings.some((f) => f.code === 'layout/edge-and-pitch' && f.severity === 'stop');
  const needed = Math.max(
    limit * 1.02,
    gap + 1,
    (land ? distance(land, at) : 0) * Math.SQRT2 + 1,
    behindEdge ? 2 * least : 0,
  );
  const amounts = [1, 1.06, 1.15, 1.3, 1.6].map((k) => needed * k).filter((v) => fewEnough(record, v));
  return {
    amounts,
    change: (amount) => {
      const mm = written(record, amount);
      const changed = withRules(record, { pitchMax: mm });
      const { inner } = pitchRule(changed).deflection;
      // Nobody is told to let the board go.
      if (inner > Math.max(MOST_LIFT, MOST_LIFT_AGAIN * layout.deflection.inner)) return null;
      return {
        record: changed,
        say: (l) =>
          `raise fixing.layout.pitch_max to ${writtenLength(mm, l.units)} (${sitesText(l)}; the board lifts ${tinyLength(inner, l.units)} between them)`,
      };
    },
  };
}

/** A site inside a zone: the grooves around it are filled, and the zone leaks at its hole. */
function plugs({ record, layout, lands, at }: Case): Kind[] {
  const nominal = lands.toNominal(at);
  const zone = record.machine.bed.zones.find(
    (z) =>
      z.grooves.kind === 'grid' &&
      lands.kinds.zones.some((k) => k.id === z.id && containsPoint(k.region, nominal)),
  );
  if (zone === undefined || zone.grooves.kind !== 'grid') return [];
  // Where land is near enough everywhere, or a site here leaves another place without, a hole in the zone is no help.
  const limit = coverageLimit(layout.pitch);
  if (farthestFromLand(lands, limit) === null || farthestFromLand(lands, limit, [at]) !== null) return [];
  const { grooves } = zone;
  const radius = written(record, layout.needs.bed + layout.uncertainty + 2);
  return [
    {
      amounts: [1],
      change: () => ({
        record: withMachine(record, {
          bed: {
            ...record.machine.bed,
            zones: record.machine.bed.zones.map((z) =>
              z === zone ? withoutGrooves(zone, grooves, nominal, radius) : z,
            ),
          },
        }),
        say: (l) =>
          `fill the grooves of zone ${zone.id} for ${writtenLength(radius, l.units)} around ${placeText(nominal, l.units)} and draw them so (${sitesText(l)}; the zone leaks at the screw there)`,
      }),
    },
  ];
}

type Grid = Extract<Zone['grooves'], { readonly kind: 'grid' }>;

/** The zone with its grid written out as channels that end before a disc. */
function withoutGrooves(zone: Zone, grid: Grid, at: Point, radius: number): Zone {
  const channels = gridGrooves(zone, grid).flatMap((g) =>
    outsideDisc(g.from, g.to, at, radius + grid.width / 2).map((points) => ({
      points,
      width: grid.width,
      depth: grid.depth,
    })),
  );
  return { ...zone, grooves: { kind: 'channels', channels } };
}

/** The parts of a segment that lie outside a disc. */
function outsideDisc(a: Point, b: Point, at: Point, radius: number): (readonly [Point, Point])[] {
  const length = distance(a, b);
  if (length === 0) return [];
  const u: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const t = (at[0] - a[0]) * u[0] + (at[1] - a[1]) * u[1];
  const off = Math.abs((at[0] - a[0]) * u[1] - (at[1] - a[1]) * u[0]);
  if (off >= radius) return [[a, b]];
  const half = Math.sqrt(radius * radius - off * off);
  const point = (s: number): Point => [a[0] + s * u[0], a[1] + s * u[1]];
  const parts: (readonly [Point, Point])[] = [];
  if (t - half > 1) parts.push([a, point(Math.min(length, t - half))]);
  if (t + half < length - 1) parts.push([point(Math.max(0, t + half)), b]);
  return parts;
}

/** A wider pocket cutter circles less, so that the spindle reaches farther with it. */
function cutters({ record, layout, lands }: Case): Kind[] {
  const now = record.cutters.get(record.machine.cutters.pocket);
  if (now === undefined || layout.needs.overhang <= 0) return [];
  // Only where the travel, not the bed, ends the lands.
  const { reach, board } = lands;
  if (
    board.every((p) =>
      p.outer.every((c) => c[0] > reach.minX && c[0] < reach.maxX && c[1] > reach.minY && c[1] < reach.maxY),
    )
  )
    return [];
  return [...record.cutters.values()]
    .filter(
      (c) =>
        c.kind === now.kind &&
        c.canPlunge &&
        c.diameter > now.diameter &&
        c.diameter < 2 * layout.needs.pocketRadius,
    )
    .sort((a, b) => a.diameter - b.diameter || (a.id < b.id ? -1 : 1))
    .map((c) => ({
      amounts: [1],
      change: () => ({
        record: withMachine(record, { cutters: { ...record.machine.cutters, pocket: c.id } }),
        say: (l) => `use cutter ${c.id} for the pockets: the spindle then reaches farther (${sitesText(l)})`,
      }),
    }));
}

/** A board that ends where the lands do, as near to them on every side as the least of it asks for. */
function boardOverLands({ record, layout, lands }: Case): Kind[] {
  const { board } = record.machine;
  const radius = coverageLimit(layout.pitch);
  const behind = landBehindEdges(lands);
  const far = behind.filter((d) => d > radius * CLOSEST_TO_EDGE);
  // One side alone is the plain shorter board.
  if (far.length < 2) return [];
  const change = (amount: number): Change => {
    const [front, right, back, left] = behind.map((d) =>
      Math.max(0, written(record, d - radius + amount)),
    ) as [number, number, number, number];
    const cuts = [front, right, back, left].flatMap((by, k) =>
      by > 0 ? [{ by, side: SIDES[k] as string }] : [],
    );
    return {
      record: withMachine(record, {
        board: {
          ...board,
          at: [board.at[0] + left, board.at[1] + front],
          size: [board.size[0] - left - right, board.size[1] - front - back],
        },
      }),
      say: (l) =>
        `make the board shorter: ${cuts.map(({ by, side }) => `${writtenLength(by, l.units)} at its ${side} edge`).join(', ')} (${sitesText(l)})`,
    };
  };
  const most = radius * (1 - CLOSEST_TO_EDGE);
  return [{ amounts: [0.3, 0.5, 0.7, 0.85, 1].map((f) => f * most), change }];
}

/** A board that ends before the place that cannot be held. */
function boards({ record, lands, at }: Case): Kind[] {
  const { board } = record.machine;
  const box = lands.boardBox;
  const sides = [
    { name: 'front', off: at[1] - box.minY, k: 1, low: true },
    { name: 'back', off: box.maxY - at[1], k: 1, low: false },
    { name: 'left', off: at[0] - box.minX, k: 0, low: true },
    { name: 'right', off: box.maxX - at[0], k: 0, low: false },
  ] as const;
  const near = [...sides].sort((a, b) => a.off - b.off).slice(0, 2);
  const edge = nearestOnBoundary(lands.board, at).distance;
  return near
    .filter((s) => s.off <= edge + 1)
    .map((s) => {
      const whole = board.size[s.k] as number;
      return {
        amounts: [0.03, 0.06, 0.12, 0.2, 0.3, 0.4].map((f) => f * whole),
        change: (amount: number): Change => {
          const by = written(record, amount);
          const at0: [number, number] = [board.at[0], board.at[1]];
          const size: [number, number] = [board.size[0], board.size[1]];
          size[s.k] = whole - by;
          if (s.low) at0[s.k] = (board.at[s.k] as number) + by;
          return {
            record: withMachine(record, { board: { ...board, at: at0, size } }),
            say: (l) =>
              `make the board ${writtenLength(by, l.units)} shorter at its ${s.name} edge (${sitesText(l)})`,
          };
        },
      };
    });
}
