import { feedText, figure, shortLength, tinyLength, type Units } from '@bedledger/diagnostics';
import type { Cutter, House, Machine } from '@bedledger/fleet';
import type { FeedsCode } from '../rules/index.ts';
import { rimSpeed, speedCap } from './speed-limits.ts';

/** What the cutter is asked to do, mm. */
export interface Engagement {
  /** Radial width of cut. */
  readonly width: number;
  /** Axial depth of cut. */
  readonly depth: number;
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
    | 'material';
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
  const { units } = machine;
  const clamps: Clamp[] = [];
  const troubles: Trouble[] = [];
  const clamp = (limit: Clamp['limit'], on: Clamp['on'], from: number, to: number, why: string): number => {
    if (to !== from) clamps.push({ limit, on, from, to, why });
    return to;
  };

  // A controller that calls speeds by codes has only those: the next one below, so that no limit is passed.
  const codes = (machine.controller.spindle.codes ?? [])
    .map((c) => c.rpm)
    .filter((r) => r >= machine.spindle.rpm[0] && r <= machine.spindle.rpm[1])
    .sort((a, b) => a - b);
  const byCode = (wanted: number, way: 'down' | 'up'): number => {
    if (machine.controller.spindle.codes === undefined) return wanted;
    const found = way === 'down' ? codes.filter((r) => r <= wanted).at(-1) : codes.find((r) => r >= wanted);
    if (found === undefined) {
      if (way === 'down') {
        troubles.push({
          code: 'feeds/no-speed-code',
          text: `cutter ${cutter.id} may turn at most ${Math.round(wanted)} rpm, and the controller's codes within the spindle's range give ${codes.length === 0 ? 'no speed' : `${codes.join(', ')} rpm`}`,
        });
      }
      return wanted;
    }
    return clamp('speed-codes', 'rpm', wanted, found, `the controller has a code for ${found} rpm`);
  };

  // Speed: as fast as spindle, mark and chart allow.
  const [least, most] = machine.spindle.rpm;
  const cap = speedCap(cutter.diameter, cutter.maxRpm);
  let rpm = most;
  if (cap.rpm < rpm) {
    const why =
      cap.by === 'cutter-mark'
        ? `marked on the cutter: at most ${cap.rpm} rpm`
        : cap.by === 'diameter-chart'
          ? `speed chart: a cutter of ${shortLength(cutter.diameter, units)} turns at most ${cap.rpm} rpm`
          : `rim speed of the chart's last row: at most ${cap.rpm} rpm`;
    rpm = clamp(cap.by, 'rpm', rpm, cap.rpm, why);
  }
  if (rpm < least) {
    troubles.push({
      code: 'feeds/too-fast',
      text: `cutter ${cutter.id} may turn at most ${cap.rpm} rpm and the spindle's least is ${least} rpm`,
    });
    rpm = clamp('spindle-least', 'rpm', rpm, least, `the spindle's least speed is ${least} rpm`);
  }

  rpm = byCode(rpm, 'down');

  // Chip load: the middle of the range, thickened for a narrow cut, thinned for a deep one.
  const range = chipRange(cutter, material, machine.units, clamps, troubles);
  const [lowest, highest] = range;
  let load = (lowest + highest) / 2;
  const width = Math.min(engagement.width, cutter.diameter);
  const factor = Math.min(thinningFactor(cutter.diameter, width), THINNING_MOST);
  if (factor > 1) {
    load = clamp(
      'chip-thinning',
      'chip-load',
      load,
      load * factor,
      `a cut ${shortLength(width, units)} wide thins the chip: feed a tooth × ${figure(factor)}`,
    );
  }
  const share = depthShare(cutter.diameter, engagement.depth);
  if (share < 1) {
    load = clamp(
      'depth',
      'chip-load',
      load,
      load * share,
      `a cut ${shortLength(engagement.depth, units)} deep with a cutter of ${shortLength(cutter.diameter, units)}: × ${figure(share)}`,
    );
  }

