import { lengthText, type Units } from '@bedledger/diagnostics';
import type { Cutter } from '@bedledger/fleet';
import { hypotenuse, type Point } from '@bedledger/geometry';
import type { Cutting } from '../feeds/cutting.ts';
import { APPROACH, type MotionWriter } from '../motion/motion-writer.ts';

/** A round pocket or bore on one axis, bed frame, mm. */
export interface RoundCut {
  readonly at: Point;
  readonly diameter: number;
  /** Height of the stock where the cutter enters, and of the floor. */
  readonly top: number;
  readonly bottom: number;
  /** A pocket has a floor that must be flat; a through hole has none. */
  readonly floor: boolean;
}

/** How a round cut is made, decided before any move is written. */
export interface RoundMethod {
  /** `drill`: by plunging alone; `lap`: plunged, then once round; `helix`: ramped; `clear`: ramped and cleared outwards. */
  readonly kind: 'drill' | 'lap' | 'helix' | 'clear';
  /** Radii of the cutter's centre: the entry helix, the clearing rings, the finish lap. */
  readonly entry: number;
  readonly rings: readonly number[];
  readonly finish: number;
  /** Rise of one turn of the entry helix, mm. */
  readonly pitch: number;
  /** Straight down the middle, level by level: for a controller that would make hundreds of chords of a helix. */
  readonly straight: boolean;
}

/** Helices start this far above the stock: the first turn is in air. */
const HELIX_START = 0.5;
/** Left for the finish lap, mm a side. */
const FINISH = 0.2;
/** Clearing rings step by this share of the diameter. */
const RING_STEP = 0.45;
/** Share of the ramp angle that is used: chords and rounded heights must stay within it too. */
const RAMP_SHARE = 0.85;
/** Least rise of a helix turn worth cutting when the cutter may plunge, mm (ours). */
const LEAST_PITCH = 0.25;
/** Left under a pecked start for the plunge that precedes the lap, mm. */
const PECK_LEFT = 0.5;
/** A cutter within this much of the hole makes it by plunging, mm of diameter. */
const SAME_DIAMETER = 0.06;
/** Least path of an entry helix for a cutter that cannot plunge, as a share of its diameter (common practice, no source). */
const LEAST_HELIX = 0.3;

/** Rise of a helix turn: π·d·tan(angle), `d` the diameter of the centre's path. mm, rad. */
export function helixPitch(pathDiameter: number, angle: number): number {
  return Math.PI * pathDiameter * Math.tan(angle);
}

/** Feed of the tool's centre for a feed at the rim: rim·(D_hole − D_tool)/D_hole. mm/min. */
export function centreFeed(rimFeed: number, holeDiameter: number, toolDiameter: number): number {
  return (rimFeed * (holeDiameter - toolDiameter)) / holeDiameter;
}

/** Length of a drill's point: D/2 ÷ tan(angle/2); `angle` full, degrees; 180 = flat. mm. */
export function pointLength(diameter: number, angle: number): number {
  if (angle >= 180) return 0;
  if (!(angle > 0)) throw new RangeError(`a point angle must be in (0, 180] degrees, found ${angle}`);
  return diameter / 2 / Math.tan((angle * Math.PI) / 360);
}

/**
 * How a cutter makes a round cut, or one sentence why it cannot.
 *
 * @param rampAngle - radians
 * @param helices - the controller has helices; without them a cutter that can plunge goes straight down
 */
export function roundMethod(
  cut: RoundCut,
  cutter: Cutter,
  rampAngle: number,
  helices = true,
  units: Units = 'mm',
): RoundMethod | string {
  const { diameter } = cut;
  const d = cutter.diameter;
  const name = `cutter ${cutter.id} (${lengthText(d, units)})`;
  const hole = `hole of ${lengthText(diameter, units)}`;
  if (cutter.kind === 'v-point') return `${name} has a point: it cannot make a ${hole}`;
  if (Math.abs(diameter - d) <= SAME_DIAMETER) {
    if (!cutter.canPlunge) return `${name} cannot plunge and the ${hole} leaves no room to ramp`;
    if (cut.floor && cutter.pointAngle < 180) return `${name} has a point and would not leave a flat floor`;
    return { kind: 'drill', entry: 0, rings: [], finish: 0, pitch: 0, straight: false };
  }
  if (d > diameter) return `${name} is wider than the ${hole}`;
  if (cutter.kind === 'drill')
    return `${name} is a drill and the hole is ${lengthText(diameter, units)}: use a drill of that size or an end mill`;
  if (cutter.kind === 'ball' && cut.floor) return `${name} has a ball end and would not leave a flat floor`;
  const finish = (diameter - d) / 2;
  // Too little room for a separate finish lap: the helix itself is the wall.
  const rough = Math.max(finish - FINISH, finish / 2);
  // A helix of path diameter ≤ tool diameter leaves no post; wider ones start inside and clear outwards.
  const entry = Math.min(rough, 0.45 * d);
  const pitch = RAMP_SHARE * helixPitch(2 * entry, rampAngle);
  // A helix this tight is hundreds of turns that only rub: plunge and go round instead.
  // Only where one lap clears the whole hole: wider ones would keep a ring or a post.
  if (pitch < LEAST_PITCH && cutter.canPlunge && finish <= 0.45 * d) {
    return { kind: 'lap', entry: 0, rings: [], finish, pitch: 0, straight: false };
  }
  if (!cutter.canPlunge && 2 * entry < LEAST_HELIX * d) {
    return `${name} cannot plunge and the ${hole} leaves too small a helix to ramp in`;
  }
  const span = rough - entry;
  const count = Math.ceil(span / (RING_STEP * d) - 1e-9);
  const rings: number[] = [];
  for (let i = 1; i <= count; i += 1) rings.push(entry + (span * i) / count);
  return {
    kind: rings.length > 0 ? 'clear' : 'helix',
    entry,
    rings,
    finish,
    pitch,
    straight: !helices && cutter.canPlunge,
  };
}

