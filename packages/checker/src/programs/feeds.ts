import {
  type Diagnostic,
  exactLength,
  feedText,
  fixed,
  fromUnits,
  powerText,
  type Units,
} from '@bedledger/diagnostics';
import type { Cutter } from '@bedledger/fleet';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { emptyExtents, isPlaced, motionExtents, resolveArc } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';
import { type Case, gridStep, roundingOf } from './case.ts';

/**
 * A feed may pass the cutter's plain chip load by this factor: with little of the cutter engaged the chip is thinner
 * than the feed per tooth, and a feed may make up for it (handbooks' chip thinning; 2 is its value at a tenth of the
 * diameter).
 */
const THINNING = 2;
/** Below this share of the least chip load a cutter rubs (common practice, no source). */
const RUBBING = 0.25;
/** Limits computed from other rounded numbers may be missed by this factor. */
const LENIENCE = 1.02;
/** Motions that take less time than this say nothing about power, s. */
const SHORTEST = 0.05;

/** Feeds against axes, controller and cutter; plunges, ramps, cutting length and power against what the cutter can do. */
export function checkFeeds(c: Case): Diagnostic[] {
  return new FeedCheck(c).run();
}

/** One feed motion of the program. */
interface Feed {
  readonly motion: number;
  /** mm/min. */
  readonly feed: number;
  readonly rpm: number;
  /** Way in X Y, along the path, mm. */
  readonly across: number;
  readonly dz: number;
  readonly length: number;
  /** Goes down more steeply than 45°, or straight down. */
  readonly plunges: boolean;
}

class FeedCheck {
  readonly #c: Case;
  readonly #units: Units;
  /** Half a step of an F word, mm/min. */
  readonly #rounding: number;
  readonly #step: number;
  /** Feed per tooth in the material, mm; null when the shared list has none. */
  readonly #chip: readonly [number, number] | null;
  /** Fastest feed across in the material, mm/min. */
  readonly #lateral: number;
  readonly #reach: Float64Array;
  /** The first finding of each code. */
  readonly #found = new Map<CheckerCode, Diagnostic>();

  constructor(c: Case) {
    const { machine, stock } = c.record;
    this.#c = c;
    this.#units = machine.units;
    this.#rounding = fromUnits(0.51, machine.controller.units);
    this.#step = gridStep(machine.controller);
    const material = c.scene.setting.board === 'fitted' ? stock.material : machine.bed.material;
    this.#chip = c.cutter?.chipLoad[material] ?? null;
    this.#lateral = fastestAcross(c);
    this.#reach = runReach(c);
  }

  run(): Diagnostic[] {
    const { trace, simulation, cutter } = this.#c;
    const { motions: m, inside, removed } = simulation;
    for (let i = 0; i < m.length; i++) {
      if (trace.kind[i] === RAPID || !isPlaced(m, i)) continue;
      if (!(trace.feed[i]! > 0)) {
        this.#add('program/feed-missing', i, 'G', 'this feed motion has no feed of its own');
        continue;
      }
      const f = this.#feedOf(i);
      this.#checkControllerLimits(f);
      if (f.length < 1e-9) continue;
      this.#checkAxes(f);
      if (inside[i] !== 1 && !(removed[i]! > 0.005)) {
        if (cutter) this.#checkInAir(f, cutter);
        continue;
      }
      if (cutter) {
        if (this.#chip && f.rpm > 0) this.#checkChipLoad(f, cutter, this.#chip);
        if (f.plunges) this.#checkPlungeFeed(f, cutter);
        this.#checkEntry(f, cutter);
        this.#checkCuttingLength(f, cutter);
      }
      this.#checkPower(f);
    }
    return [...this.#found.values()];
  }

  #add(
    code: CheckerCode,
    motion: number,
    word: string,
    message: string,
    facts?: Readonly<Record<string, number>>,
  ): void {
    if (this.#found.has(code)) return;
    const { file, trace } = this.#c;
    this.#found.set(code, report({ code, ...inFile(file, trace.line[motion]!, word), message, facts }));
  }

  #feedOf(motion: number): Feed {
    const { trace, simulation } = this.#c;
    const m = simulation.motions;
    const dx = m.toX(motion) - m.fromX(motion);
    const dy = m.toY(motion) - m.fromY(motion);
    const dz = m.toZ(motion) - m.fromZ(motion);
    let across = Math.sqrt(dx * dx + dy * dy);
    if (trace.kind[motion] === ARC) {
      const arc = resolveArc(m, motion);
      if (arc.plane === 17) across = (Math.abs(arc.sweep) * (arc.startRadius + arc.endRadius)) / 2;
    }
    const steep = across <= this.#step / 2 || Math.abs(dz) > across;
    return {
      motion,
      feed: trace.feed[motion]!,
      rpm: Math.abs(trace.rpm[motion]!),
      across,
      dz,
      length: Math.sqrt(across * across + dz * dz),
      plunges: steep && dz < -this.#step / 2,
    };
  }

  #text(feed: number): string {
    return feedText(feed, this.#units);
  }

  #checkControllerLimits({ motion, feed }: Feed): void {
    const { min, max } = this.#c.record.machine.controller.feed;
    if (feed >= min - this.#rounding && feed <= max + this.#rounding) return;
    this.#add(
      'program/feed-limit',
      motion,
      'F',
      `F is ${this.#text(feed)}, the controller takes ${this.#text(min)} to ${this.#text(max)}`,
      { found: feed, least: min, most: max },
    );
  }

