import type { Machine } from '../model/machine.ts';
import type { Fault } from './fault.ts';
import { FaultList, show } from './report.ts';

/** No router of this kind is larger, mm, or smaller. */
const LARGEST = 20_000;
const SMALLEST = 100;

/** Atmosphere at a height above sea level, Pa: US Standard Atmosphere 1976 / ISO 2533, below 11 km. */
export function atmosphere(metres: number): number {
  const h = (6_356_766 * metres) / (6_356_766 + metres);
  return 101_325 * Math.exp(5.25588 * Math.log(1 - (0.0065 * h) / 288.15));
}

/**
 * A whole profile in the wrong unit is one mistake, not thirty: travel of a hand's width, or of a street, on both axes.
 */
export function unitsFault(machine: Machine): Fault | null {
  const { x, y } = machine.travel;
  const spans = [x[1] - x[0], y[1] - y[0]];
  const small = spans.every((s) => s > 0 && s < 2 * SMALLEST);
  const large = spans.every((s) => s > LARGEST);
  if (!small && !large) return null;
  const size = spans.map((s) => show(s, machine.units)).join(' × ');
  return {
    word: 'wrong-units',
    path: ['units'],
    message: `the travel is ${size}, which no router has: the numbers are not ${machine.units}`,
    help: `write \`units: ${machine.units === 'mm' ? 'in' : 'mm'}\`, or correct the numbers`,
    related: { path: ['travel'], message: 'the travel' },
  };
}