/**
 * Writes a round cut. Counter-clockwise, so that a clockwise spindle climbs.
 */
export function cutRound(
  writer: MotionWriter,
  cut: RoundCut,
  method: RoundMethod,
  cutter: Cutter,
  cutting: Cutting,
): void {
  switch (method.kind) {
    case 'drill':
      writer.drill({
        at: cut.at,
        above: cut.top + APPROACH,
        bottom: cut.bottom,
        peck: peckFor(cutter.diameter, cut.top - cut.bottom),
        feed: cutting.plungeFeed,
      });
      return;
    case 'lap':
      plungeAndLap(writer, cut, method, cutter, cutting);
      return;
    case 'helix':
    case 'clear':
      rampAndClear(writer, cut, method, cutter, cutting);
      return;
  }
}

/** Down the middle, once round the wall at full depth, back to the middle. */
function plungeAndLap(
  writer: MotionWriter,
  cut: RoundCut,
  method: RoundMethod,
  cutter: Cutter,
  cutting: Cutting,
): void {
  const [cx, cy] = cut.at;
  const d = cutter.diameter;
  const above = cut.top + APPROACH;
  const peck = peckFor(d, cut.top - cut.bottom);
  if (peck === null) writer.over(cx, cy);
  else {
    writer.drill({ at: cut.at, above, bottom: cut.bottom + PECK_LEFT, peck, feed: cutting.plungeFeed });
  }
  writer.lower(above);
  writer.feed(cx, cy, cut.bottom, cutting.plungeFeed);
  const feed = centreFeed(cutting.feed, 2 * method.finish + d, d);
  writer.feed(cx + method.finish, cy, cut.bottom, feed);
  writer.arc({ clockwise: false, to: [cx + method.finish, cy, cut.bottom], centre: cut.at, feed });
  writer.feed(cx, cy, cut.bottom, cutting.feed);
  writer.retract();
}

/** Helix in, rings outwards level by level, finish lap at full depth, off the wall, up the middle. */
function rampAndClear(
  writer: MotionWriter,
  cut: RoundCut,
  method: RoundMethod,
  cutter: Cutter,
  cutting: Cutting,
): void {
  const [cx, cy] = cut.at;
  const d = cutter.diameter;
  const rim = (radius: number): number => centreFeed(cutting.feed, 2 * radius + d, d);
  const turn = (radius: number, z: number, feed: number): void =>
    writer.arc({ clockwise: false, to: [cx + radius, cy, z], centre: cut.at, feed });
  // Along a helix the vertical part may not pass the plunge feed.
  const slope = method.pitch / hypotenuse(2 * Math.PI * method.entry, method.pitch);
  const helixFeed = Math.min(rim(method.entry), cutting.plungeFeed / Math.max(slope, 1e-9));

  const inX = method.straight ? cx : cx + method.entry;
  const start = cut.top + HELIX_START;
  writer.over(inX, cy);
  writer.lower(cut.top + APPROACH);
  writer.feed(inX, cy, start, cutting.plungeFeed);
  const depth = start - cut.bottom;
  const levels = method.kind === 'clear' || method.straight ? Math.max(1, Math.ceil(depth / d - 1e-9)) : 1;
  let z = start;
  for (let level = 1; level <= levels; level += 1) {
    const from = z;
    z = level === levels ? cut.bottom : start - (depth * level) / levels;
    if (method.straight) {
      writer.feed(cx, cy, z, cutting.plungeFeed);
      writer.feed(cx + method.entry, cy, z, rim(method.entry));
    } else {
      const turns = Math.max(1, Math.ceil((from - z) / method.pitch - 1e-9));
      for (let i = 1; i <= turns; i += 1) {
        turn(method.entry, i === turns ? z : from - ((from - z) * i) / turns, helixFeed);
      }
    }
    // One flat turn: the helix leaves a sloping floor.
    turn(method.entry, z, rim(method.entry));
    for (const radius of method.rings) {
      writer.feed(cx + radius, cy, z, rim(radius));
      turn(radius, z, rim(radius));
    }
    if (level < levels) writer.feed(inX, cy, z, cutting.feed);
  }
  if (method.finish > method.entry + 1e-6) {
    writer.feed(cx + method.finish, cy, z, rim(method.finish));
    turn(method.finish, z, rim(method.finish));
  }
  // Off the wall before lifting, so that the cutter leaves no mark on it.
  writer.feed(cx, cy, z, cutting.feed);
  writer.retract();
}

/** Peck of 1.5 diameters once the hole is deeper than that; else in one go. mm. */
export function peckFor(diameter: number, depth: number): number | null {
  const peck = 1.5 * diameter;
  return depth > peck ? peck : null;
}