  #checkAxes({ motion, feed, across, dz, length }: Feed): void {
    const { maxFeed } = this.#c.record.machine.motion;
    const xy = (feed * across) / length;
    const z = (feed * Math.abs(dz)) / length;
    if (xy <= maxFeed.xy + this.#rounding && z <= maxFeed.z + this.#rounding) return;
    this.#add(
      'program/feed-limit',
      motion,
      'F',
      `F ${this.#text(feed)} asks ${this.#text(xy)} of X Y and ${this.#text(z)} of Z, the axes run ${this.#text(maxFeed.xy)} and ${this.#text(maxFeed.z)}`,
      { xy, z },
    );
  }

  /** Outside the material a crawl does no harm, but it is nearly always a lost digit. */
  #checkInAir({ motion, feed, across, rpm }: Feed, cutter: Cutter): void {
    const crawl = this.#chip ? rpm * cutter.flutes * this.#chip[0] * RUBBING : 0;
    if (across <= this.#c.simulation.cutter.shape.radius || feed >= crawl - this.#rounding) return;
    this.#add(
      'program/feed-low',
      motion,
      'F',
      `F is ${this.#text(feed)} outside the material, below ${this.#text(crawl)} the cutter would rub`,
      { found: feed, needed: crawl },
    );
  }

  #checkChipLoad(f: Feed, cutter: Cutter, chip: readonly [number, number]): void {
    const { motion, feed, rpm, plunges } = f;
    const { plungeShare } = this.#c.record.house.feed;
    const most = rpm * cutter.flutes * chip[1];
    const least = rpm * cutter.flutes * chip[0] * RUBBING;
    if (feed > most * THINNING + this.#rounding) {
      this.#add(
        'program/feed-high',
        motion,
        'F',
        `F is ${this.#text(feed)}, ${cutter.id} takes ${this.#text(most)} at ${rpm} rpm`,
        { found: feed, allowed: most * THINNING },
      );
    }
    const radius = this.#c.simulation.cutter.shape.radius;
    const rim = feed * (plunges ? 1 : 1 + radius / Math.max(this.#reach[motion]!, 1e-3));
    if (rim < least * (plunges ? plungeShare : 1) - this.#rounding) {
      this.#add(
        'program/feed-low',
        motion,
        'F',
        `the rim feeds at ${this.#text(rim)}, ${cutter.id} rubs below about ${this.#text(least)} at ${rpm} rpm`,
        { found: feed, needed: least },
      );
    }
  }

  #checkPlungeFeed({ motion, feed, rpm }: Feed, cutter: Cutter): void {
    const { plungeShare } = this.#c.record.house.feed;
    const byChip = this.#chip && rpm > 0 ? rpm * cutter.flutes * this.#chip[1] * THINNING : Infinity;
    const base = this.#lateral > 0 ? Math.min(this.#lateral, byChip) : byChip / THINNING;
    const plunge = plungeShare * base;
    if (feed <= plunge * LENIENCE + this.#rounding) return;
    this.#add(
      'program/plunge-feed',
      motion,
      'F',
      `a plunge at ${this.#text(feed)}, allowed are ${this.#text(plunge)} (${plungeShare} of the cutting feed)`,
      { found: feed, allowed: plunge },
    );
  }

  /** Going down into material; what removes nothing goes down a finished hole and is no plunge. */
  #checkEntry({ motion, across, dz }: Feed, cutter: Cutter): void {
    if (!(dz < -this.#step / 2 && this.#c.simulation.removed[motion]! > 0.05)) return;
    if (across <= this.#step / 2) {
      if (cutter.canPlunge) return;
      this.#add(
        'program/plunge',
        motion,
        'Z',
        `${cutter.id} cannot plunge and goes straight down ${exactLength(-dz, this.#units)} into material`,
      );
      return;
    }
    if (cutter.kind === 'drill') return;
    const angle = Math.atan2(-dz, across);
    const allowed = this.#c.record.house.feed.rampAngle;
    if (angle <= allowed * LENIENCE + 1e-3) return;
    this.#add(
      'program/ramp',
      motion,
      'Z',
      `a ramp of ${degrees(angle)}°, the house allows ${degrees(allowed)}°`,
      { found: angle, allowed },
    );
  }

  #checkCuttingLength({ motion }: Feed, cutter: Cutter): void {
    const { scene, simulation, record } = this.#c;
    const m = simulation.motions;
    const [x, y] = [m.toX(motion), m.toY(motion)];
    const overBoard =
      scene.setting.board === 'fitted' &&
      scene.overBoard({ minX: x, maxX: x, minY: y, maxY: y }, cutter.diameter / 2);
    const depth = (overBoard ? scene.boardTop : 0) - Math.min(m.fromZ(motion), m.toZ(motion));
    if (depth <= cutter.cuttingLength + roundingOf(record.machine.controller)) return;
    this.#add(
      'program/cutting-length',
      motion,
      'Z',
      `the tip is ${exactLength(depth, this.#units)} below the top, ${cutter.id} cuts over ${exactLength(cutter.cuttingLength, this.#units)}`,
      { found: depth, allowed: cutter.cuttingLength },
    );
  }

  #checkPower({ motion }: Feed): void {
    const { removed, seconds } = this.#c.simulation;
    const { house, machine } = this.#c.record;
    const time = seconds[motion]!;
    if (!(time > SHORTEST)) return;
    const watts = (house.feed.specificForce * removed[motion]!) / time / 1000;
    const allowed = machine.spindle.powerKw * 1000 * house.feed.powerShare;
    if (watts <= allowed * LENIENCE) return;
    this.#add(
      'program/power',
      motion,
      'F',
      `this cut takes ${powerText(watts, machine.units)}, the spindle may give ${powerText(allowed, machine.units)}`,
      { found: watts, allowed },
    );
  }
}