/** Travel, speeds, spindle, controller against machine: what the machine can do at all. */
export function motionFaults(machine: Machine): Fault[] {
  const out = new FaultList();
  const { travel, motion, spindle, controller, units, datum } = machine;

  const sound = { x: true, y: true, z: true };
  for (const axis of ['x', 'y', 'z'] as const) {
    const [low, high] = travel[axis];
    if (low >= high) {
      sound[axis] = false;
      out.stop(
        'range-reversed',
        ['travel', axis],
        `travel along ${axis.toUpperCase()} runs from ${show(low, units)} to ${show(high, units)}, expected the least first`,
        'exchange the two numbers',
      );
    } else if (high - low > LARGEST) {
      sound[axis] = false;
      out.stop(
        'not-plausible',
        ['travel', axis],
        `travel along ${axis.toUpperCase()} is ${show(high - low, units)}, more than 20 m`,
        'check the units of the file',
      );
    } else if (axis !== 'z' && high - low < SMALLEST) {
      out.stop(
        'not-plausible',
        ['travel', axis],
        `travel along ${axis.toUpperCase()} is only ${show(high - low, units)}`,
        'check the units of the file',
      );
    }
  }

  const reach = (p: readonly [number, number]) =>
    (!sound.x || (p[0] >= travel.x[0] && p[0] <= travel.x[1])) &&
    (!sound.y || (p[1] >= travel.y[0] && p[1] <= travel.y[1]));
  const place = (p: readonly [number, number]) => `${show(p[0], units)}, ${show(p[1], units)}`;
  const box = `X ${show(travel.x[0], units)} to ${show(travel.x[1], units)}, Y ${show(travel.y[0], units)} to ${show(travel.y[1], units)}`;
  for (const key of ['mark', 'second'] as const) {
    if (!reach(datum[key])) {
      out.stop(
        'mark-unreachable',
        ['datum', key],
        `the spindle cannot reach the datum mark at ${place(datum[key])}: travel is ${box}`,
        'correct the travel, or choose another place for the mark',
        { related: { path: ['travel'], message: 'the travel' } },
      );
    }
  }
  const dx = datum.second[0] - datum.mark[0];
  const dy = datum.second[1] - datum.mark[1];
  const apart = Math.sqrt(dx * dx + dy * dy);
  if (apart < 50) {
    out.stop(
      'marks-too-close',
      ['datum', 'second'],
      `the two datum marks are ${show(apart, units)} apart and cannot give a direction`,
      'put the second mark as far from the first as the bed allows',
    );
  } else if (sound.x && apart < 300 && travel.x[1] - travel.x[0] > 900) {
    out.warn(
      'marks-too-close',
      ['datum', 'second'],
      `the two datum marks are only ${show(apart, units)} apart`,
      'the farther apart, the truer the direction',
    );
  }
  if (datum.made === 'cut' && datum.depth > machine.bed.cutLimit) {
    out.stop(
      'mark-too-deep',
      ['datum', 'depth'],
      `the datum marks are cut ${show(datum.depth, units)} deep, but the cut limit of the bed is ${show(machine.bed.cutLimit, units)}`,
      'cut them shallower',
    );
  }
  if (!reach(machine.park)) {
    out.stop(
      'park-unreachable',
      ['park'],
      `the spindle cannot park at ${place(machine.park)}: travel is ${box}`,
      'choose a place inside the travel',
      { related: { path: ['travel'], message: 'the travel' } },
    );
  }
  if (sound.z) {
    if (machine.clearHeight > travel.z[1]) {
      out.stop(
        'clear-height',
        ['clear_height'],
        `the clear height ${show(machine.clearHeight, units)} is above the travel of Z, ${show(travel.z[1], units)}`,
        'lower it, or correct the travel',
        { related: { path: ['travel', 'z'], message: 'the travel of Z' } },
      );
    }
    if (travel.z[0] > 0) {
      out.stop(
        'bed-unreachable',
        ['travel', 'z'],
        `the cutter tip stays ${show(travel.z[0], units)} above the bed surface`,
        'Z 0 is the bed surface: correct the travel',
      );
    } else if (-travel.z[0] < machine.bed.cutLimit) {
      out.warn(
        'bed-unreachable',
        ['travel', 'z', 0],
        `the cutter tip reaches ${show(-travel.z[0], units)} below the bed surface, less than the cut limit ${show(machine.bed.cutLimit, units)}`,
        'correct the travel, or lower the cut limit',
      );
    }
  }

  const slowest = Math.min(motion.rapid.x, motion.rapid.y);
  if (motion.maxFeed.xy > slowest) {
    out.stop(
      'feed-above-rapid',
      ['motion', 'max_feed', 'xy'],
      `the largest feed ${Math.round(motion.maxFeed.xy)} mm/min is above the rapid, ${Math.round(slowest)} mm/min`,
      'correct one of them',
    );
  }
  if (motion.maxFeed.z > motion.rapid.z) {
    out.stop(
      'feed-above-rapid',
      ['motion', 'max_feed', 'z'],
      `the largest feed of Z ${Math.round(motion.maxFeed.z)} mm/min is above its rapid, ${Math.round(motion.rapid.z)} mm/min`,
      'correct one of them',
    );
  }
  for (const [key, value] of [
    ['x', motion.rapid.x],
    ['y', motion.rapid.y],
    ['z', motion.rapid.z],
  ] as const) {
    if (value > 200_000 || value < 100) {
      out.stop(
        'not-plausible',
        ['motion', 'rapid'],
        `a rapid of ${Math.round(value)} mm/min along ${key.toUpperCase()} is not plausible, expected 100 to 200000`,
        'check the unit',
      );
      break;
    }
  }
  for (const key of ['xy', 'z'] as const) {
    const a = motion.acceleration[key];
    if (a < 1 || a > 50_000) {
      out.stop(
        'not-plausible',
        ['motion', 'acceleration', key],
        `an acceleration of ${a.toPrecision(4)} mm/s2 is not plausible, expected 1 to 50000`,
        'check the unit',
      );
    }
  }

  if (spindle.rpm[0] > spindle.rpm[1]) {
    out.stop(
      'range-reversed',
      ['spindle', 'rpm'],
      `the speed range runs from ${spindle.rpm[0]} to ${spindle.rpm[1]} rpm, expected the least first`,
      'exchange the two numbers',
    );
  }
  if (spindle.spinUp === 0 && controller.spindle.start === 'dwell') {
    out.warn(
      'no-spin-up',
      ['spindle', 'spin_up_s'],
      'the cutter goes into the cut without waiting for the spindle',
      'give the seconds it needs, or write `controller: { spindle: { start: at-speed } }`',
    );
  }

  const factor = controller.units === 'mm' ? 1 : 25.4;
  const farthest =
    Math.max(
      ...(['x', 'y', 'z'] as const).map((a) => Math.max(Math.abs(travel[a][0]), Math.abs(travel[a][1]))),
    ) / factor;
  if (farthest < 1e6 && farthest >= 10 ** controller.numbers.xyz.integers) {
    out.stop(
      'controller',
      ['controller', 'numbers', 'xyz'],
      `positions up to ${farthest.toFixed(1)} ${controller.units} need more than the ${controller.numbers.xyz.integers} digits before the point that the controller has`,
      'raise `numbers.xyz.integers` if the controller takes more',
    );
  }
  if (datum.workOffset > 1 && controller.workOffset === 'none') {
    out.stop(
      'controller',
      ['datum', 'work_offset'],
      `work offset ${datum.workOffset} is wanted, but the controller has no word that selects one`,
      'leave `work_offset` out, or give `controller: { work_offset: G54-G59.3 }`',
    );
  } else if (datum.workOffset > 6 && controller.dialect !== 'rs274ngc') {
    out.stop(
      'controller',
      ['datum', 'work_offset'],
      `${controller.dialect} has work offsets 1 to 6 (G54 to G59), found ${datum.workOffset}`,
      'choose one of them',
    );
  }

  const { altitude, gauge } = machine.vacuum;
  if (altitude < -450 || altitude > 5000) {
    out.stop(
      'not-plausible',
      ['vacuum', 'altitude'],
      `a height of ${altitude.toFixed(0)} m above the sea is not plausible`,
      'write it with its unit, for example `40 m`',
    );
  } else if (gauge >= atmosphere(altitude)) {
    out.stop(
      'not-plausible',
      ['vacuum', 'gauge'],
      `a gauge reading of ${Math.round(gauge)} Pa is more than the whole atmosphere at that height, ${Math.round(atmosphere(altitude))} Pa`,
      'correct the reading or its unit',
    );
  }
  if (machine.tram) {
    for (const axis of ['x', 'y'] as const) {
      if (Math.abs(machine.tram[axis]) > 0.0175) {
        out.stop(
          'not-plausible',
          ['tram', axis],
          `a spindle that leans ${((machine.tram[axis] * 180) / Math.PI).toFixed(2)} degrees along ${axis.toUpperCase()} is not plausible, expected 1 at most`,
          'check reading and distance',
        );
      }
    }
  }
  return out.faults;
}
