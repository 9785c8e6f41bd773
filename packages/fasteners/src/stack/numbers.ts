import { InputError } from '@bedledger/diagnostics';
import type { Fixing, HandDrills, StackInput, StackRules } from '../model.ts';
import { report } from '../report.ts';
import { type Bore, boreFor } from './bore.ts';
import { largest, roundUp, smallest } from './dimension.ts';
import { boardGrowth } from './growth.ts';
import { breakingLoad, strippingStrength } from './stripping.ts';

/**
 * Everything of a stack that does not depend on the choice of screw length and pocket floor. Uncertainties are
 * added, not combined as squares: the worst case is what the cutter or the screw meets.
 */
export interface StackNumbers {
  /** Half width of the floor's height: the board's thickness is keyed in when touching off on the board. */
  readonly floorUncertainty: number;
  /** Thickness of the washer: nominal, least, greatest. 0 without one. */
  readonly washer: number;
  readonly washerMin: number;
  readonly washerMax: number;
  /** Head above the pocket's floor (and washer), at most. 0 for a countersunk head. */
  readonly headAbove: number;
  /** Head let into the web below the pocket's floor. 0 unless countersunk without a cup washer. */
  readonly headBelow: number;
  /** How far a conical head climbs its seat when it is off the axis by the lateral total. */
  readonly climb: number;
  readonly bearing: number;
  /** Diameter on which the web shears. */
  readonly punchDiameter: number;
  readonly webPunching: number;
  readonly growth: number;
  readonly position: number;
  /** What the hole takes: all of growth and position, or as much as the bearing leaves when the board is restrained. */
  readonly lateral: number;
  readonly restrained: number;
  /** Side play of a washer round the screw. */
  readonly washerPlay: number;
  readonly standardHole: number;
  /** What growth and position error ask of the hole; what the machine leaves of it over an insert; what it becomes. */
  readonly holeNeed: number;
  readonly refit: number;
  readonly hole: number;
  /** A drill in a hand makes the hole, or opens it. */
  readonly opened: boolean;
  /** Diameter that head, washer and driving tool need, and what is cut: up to the next tenth. */
  readonly pocketNeed: number;
  readonly pocket: number;
  readonly pocketGoverns: 'head' | 'socket' | 'washer';
  readonly bore: Bore;
  /** Deepest the screw's end may be below the bed. */
  readonly endMax: number;
  /** Stripping strength of the weaker thread, N per mm of engagement. */
  readonly strip: number;
  readonly strips: 'screw' | 'insert';
  readonly breaks: number;
  readonly needPull: number;
  readonly needFull: number;
  /** What the engagement must reach: the pull's need, and for a nylon screw that it breaks before it strips. */
  readonly need: number;
}

type Sign = 'zero' | 'positive';

/** House rules that are figures, and the sign that each must have. */
const RULES: Readonly<Record<NumberRule, Sign>> = {
  webMin: 'zero',
  coverMin: 'zero',
  safetyFactor: 'positive',
  boardShear: 'positive',
  pull: 'positive',
  pocketClearance: 'zero',
  boreReserve: 'zero',
  adhesiveGap: 'zero',
  adhesiveSpare: 'zero',
  entryLoss: 'zero',
  endGap: 'zero',
  moistureSwing: 'zero',
  growthPerPercent: 'zero',
  bearingMin: 'zero',
  skim: 'positive',
  refitSkin: 'zero',
};

/** The same as a list: this runs for every site. */
const RULE_SIGNS = Object.entries(RULES) as [NumberRule, Sign][];

type NumberRule = Exclude<keyof StackRules, 'growth'>;

const fits = (value: number, sign: Sign): boolean =>
  sign === 'zero'
    ? value >= 0 && value < Number.POSITIVE_INFINITY
    : value > 0 && value < Number.POSITIVE_INFINITY;

