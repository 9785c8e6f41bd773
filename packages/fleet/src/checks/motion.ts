import {
  accelerationText,
  feedText,
  fixed,
  inUnits,
  placeText,
  powerOfTen,
  pressureText,
  wayText,
  writtenLength,
} from '@bedledger/diagnostics';
import { distance, type Point } from '@bedledger/geometry';
import type { Machine, Range } from '../model/machine.ts';
import { type Findings, type Locator, relatedTo, report } from '../report.ts';
import { LARGEST } from './far-lengths.ts';

const AXES = ['x', 'y', 'z'] as const;

/** No router of this kind is smaller, mm. */
const SMALLEST = 100;
/** Rapids of routers, mm/min, and accelerations, mm/s², with room. */
const RAPIDS: Range = [100, 200_000];
const ACCELERATIONS: Range = [1, 50_000];
/** Heights of workshops above the sea, mm. */
const ALTITUDES: Range = [-450_000, 5_000_000];
/** Marks closer than this give no direction; on a machine longer than the last figure, closer than the second is poor. mm. */
const MARKS_APART = { least: 50, good: 300, longMachine: 900 };
/** Greatest lean of a spindle that somebody would still run, radians: one degree. */
const STEEPEST = 0.0175;

/** Atmosphere at a height above sea level, Pa: US Standard Atmosphere 1976 / ISO 2533, below 11 km. */
export function atmosphere(metres: number): number {
  const h = (6_356_766 * metres) / (6_356_766 + metres);
  return 101_325 * Math.exp(5.25588 * Math.log(1 - (0.0065 * h) / 288.15));
}

/** Does `travel` span both X and Y of no router: a hand's width, or a street? Then the whole profile is in the wrong unit. */
export function inWrongUnits({ travel }: Machine): boolean {
  const spans = [travel.x, travel.y].map(([low, high]) => high - low);
  return spans.every((s) => s > 0 && s < 2 * SMALLEST) || spans.every((s) => s > LARGEST);
}

/** A whole profile in the wrong unit is one mistake, not thirty. */
export function* unitsFinding({ travel, units }: Machine, at: Locator): Findings {
  const size = [travel.x, travel.y].map(([low, high]) => writtenLength(high - low, units)).join(' × ');
  yield report({
    code: 'profile/wrong-units',
    ...at(['units']),
    related: relatedTo(at(['travel']), 'the travel'),
    message: `the travel is ${size}, which no router has: the numbers are not ${units}`,
    help: `write \`units: ${units === 'mm' ? 'in' : 'mm'}\`, or correct the numbers`,
  });
}

/** Travel, speeds, spindle, controller against machine: what the machine can do at all. */
export function* motionFindings(machine: Machine, at: Locator): Findings {
  yield* travelRanges(machine, at);
  yield* withinTravel(machine, at);
  yield* marksApart(machine, at);
  yield* heights(machine, at);
  yield* home(machine, at);
  yield* speeds(machine, at);
  yield* spindle(machine, at);
  yield* controllerFits(machine, at);
  yield* vacuum(machine, at);
  yield* tram(machine, at);
}

/** Is this range of travel one that positions can be held against? */
function sound([low, high]: Range): boolean {
  return low < high && high - low <= LARGEST;
}

function* travelRanges({ travel, units }: Machine, at: Locator): Findings {
  for (const axis of AXES) {
    const [low, high] = travel[axis];
    const along = `travel along ${axis.toUpperCase()}`;
    const span = writtenLength(high - low, units);
    if (low >= high) {
      yield report({
        code: 'profile/range-reversed',
        ...at(['travel', axis]),
        message: `${along} runs from ${writtenLength(low, units)} to ${writtenLength(high, units)}, expected the least first`,
      });
    } else if (high - low > LARGEST || (axis !== 'z' && high - low < SMALLEST)) {
      const much = high - low > LARGEST;
      yield report({
        code: 'profile/not-plausible',
        ...at(['travel', axis]),
        message: `${along} is ${much ? `${span}, more than ${wayText(LARGEST, units)}` : `only ${span}`}`,
        help: 'check the units of the file',
      });
    }
  }
}

function reach({ travel }: Machine, p: Point): boolean {
  const within = (range: Range, v: number) => !sound(range) || (v >= range[0] && v <= range[1]);
  return within(travel.x, p[0]) && within(travel.y, p[1]);
}