  // Feed: axis, controller, power.
  let feed = feedRate(rpm, cutter.flutes, load);
  const axis = machine.motion.maxFeed.xy;
  if (feed > axis)
    feed = clamp('axis-feed', 'feed', feed, axis, `the axes feed at most ${feedText(axis, units)}`);
  const control = machine.controller.feed.max;
  if (control > 0 && feed > control) {
    feed = clamp(
      'controller-feed',
      'feed',
      feed,
      control,
      `the controller reads at most ${feedText(control, units)}`,
    );
  }
  const watts = machine.spindle.powerKw * 1000 * house.feed.powerShare;
  const section = width * engagement.depth;
  const powerFeed = (watts * 1000 * 60) / (house.feed.specificForce * section);
  if (feed > powerFeed) {
    feed = clamp('power', 'feed', feed, powerFeed, `${figure(watts)} W of the spindle may be used`);
  }

  // A feed held back makes dust instead of chips: slow the spindle down to keep the least chip load.
  const leastLoad = lowest * factor * share;
  if (feed < feedRate(rpm, cutter.flutes, leastLoad)) {
    const slower = Math.max(least, feed / (cutter.flutes * leastLoad));
    rpm = clamp(
      'chip-load-least',
      'rpm',
      rpm,
      // Of coded speeds the next one above: it was below every limit a moment ago.
      Math.min(rpm, byCode(Math.round(slower), 'up')),
      `slower, so that a tooth still takes ${tinyLength(leastLoad, units)}`,
    );
    if (feed / (rpm * cutter.flutes) < leastLoad * 0.99) {
      troubles.push({
        code: 'feeds/rubs',
        text: `cutter ${cutter.id} takes ${tinyLength(feed / (rpm * cutter.flutes), units)} a tooth and wants ${tinyLength(leastLoad, units)}: it will rub and burn`,
      });
    }
  }

  // What is written is whole: down, so that no limit is passed.
  rpm = Math.round(rpm);
  feed = Math.max(1, Math.floor(feed));
  const chipLoad = feed / (rpm * cutter.flutes);
  const removal = (section * feed) / 60;
  const power = cuttingPower(house.feed.specificForce, removal);
  const speed = rimSpeed(cutter.diameter, rpm);
  const plungeFeed = Math.max(
    1,
    Math.floor(Math.min(feed * house.feed.plungeShare, machine.motion.maxFeed.z)),
  );
  return {
    rpm,
    feed,
    plungeFeed,
    chipLoad,
    chipThickness: chipLoad / factor,
    removal,
    power,
    powerShare: power / (machine.spindle.powerKw * 1000),
    tangentialForce: speed > 0 ? power / speed : 0,
    rimSpeed: speed,
    clamps,
    troubles,
  };
}

function chipRange(
  cutter: Cutter,
  material: string,
  units: Units,
  clamps: Clamp[],
  troubles: Trouble[],
): readonly [number, number] {
  const key = materialKey(cutter, material);
  if (key !== null) return cutter.chipLoad[key]!;
  const known = Object.entries(cutter.chipLoad).sort(([a, x], [b, y]) => x[0] - y[0] || (a < b ? -1 : 1))[0];
  if (!known) {
    troubles.push({
      code: 'feeds/no-chip-load',
      text: `cutter ${cutter.id} has no chip load for any material, ${material} neither`,
    });
    return [0.01, 0.01];
  }
  const half = known[1][0] / 2;
  clamps.push({
    limit: 'material',
    on: 'chip-load',
    from: known[1][0],
    to: half,
    why: `no chip load for ${material}: half of the least for ${known[0]}`,
  });
  troubles.push({
    code: 'feeds/chip-load-guessed',
    text: `cutter ${cutter.id} has no chip load for ${material}; half of the least for ${known[0]} is used (${tinyLength(half, units)} a tooth)`,
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
