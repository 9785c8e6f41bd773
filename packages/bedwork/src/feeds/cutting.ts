import { feedText, figure, powerText, shortLength, tinyLength } from '@bedledger/diagnostics';
import type { Cutter, House, Machine } from '@bedledger/fleet';
import type { FeedsCode } from '../rules/index.ts';
import { rimSpeed, speedCap } from './speed-limits.ts';

/** What the cutter is asked to do, mm. */
export interface Engagement {
  /** Radial width of cut. */
  readonly width: number;
  /** Axial depth of cut. */
  readonly depth: number;
  /** Diameter of the cutter where it cuts, for a cone that cuts with a part of its flank; left out: its own. */
  readonly across?: number;
}

/** One limit that changed a figure, named so that a person can argue with it. */
export interface Clamp {
  readonly limit:
    | 'spindle-most'
    | 'spindle-least'
    | 'speed-codes'
    | 'cutter-mark'
    | 'diameter-chart'
    | 'rim-speed'
    | 'axis-feed'
    | 'controller-feed'
    | 'power'
    | 'chip-thinning'
    | 'depth'
    | 'chip-load-least'
    | 'material'
    | 'flank';
  readonly on: 'rpm' | 'feed' | 'chip-load';
  readonly from: number;
  readonly to: number;
  readonly why: string;
}

/** A figure that could not be kept, with its rule. */
export interface Trouble {
  readonly code: FeedsCode;
  readonly text: string;
}

export interface Cutting {
  readonly rpm: number;
  /** mm/min along the path. */
  readonly feed: number;
  /** mm/min straight or steeply down. */
  readonly plungeFeed: number;
  /** mm a tooth as fed, and the thickness of the chip after thinning. */
  readonly chipLoad: number;
  readonly chipThickness: number;
  /** mm³/s, W, N, m/s. */
  readonly removal: number;
  readonly power: number;
  readonly powerShare: number;
  readonly tangentialForce: number;
  readonly rimSpeed: number;
  readonly clamps: readonly Clamp[];
  /** Sentences about what could not be kept; empty when all is well. */
  readonly troubles: readonly Trouble[];
}

/** Width of cut over which the chip is as thick as the feed a tooth: half the diameter and more. */
const THINNING_MOST = 2;

/**
 * Factor by which the feed a tooth may grow at a low width of cut so that the chip keeps its thickness:
 * D / (2·√(a_e·(D − a_e))) for a_e < D/2, else 1 (derived: thickness at the greatest engagement angle is f_z·sin φ).
 */
export function thinningFactor(diameter: number, width: number): number {
  if (!(diameter > 0) || !(width > 0)) {
    throw new RangeError(`diameter and width of cut must be greater than 0 mm, found ${diameter}, ${width}`);
  }
  if (width >= diameter / 2) return 1;
  return diameter / (2 * Math.sqrt(width * (diameter - width)));
}

/**
 * Share of the chip load left at a depth of cut: full to one diameter, three quarters at two, half at three and below
 * (common practice, no source).
 */
export function depthShare(diameter: number, depth: number): number {
  const ratio = depth / diameter;
  if (ratio <= 1) return 1;
  if (ratio >= 3) return 0.5;
  return 1 - 0.25 * (ratio - 1);
}

/** Cutting power in W: K_s [N/mm²] × removal [mm³/s] / 1000. */
export function cuttingPower(specificForce: number, removal: number): number {
  return (specificForce * removal) / 1000;
}

/** Feed in mm/min: rpm × teeth × mm a tooth. */
export function feedRate(rpm: number, flutes: number, chipLoad: number): number {
  return rpm * flutes * chipLoad;
}

/** One cutter at one cut on one machine, and what stood in its way so far. */
interface CuttingCase {
  readonly cutter: Cutter;
  readonly material: string;
  /** mm; the width is at most the diameter where it cuts. */
  readonly engagement: Required<Engagement>;
  readonly machine: Machine;
  readonly house: House;
  readonly clamps: Clamp[];
  readonly troubles: Trouble[];
}

/**
 * Speed and feed of a cutter for one engagement within spindle, axis, controller, rim-speed and power limits. Every
 * limit that ruled is in `clamps`, in the order it was met.
 *
 * @param material - key of the cutter's chip loads, e.g. `mdf`; when it has none, the lowest load of any material is
 *   halved and this is a clamp and a trouble of its own.
 */