function* withinTravel(machine: Machine, at: Locator): Findings {
  const { travel, datum, units } = machine;
  const range = ([low, high]: Range) => `${writtenLength(low, units)} to ${writtenLength(high, units)}`;
  const box = `X ${range(travel.x)}, Y ${range(travel.y)}`;
  const related = relatedTo(at(['travel']), 'the travel');
  for (const key of ['mark', 'second'] as const) {
    if (reach(machine, datum[key])) continue;
    yield report({
      code: 'profile/mark-unreachable',
      ...at(['datum', key]),
      related,
      message: `the spindle cannot reach the datum mark at ${placeText(datum[key], units)}: travel is ${box}`,
    });
  }
  if (!reach(machine, machine.park)) {
    yield report({
      code: 'profile/park-unreachable',
      ...at(['park']),
      related,
      message: `the spindle cannot park at ${placeText(machine.park, units)}: travel is ${box}`,
    });
  }
}

function* marksApart({ datum, travel, bed, units }: Machine, at: Locator): Findings {
  const apart = distance(datum.mark, datum.second);
  const long = sound(travel.x) && travel.x[1] - travel.x[0] > MARKS_APART.longMachine;
  if (apart < MARKS_APART.least) {
    yield report({
      code: 'profile/marks-too-close',
      ...at(['datum', 'second']),
      message: `the two datum marks are ${writtenLength(apart, units)} apart and cannot give a direction`,
    });
  } else if (apart < MARKS_APART.good && long) {
    yield report({
      code: 'profile/marks-too-close',
      severity: 'warn',
      ...at(['datum', 'second']),
      message: `the two datum marks are only ${writtenLength(apart, units)} apart`,
      help: 'the farther apart, the truer the direction',
    });
  }
  if (datum.made === 'cut' && datum.depth > bed.cutLimit) {
    yield report({
      code: 'profile/mark-too-deep',
      ...at(['datum', 'depth']),
      message: `the datum marks are cut ${writtenLength(datum.depth, units)} deep, but the cut limit of the bed is ${writtenLength(bed.cutLimit, units)}`,
    });
  }
}

function* heights({ travel, clearHeight, bed, units }: Machine, at: Locator): Findings {
  if (!sound(travel.z)) return;
  const [lowest, highest] = travel.z;
  if (clearHeight > highest) {
    yield report({
      code: 'profile/clear-height',
      ...at(['clear_height']),
      related: relatedTo(at(['travel', 'z']), 'the travel of Z'),
      message: `the clear height ${writtenLength(clearHeight, units)} is above the travel of Z, ${writtenLength(highest, units)}`,
      help: 'lower it, or correct the travel',
    });
  }
  if (lowest > 0) {
    yield report({
      code: 'profile/bed-unreachable',
      ...at(['travel', 'z']),
      message: `the cutter tip stays ${writtenLength(lowest, units)} above the bed surface`,
      help: 'Z 0 is the bed surface: correct the travel',
    });
  } else if (-lowest < bed.cutLimit) {
    yield report({
      code: 'profile/bed-unreachable',
      severity: 'warn',
      ...at(['travel', 'z', 0]),
      message: `the cutter tip reaches ${writtenLength(-lowest, units)} below the bed surface, less than the cut limit ${writtenLength(bed.cutLimit, units)}`,
      help: 'correct the travel, or lower the cut limit',
    });
  }
}

/** Home is within the travel, and above the clear height: what goes home and on from there must meet nothing. */
function* home(machine: Machine, at: Locator): Findings {
  const { home, travel, clearHeight, units } = machine;
  if (home === null) return;
  const related = relatedTo(at(['travel']), 'the travel');
  if (home.at !== null && !reach(machine, home.at)) {
    yield report({
      code: 'profile/home',
      ...at(['home', 'at']),
      related,
      message: `home at ${placeText(home.at, units)} is outside the travel`,
    });
  }
  if (sound(travel.z) && (home.z < clearHeight || home.z > travel.z[1])) {
    yield report({
      code: 'profile/home',
      ...at(['home', 'z']),
      related,
      message: `home is ${writtenLength(home.z, units)} above the bed, expected ${writtenLength(clearHeight, units)}, the clear height, to ${writtenLength(travel.z[1], units)}, the end of the travel`,
    });
  }
}