/** The fastest feed of a motion across in the material, mm/min; 0 when there is none. */
function fastestAcross(c: Case): number {
  const { trace, simulation } = c;
  const { motions: m, inside } = simulation;
  const step = gridStep(c.record.machine.controller);
  let fastest = 0;
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const across = Math.abs(m.toX(i) - m.fromX(i)) + Math.abs(m.toY(i) - m.fromY(i));
    if (trace.kind[i] === ARC || across > step / 2) fastest = Math.max(fastest, trace.feed[i]!);
  }
  return fastest;
}

/**
 * For each feed motion, half the larger side of the box that its run covers in X Y; a run is what follows one another at
 * one feed. Inside a round cut it is the radius of the path, and there the rim moves faster than the centre by
 * (path radius + cutter radius) / path radius, whether the circle is written as arcs or as chords.
 */
function runReach(c: Case): Float64Array {
  const { trace, simulation } = c;
  const { motions: m } = simulation;
  const reach = new Float64Array(m.length);
  const box = emptyExtents();
  let from = 0;
  const close = (end: number): void => {
    const half = Math.max(box.maxX - box.minX, box.maxY - box.minY, 0) / 2;
    for (let k = from; k < end; k++) reach[k] = half;
    Object.assign(box, emptyExtents());
    from = end;
  };
  for (let i = 0; i < m.length; i++) {
    if (
      i > from &&
      (trace.kind[i] === RAPID || trace.kind[i - 1] === RAPID || trace.feed[i] !== trace.feed[i - 1])
    )
      close(i);
    if (isPlaced(m, i)) motionExtents(m, i, box);
  }
  close(m.length);
  return reach;
}

function degrees(radians: number): string {
  return fixed((radians * 180) / Math.PI, 2);
}