/** Throws InputError when a figure of the input is not a finite number of the sign it must have. */
export function checkStackInput(input: StackInput): void {
  const wrong: string[] = [];
  const need = (name: string, value: number, sign: Sign): void => {
    if (!fits(value, sign)) {
      wrong.push(
        `${name} is ${value}, expected a number ${sign === 'positive' ? 'above 0' : 'of 0 or more'}`,
      );
    }
  };
  need('board thickness', input.thickness, 'positive');
  need('thickness uncertainty', input.thicknessUncertainty, 'zero');
  need('least thickness', input.leastThickness, 'zero');
  need('bed thickness', input.bed.thickness, 'positive');
  need('bed floor', input.bed.floor, 'zero');
  need('bed cut limit', input.bed.cutLimit, 'zero');
  need('reach', input.reach, 'zero');
  need('position uncertainty', input.positionUncertainty, 'zero');
  for (const [key, sign] of RULE_SIGNS) need(key, input.rules[key], sign);
  if (input.given?.screwLength !== undefined) need('given screw length', input.given.screwLength, 'positive');
  if (input.given?.pocketFloor !== undefined) need('given pocket floor', input.given.pocketFloor, 'zero');
  if (input.fixing.screw.lengths.length === 0 && input.given?.screwLength === undefined) {
    wrong.push(`fixing ${input.fixing.id} lists no screw length`);
  }
  if (wrong.length > 0) {
    throw new InputError(wrong.map((message) => report({ code: 'stack/input', message })));
  }
}

interface ClearanceAsked {
  readonly major: number;
  readonly standardHole: number;
  readonly growth: number;
  readonly position: number;
  readonly bearing: number;
  readonly lost: number;
  readonly restrain: boolean;
}

/**
 * Diameter of the clearance hole, and how far off its axis it lets the screw stand. Restrained, the hole stays as
 * large as the ring that must bear allows: ring = (bearing − hole)/2 − lateral − lost, with hole = screw + 2·lateral.
 */
function clearance(c: ClearanceAsked): {
  readonly lateral: number;
  readonly need: number;
  readonly hole: number;
} {
  const all = c.growth + c.position;
  const need = Math.max(c.standardHole, c.major + 2 * all);
  const hole = roundUp(need, 0.1);
  if (!c.restrain || (c.bearing - hole) / 2 - all >= c.lost) return { lateral: all, need, hole };
  const standard = roundUp(c.standardHole, 0.1);
  const widest = Math.floor((c.major + 2 * ((c.bearing - c.major) / 4 - c.lost / 2)) * 10 + 1e-6) / 10;
  const taken =
    widest > standard
      ? (widest - c.major) / 2
      : Math.min((standard - c.major) / 2, (c.bearing - standard) / 2 - c.lost);
  const lateral = Math.max(c.position, Math.min(all, taken));
  const restrained = Math.max(standard, c.major + 2 * lateral);
  return { lateral, need: restrained, hole: roundUp(restrained, 0.1) };
}

/**
 * The hole as it becomes: to a tenth where the machine makes it; where a hand opens it, the next drill at hand beside which
 * head or washer still bears. Where no drill does, a tenth: whoever asked for drills has to say which one is missing.
 */
function finishedHole(
  asked: ClearanceAsked,
  made: ReturnType<typeof clearance>,
  refit: number,
  drills: HandDrills | undefined,
): { readonly hole: number; readonly opened: boolean } {
  const opened = drills !== undefined && (drills.everyHole || made.hole > refit + 1e-9);
  if (!opened) return { hole: made.hole, opened };
  const widest = asked.bearing - 2 * (made.lateral + asked.lost);
  let next: number | null = null;
  for (const size of drills.sizes) {
    if (size < made.need - 1e-6 || size > widest + 1e-9) continue;
    if (next === null || size < next) next = size;
  }
  return { hole: next ?? made.hole, opened };
}

/**
 * Diameter that the widest of head, washer and driving tool needs in its pocket: its own, and the larger of the house's
 * clearance and twice what it may stand off the axis.
 */
function pocketFor(
  { screw, washer, socket }: Fixing,
  clearance: number,
  lateral: number,
  washerPlay: number,
): { readonly need: number; readonly governs: StackNumbers['pocketGoverns'] } {
  const room = (play: number): number => Math.max(clearance, 2 * (lateral + play));
  let need = largest(screw.headDiameter) + room(0);
  let governs: StackNumbers['pocketGoverns'] = 'head';
  if (washer !== undefined && largest(washer.outside) + room(washerPlay) > need) {
    need = largest(washer.outside) + room(washerPlay);
    governs = 'washer';
  }
  if (largest(socket.outside) + room(0) > need) {
    need = largest(socket.outside) + room(0);
    governs = 'socket';
  }
  return { need, governs };
}