export function cuttingFor(
  cutter: Cutter,
  material: string,
  engagement: Engagement,
  machine: Machine,
  house: House,
): Cutting {
  const across = engagement.across ?? cutter.diameter;
  const width = Math.min(engagement.width, across);
  const one: CuttingCase = {
    cutter,
    material,
    engagement: { width, depth: engagement.depth, across },
    machine,
    house,
    clamps: [],
    troubles: [],
  };
  const fastest = highestSpeed(one);
  const loads = chipLoads(one);
  // What is written is whole: down, so that no limit is passed.
  const wanted = highestFeed(one, feedRate(fastest, cutter.flutes, loads.wanted));
  const rpm = Math.round(speedForLeastLoad(one, fastest, wanted, loads.least));
  const feed = Math.max(1, Math.floor(wanted));
  const chipLoad = feed / (rpm * cutter.flutes);
  const removal = (width * engagement.depth * feed) / 60;
  const power = cuttingPower(house.feed.specificForce, removal);
  const speed = rimSpeed(across, rpm);
  return {
    rpm,
    feed,
    plungeFeed: Math.max(1, Math.floor(Math.min(feed * house.feed.plungeShare, machine.motion.maxFeed.z))),
    chipLoad,
    chipThickness: chipLoad / loads.thinning,
    removal,
    power,
    powerShare: power / (machine.spindle.powerKw * 1000),
    tangentialForce: speed > 0 ? power / speed : 0,
    rimSpeed: speed,
    clamps: one.clamps,
    troubles: one.troubles,
  };
}

/** Takes the new figure, and notes what changed it. */
function clamp(one: CuttingCase, change: Clamp): number {
  if (change.to !== change.from) one.clamps.push(change);
  return change.to;
}

/** As fast as spindle, mark and chart allow, and the controller has a code for; rpm. */
function highestSpeed(one: CuttingCase): number {
  const { cutter, machine } = one;
  const [least, most] = machine.spindle.rpm;
  const cap = speedCap(cutter.diameter, cutter.maxRpm);
  let rpm = most;
  if (cap.rpm < rpm) {
    const why = {
      'cutter-mark': `marked on the cutter: at most ${cap.rpm} rpm`,
      'diameter-chart': `speed chart: a cutter of ${shortLength(cutter.diameter, machine.units)} turns at most ${cap.rpm} rpm`,
      'rim-speed': `rim speed of the chart's last row: at most ${cap.rpm} rpm`,
    }[cap.by];
    rpm = clamp(one, { limit: cap.by, on: 'rpm', from: rpm, to: cap.rpm, why });
  }
  if (rpm < least) {
    one.troubles.push({
      code: 'feeds/too-fast',
      text: `cutter ${cutter.id} may turn at most ${cap.rpm} rpm and the spindle's least is ${least} rpm`,
    });
    const why = `the spindle's least speed is ${least} rpm`;
    rpm = clamp(one, { limit: 'spindle-least', on: 'rpm', from: rpm, to: least, why });
  }
  return codedSpeed(one, rpm, 'down');
}

/**
 * A controller that calls speeds by codes has only those: the next one below, so that no limit is passed, or the next one
 * above where the speed comes down from one that was below every limit. Rpm.
 */
function codedSpeed(one: CuttingCase, wanted: number, way: 'down' | 'up'): number {
  const { cutter, machine } = one;
  if (machine.controller.spindle.codes === undefined) return wanted;
  const [least, most] = machine.spindle.rpm;
  const speeds = machine.controller.spindle.codes
    .map((code) => code.rpm)
    .filter((rpm) => rpm >= least && rpm <= most)
    .sort((a, b) => a - b);
  const found =
    way === 'down' ? speeds.findLast((rpm) => rpm <= wanted) : speeds.find((rpm) => rpm >= wanted);
  if (found !== undefined) {
    const why = `the controller has a code for ${found} rpm`;
    return clamp(one, { limit: 'speed-codes', on: 'rpm', from: wanted, to: found, why });
  }
  if (way === 'down') {
    one.troubles.push({
      code: 'feeds/no-speed-code',
      text: `cutter ${cutter.id} may turn at most ${Math.round(wanted)} rpm, and the controller's codes within the spindle's range give ${speeds.length === 0 ? 'no speed' : `${speeds.join(', ')} rpm`}`,
    });
  }
  return wanted;
}

/**
 * Feed a tooth, mm: the middle of the cutter's range, thickened for a narrow cut, thinned for a deep one; and the least
 * that still cuts. `thinning` is the factor of the narrow cut.
 */