function* speeds({ motion, units }: Machine, at: Locator): Findings {
  const { rapid, maxFeed, acceleration } = motion;
  for (const [key, fastest, what] of [
    ['xy', Math.min(rapid.x, rapid.y), 'the largest feed'],
    ['z', rapid.z, 'the largest feed of Z,'],
  ] as const) {
    if (maxFeed[key] <= fastest) continue;
    yield report({
      code: 'profile/feed-above-rapid',
      ...at(['motion', 'max_feed', key]),
      message: `${what} ${feedText(maxFeed[key], units)} is above the rapid, ${feedText(fastest, units)}`,
    });
  }
  const odd = AXES.find((axis) => rapid[axis] < RAPIDS[0] || rapid[axis] > RAPIDS[1]);
  if (odd !== undefined) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['motion', 'rapid']),
      message: `a rapid of ${feedText(rapid[odd], units)} along ${odd.toUpperCase()} is not plausible, expected ${feedText(RAPIDS[0], units)} to ${feedText(RAPIDS[1], units)}`,
    });
  }
  for (const key of ['xy', 'z'] as const) {
    if (acceleration[key] >= ACCELERATIONS[0] && acceleration[key] <= ACCELERATIONS[1]) continue;
    yield report({
      code: 'profile/not-plausible',
      ...at(['motion', 'acceleration', key]),
      message: `an acceleration of ${accelerationText(acceleration[key], units)} is not plausible, expected ${accelerationText(ACCELERATIONS[0], units)} to ${accelerationText(ACCELERATIONS[1], units)}`,
    });
  }
}

function* spindle({ spindle: { rpm, spinUp }, controller }: Machine, at: Locator): Findings {
  if (rpm[0] > rpm[1]) {
    yield report({
      code: 'profile/range-reversed',
      ...at(['spindle', 'rpm']),
      message: `the speed range runs from ${rpm[0]} to ${rpm[1]} rpm, expected the least first`,
    });
  }
  if (spinUp === 0 && controller.spindle.start === 'dwell') {
    yield report({
      code: 'profile/no-spin-up',
      ...at(['spindle', 'spin_up_s']),
      message: 'the cutter goes into the cut without waiting for the spindle',
      help: 'give the seconds it needs, or write `controller: { spindle: { start: at-speed } }`',
    });
  }
}

/** What the controller must be able to write for this machine. */
function* controllerFits({ travel, controller, datum }: Machine, at: Locator): Findings {
  const farthest = inUnits(Math.max(...AXES.flatMap((a) => travel[a].map(Math.abs))), controller.units);
  const { integers } = controller.numbers.xyz;
  if (farthest < 1e6 && farthest >= powerOfTen(integers)) {
    yield report({
      code: 'profile/controller',
      ...at(['controller', 'numbers', 'xyz']),
      message: `positions up to ${fixed(farthest, 1)} ${controller.units} need more than the ${integers} digits before the point that the controller has`,
      help: 'raise `numbers.xyz.integers` if the controller takes more',
    });
  }
  if (datum.workOffset > 1 && controller.workOffset === 'none') {
    yield report({
      code: 'profile/controller',
      ...at(['datum', 'work_offset']),
      message: `work offset ${datum.workOffset} is wanted, but the controller has no word that selects one`,
      help: 'leave `work_offset` out, or give `controller: { work_offset: G54-G59.3 }`',
    });
  } else if (datum.workOffset > 6 && controller.dialect !== 'rs274ngc') {
    yield report({
      code: 'profile/controller',
      ...at(['datum', 'work_offset']),
      message: `${controller.dialect} has work offsets 1 to 6 (G54 to G59), found ${datum.workOffset}`,
      help: 'choose one of them',
    });
  }
}

function* vacuum({ vacuum: { altitude, gauge }, units }: Machine, at: Locator): Findings {
  if (altitude * 1000 < ALTITUDES[0] || altitude * 1000 > ALTITUDES[1]) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['vacuum', 'altitude']),
      message: `a height of ${wayText(altitude * 1000, units)} above the sea is not plausible`,
      help: `write it with its unit, for example \`${units === 'mm' ? '40 m' : '130 ft'}\``,
    });
    return;
  }
  const whole = atmosphere(altitude);
  if (gauge < whole) return;
  yield report({
    code: 'profile/not-plausible',
    ...at(['vacuum', 'gauge']),
    message: `a gauge reading of ${pressureText(gauge, units)} is more than the whole atmosphere at that height, ${pressureText(whole, units)}`,
    help: 'correct the reading or its unit',
  });
}

function* tram(machine: Machine, at: Locator): Findings {
  if (!machine.tram) return;
  for (const axis of ['x', 'y'] as const) {
    const lean = Math.abs(machine.tram[axis]);
    if (lean <= STEEPEST) continue;
    yield report({
      code: 'profile/not-plausible',
      ...at(['tram', axis]),
      message: `a spindle that leans ${fixed((machine.tram[axis] * 180) / Math.PI, 2)} degrees along ${axis.toUpperCase()} is not plausible, expected 1 at most`,
      help: 'check reading and distance',
    });
  }
}