/** What a site asks of its clearance hole, mm. */
export interface HoleAsked {
  /** Least diameter that takes growth and position error. */
  readonly need: number;
  /** Widest beside which head or washer still bears. */
  readonly widest: number;
  /** A drill in a hand makes it, or opens it. */
  readonly opened: boolean;
}

/** What a site asks of its clearance hole, before anybody chooses the drills for the board. */
export function holeAsked(input: StackInput): HoleAsked {
  checkStackInput(input);
  const n = stackNumbers(input);
  return {
    need: n.holeNeed,
    widest: n.bearing - 2 * (n.lateral + n.washerPlay + input.rules.bearingMin),
    opened: n.opened,
  };
}

/** Derives the constant part of a stack. */
export function stackNumbers(input: StackInput): StackNumbers {
  const { fixing, rules } = input;
  const { screw, insert, washer } = fixing;
  const cup = washer?.cup === true;
  const cone = screw.countersunk && !cup;

  const growth = boardGrowth(input.reach, rules.moistureSwing, rules.growthPerPercent);
  const position = input.positionUncertainty;
  const major = screw.thread.majorDiameter;

  const standard = input.held === true ? fixing.closeHole : fixing.clearanceHole;
  const standardHole = largest(standard);
  const washerMin = washer === undefined ? 0 : smallest(washer.thickness);
  const washerMax = washer === undefined ? 0 : largest(washer.thickness);
  const washerPlay = washer === undefined ? 0 : Math.max(0, (largest(washer.inside) - major) / 2);
  const bearing =
    washer === undefined ? smallest(screw.bearing ?? screw.headDiameter) : smallest(washer.outside);
  const asked: ClearanceAsked = {
    major,
    standardHole,
    growth,
    position,
    bearing,
    lost: washerPlay + rules.bearingMin,
    restrain: rules.growth === 'restrain',
  };
  const made = clearance(asked);
  const { lateral } = made;
  const refit = roundUp(Math.min(made.hole, Math.max(major + 2 * position, smallest(standard))), 0.1);
  const { hole, opened } = finishedHole(asked, made, refit, input.drills);
  // a cone shears the web somewhere between its rim and the hole: the mean diameter
  const punchDiameter = cone ? (smallest(screw.headDiameter) + hole) / 2 : bearing;
  const climb = cone ? lateral / Math.tan(((screw.headAngle ?? 90) * Math.PI) / 360) : 0;

  const pocket = pocketFor(fixing, rules.pocketClearance, lateral, washerPlay);
  const { perLength: strip, strips } = strippingStrength(screw, insert);
  const breaks = breakingLoad(screw);
  const needPull = (rules.safetyFactor * rules.pull) / strip;
  const needFull = breaks / strip;
  const insertMin = smallest(insert.length);
  return {
    floorUncertainty: input.thicknessUncertainty,
    washer: washer?.thickness.value ?? 0,
    washerMin,
    washerMax,
    headAbove: screw.countersunk ? 0 : largest(screw.headHeight),
    headBelow: cone ? largest(screw.headHeight) : 0,
    climb,
    bearing,
    punchDiameter,
    webPunching: (rules.safetyFactor * rules.pull) / (Math.PI * punchDiameter * rules.boardShear),
    growth,
    position,
    lateral,
    restrained: growth + position - lateral,
    washerPlay,
    standardHole,
    holeNeed: made.need,
    refit,
    hole,
    opened,
    pocketNeed: pocket.need,
    pocket: roundUp(pocket.need, 0.1),
    pocketGoverns: pocket.governs,
    bore: boreFor(insert, rules, input.bed.cutLimit),
    endMax: insert.through
      ? Math.min(insertMin, insertMin + rules.boreReserve - rules.endGap)
      : insertMin - rules.endGap,
    strip,
    strips,
    breaks,
    needPull,
    needFull,
    need: screw.material === 'pa66' ? Math.max(needPull, needFull) : needPull,
  };
}