function chipLoads(one: CuttingCase): {
  readonly wanted: number;
  readonly least: number;
  readonly thinning: number;
} {
  const { cutter, engagement, machine } = one;
  const { units } = machine;
  const [lowest, highest] = chipRange(one);
  let wanted = (lowest + highest) / 2;
  // Cutters of one make take chips in proportion to their diameter (common practice, no source), and so does a cone.
  const flank = engagement.across / cutter.diameter;
  if (flank < 1) {
    const why = `the cone cuts where it is ${shortLength(engagement.across, units)} across: × ${figure(flank)}`;
    wanted = clamp(one, { limit: 'flank', on: 'chip-load', from: wanted, to: wanted * flank, why });
  }
  const thinning = Math.min(thinningFactor(engagement.across, engagement.width), THINNING_MOST);
  if (thinning > 1) {
    const why = `a cut ${shortLength(engagement.width, units)} wide thins the chip: feed a tooth × ${figure(thinning)}`;
    wanted = clamp(one, {
      limit: 'chip-thinning',
      on: 'chip-load',
      from: wanted,
      to: wanted * thinning,
      why,
    });
  }
  const share = depthShare(engagement.across, engagement.depth);
  if (share < 1) {
    const why = `a cut ${shortLength(engagement.depth, units)} deep with a cutter of ${shortLength(engagement.across, units)}: × ${figure(share)}`;
    wanted = clamp(one, { limit: 'depth', on: 'chip-load', from: wanted, to: wanted * share, why });
  }
  return { wanted, least: lowest * flank * thinning * share, thinning };
}

/** The feed within what axes, controller and spindle can do, mm/min. */
function highestFeed(one: CuttingCase, wanted: number): number {
  const { engagement, machine, house } = one;
  const { units } = machine;
  const axis = machine.motion.maxFeed.xy;
  const control = machine.controller.feed.max > 0 ? machine.controller.feed.max : Number.POSITIVE_INFINITY;
  const watts = machine.spindle.powerKw * 1000 * house.feed.powerShare;
  const section = engagement.width * engagement.depth;
  const power = (watts * 1000 * 60) / (house.feed.specificForce * section);
  const limits: readonly (readonly [Clamp['limit'], number, string])[] = [
    ['axis-feed', axis, `the axes feed at most ${feedText(axis, units)}`],
    ['controller-feed', control, `the controller reads at most ${feedText(control, units)}`],
    ['power', power, `${powerText(watts, units)} of the spindle may be used`],
  ];
  let feed = wanted;
  for (const [limit, most, why] of limits) {
    if (feed > most) feed = clamp(one, { limit, on: 'feed', from: feed, to: most, why });
  }
  return feed;
}

/** A feed held back makes dust instead of chips: the spindle is slowed down to keep the least chip load. Rpm. */
function speedForLeastLoad(one: CuttingCase, rpm: number, feed: number, least: number): number {
  const { cutter, machine } = one;
  const { units } = machine;
  if (!(feed < feedRate(rpm, cutter.flutes, least))) return rpm;
  const slower = Math.max(machine.spindle.rpm[0], feed / (cutter.flutes * least));
  const to = Math.min(rpm, codedSpeed(one, Math.round(slower), 'up'));
  const why = `slower, so that a tooth still takes ${tinyLength(least, units)}`;
  clamp(one, { limit: 'chip-load-least', on: 'rpm', from: rpm, to, why });
  const taken = feed / (to * cutter.flutes);
  if (taken < least * 0.99) {
    one.troubles.push({
      code: 'feeds/rubs',
      text: `cutter ${cutter.id} takes ${tinyLength(taken, units)} a tooth and wants ${tinyLength(least, units)}: it will rub and burn`,
    });
  }
  return to;
}

/** Least and greatest feed a tooth of the cutter in the material, mm. */
function chipRange(one: CuttingCase): readonly [number, number] {
  const { cutter, material, machine } = one;
  const key = materialKey(cutter, material);
  if (key !== null) return cutter.chipLoad[key]!;
  const known = Object.entries(cutter.chipLoad).sort(([a, x], [b, y]) => x[0] - y[0] || (a < b ? -1 : 1))[0];
  if (!known) {
    one.troubles.push({
      code: 'feeds/no-chip-load',
      text: `cutter ${cutter.id} has no chip load for any material, ${material} neither`,
    });
    return [0.01, 0.01];
  }
  const [other, [lowest]] = known;
  const half = lowest / 2;
  one.clamps.push({
    limit: 'material',
    on: 'chip-load',
    from: lowest,
    to: half,
    why: `no chip load for ${material}: half of the least for ${other}`,
  });
  one.troubles.push({
    code: 'feeds/chip-load-guessed',
    text: `cutter ${cutter.id} has no chip load for ${material}; half of the least for ${other} is used (${tinyLength(half, machine.units)} a tooth)`,
  });
  return [half, half];
}

/**
 * The chip load that belongs to a material: its own name, else the longest name that stands in the material's text as a
 * whole word (`phenolic` in `phenolic laminate`). Null when none does.
 */
function materialKey(cutter: Cutter, material: string): string | null {
  const words = ` ${material.toLowerCase().replace(/[^a-z0-9]+/g, ' ')} `;
  let best: string | null = null;
  for (const key of Object.keys(cutter.chipLoad).sort()) {
    if (key === material) return key;
    if (!words.includes(` ${key.toLowerCase()} `)) continue;
    if (best === null || key.length > best.length) best = key;
  }
  return best;
}
