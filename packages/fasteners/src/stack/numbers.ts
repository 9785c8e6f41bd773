import { InputError } from '@bedledger/diagnostics';
import type { StackInput } from '../model.ts';
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
  readonly lateral: number;
  /** Side play of a washer round the screw. */
  readonly washerPlay: number;
  readonly standardHole: number;
  readonly hole: number;
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

const POSITIVE = ['boardShear', 'pull', 'safetyFactor', 'skim'] as const;

/** Throws InputError when a figure of the input is not a finite number of the sign it must have. */
export function checkStackInput(input: StackInput): void {
  const wrong: string[] = [];
  const need = (name: string, value: number, least: 'zero' | 'positive'): void => {
    if (!Number.isFinite(value) || value < 0 || (least === 'positive' && value === 0)) {
      wrong.push(
        `${name} is ${value}, expected a ${least === 'positive' ? 'number above 0' : 'number of 0 or more'}`,
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
  const positive: readonly string[] = POSITIVE;
  for (const [key, value] of Object.entries(input.rules)) {
    need(`rule ${key}`, value as number, positive.includes(key) ? 'positive' : 'zero');
  }
  if (input.given?.screwLength !== undefined) need('given screw length', input.given.screwLength, 'positive');
  if (input.given?.pocketFloor !== undefined) need('given pocket floor', input.given.pocketFloor, 'zero');
  if (input.fixing.screw.lengths.length === 0 && input.given?.screwLength === undefined) {
    wrong.push(`fixing ${input.fixing.id} lists no screw length`);
  }
  if (wrong.length > 0) {
    throw new InputError(wrong.map((message) => ({ code: 'stack/input', severity: 'stop', message })));
  }
}

/** Derives the constant part of a stack. */
export function stackNumbers(input: StackInput): StackNumbers {
  const { fixing, rules } = input;
  const { screw, insert, washer, socket } = fixing;
  const cup = washer?.cup === true;
  const cone = screw.countersunk && !cup;

  const growth = boardGrowth(input.reach, rules.moistureSwing, rules.growthPerPercent);
  const position = input.positionUncertainty;
  const lateral = growth + position;
  const major = screw.thread.majorDiameter;

  const standardHole = largest(fixing.clearanceHole);
  const hole = roundUp(Math.max(standardHole, major + 2 * lateral), 0.1);

  const washerMin = washer === undefined ? 0 : smallest(washer.thickness);
  const washerMax = washer === undefined ? 0 : largest(washer.thickness);
  const washerPlay = washer === undefined ? 0 : Math.max(0, (largest(washer.inside) - major) / 2);
  const headDiameter = largest(screw.headDiameter);
  const bearing =
    washer === undefined ? smallest(screw.bearing ?? screw.headDiameter) : smallest(washer.outside);
  // a cone shears the web somewhere between its rim and the hole: the mean diameter
  const punchDiameter = cone ? (smallest(screw.headDiameter) + hole) / 2 : bearing;
  const climb = cone ? lateral / Math.tan(((screw.headAngle ?? 90) * Math.PI) / 360) : 0;

  const room = (play: number): number => Math.max(rules.pocketClearance, 2 * (lateral + play));
  let pocket = headDiameter + room(0);
  let pocketGoverns: StackNumbers['pocketGoverns'] = 'head';
  if (washer !== undefined && largest(washer.outside) + room(washerPlay) > pocket) {
    pocket = largest(washer.outside) + room(washerPlay);
    pocketGoverns = 'washer';
  }
  if (largest(socket.outside) + room(0) > pocket) {
    pocket = largest(socket.outside) + room(0);
    pocketGoverns = 'socket';
  }

  const { perLength: strip, strips } = strippingStrength(screw, insert);
  const breaks = breakingLoad(screw);
  const needPull = (rules.safetyFactor * rules.pull) / strip;
  const needFull = breaks / strip;
  const insertMin = smallest(insert.length);
  return {
    floorUncertainty: input.thicknessUncertainty,
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
    washerPlay,
    standardHole,
    hole,
    pocket: roundUp(pocket, 0.1),
    pocketGoverns,
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
