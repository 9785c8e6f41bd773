import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { ReaderCode } from '../rules/table.ts';
import type { EventKind, ModalState, ProgramEvent } from '../trace.ts';
import { FEED, NOT_SAID, RAPID } from '../trace.ts';
import type { BlockScanner } from './block-scanner.ts';
import type { MotionColumns } from './motion-columns.ts';
import type { ReadOptions } from './options.ts';
import { GROUP, type ReadingProfile } from './reading-profile.ts';
import { AXIS_LETTER, bit, F, G0, MOST_MOTIONS, NAME, NONE, S, X, Y, Z } from './words.ts';

/**
 * The controller's memory: position, modes, offsets, tool. Positions are millimetres in the work offset in force, with
 * G92 offsets taken out; NaN where the program has not said. What words do to it is in the files beside this one.
 */
export class Machine {
  readonly events: ProgramEvent[] = [];
  ended = false;
  /** Lines with at least one word. */
  blocks = 0;
  x = Number.NaN;
  y = Number.NaN;
  z = Number.NaN;
  readonly axisOffset: [number, number, number] = [0, 0, 0];
  readonly parameters = new Map<number, number>();

  readonly given = new Map<number, number>();
  readonly block: BlockScanner;
  readonly out: MotionColumns;
  readonly profile: ReadingProfile;
  readonly strict: boolean;
  readonly ngc: boolean;
  readonly zSign: number;
  readonly origins: Map<number, [number, number, number]>;
  readonly toolLengths: Readonly<Record<number, number>>;
  readonly home: ReadOptions['home'];

  /** mm per program unit; 0 until stated. */
  scale = 0;
  inch: boolean | null = null;
  /** 0 unknown, 1 absolute, 2 incremental. */
  distance = 0;
  /** 0 unknown. */
  plane = 0;
  /** 0 unknown, 1 per minute, 2 inverse time. */
  feedMode = 0;
  motion = NONE;
  workOffset = 0;
  /** H of the tool length in force; 0 none. */
  lengthOffset = NOT_SAID;
  lengthInForce = 0;
  compensationOff: boolean | null = null;
  /** 0 unknown, 1 initial level, 2 R plane. */
  cycleReturn = 0;
  /** Number of the F word in force; NaN until stated. */
  feed = Number.NaN;
  /** Feeds of the text per minute: 60 where the controller counts per second. */
  readonly feedTimes: number;
  feedStale = false;
  speed = Number.NaN;
  /** 0 off, 1 clockwise, −1 counter-clockwise, NaN unknown. */
  turning = Number.NaN;
  rpm = 0;
  /** Cutter in the spindle; 0 none. */
  tool = NOT_SAID;
  /** Cutter of the last T word, which the next M6 fetches. */
  selected = NOT_SAID;
  single: boolean;
  readonly cycles: 'block' | 'chain';
  readonly mostMotions: number;
  savedAxisOffset: [number, number, number] = [0, 0, 0];

  moved = false;
  pathStated = false;
  unitsFixed: boolean;
  interrupted = false;

  // Sticky cycle numbers, mm (P seconds), and the height before the chain.
  cycleR = Number.NaN;
  cycleBottom = Number.NaN;
  cycleDwell = Number.NaN;
  cyclePeck = Number.NaN;
  chainHeight = Number.NaN;
  /** The cycle in force was refused: its blocks have nothing to go by. */
  cycleBroken = false;

  constructor(block: BlockScanner, out: MotionColumns, profile: ReadingProfile, options: ReadOptions) {
    this.block = block;
    this.out = out;
    this.profile = profile;
    this.strict = profile.strict;
    this.ngc = profile.ngc;
    const c = profile.controller;
    this.zSign = c.zSign;
    this.feedTimes = c.feed.per === 'second' ? 60 : 1;
    this.single = c.arcs.quadrants === 'single';
    this.toolLengths = options.toolLengths ?? {};
    this.home = options.home;
    this.cycles = options.cycles ?? 'block';
    this.mostMotions = options.mostMotions ?? MOST_MOTIONS;
    this.origins = new Map();
    for (const [number, origin] of Object.entries(options.origins ?? {})) {
      this.origins.set(Number(number), [origin[0], origin[1], origin[2]]);
    }
    for (const [number, value] of Object.entries(options.parameters ?? {}))
      this.given.set(Number(number), value);
    this.unitsFixed = c.unitsWord === 'none';
    if (this.unitsFixed) this.setUnits(c.units === 'in');
    if (c.plane === 'none' && !this.ngc) this.plane = 17;
    if (c.feed.mode === 'none' && !this.ngc) this.feedMode = 1;
    if (c.workOffset === 'none') this.workOffset = 0;
    // A controller with tool lengths keeps the one of the program before.
    if (c.toolLength !== 'none') this.lengthInForce = Number.NaN;
    if (!this.ngc) {
      this.compensationOff = true;
      if (c.toolLength === 'none') this.lengthOffset = 0;
    }
    const s = options.start;
    if (s !== undefined) [this.x, this.y, this.z] = 'x' in s ? [s.x, s.y, s.z] : [s[0], s[1], s[2]];
    this.preset(options.initial ?? {});
  }

  preset(initial: Partial<ModalState>): void {
    const i = initial;
    if (i.units === 'mm' || i.units === 'in') this.setUnits(i.units === 'in');
    if (i.distance) this.distance = i.distance === 'absolute' ? 1 : 2;
    if (i.plane) this.plane = { XY: 17, XZ: 18, YZ: 19 }[i.plane];
    if (i.feedMode) this.feedMode = i.feedMode === 'inverse' ? 2 : 1;
    if (typeof i.motion === 'string') {
      const code = Number(i.motion.replace(/^G/i, ''));
      if (!Number.isFinite(code))
        throw new RangeError(`initial.motion: found '${i.motion}', expected a G word`);
      this.motion = Math.round(code * 10);
    }
    if (typeof i.workOffset === 'number') this.workOffset = i.workOffset;
    if (typeof i.lengthOffset === 'number') this.setLength(i.lengthOffset);
    if (i.cutterCompensation) this.compensationOff = i.cutterCompensation === 'off';
    if (i.cycleReturn) this.cycleReturn = i.cycleReturn === 'initial' ? 1 : 2;
    if (typeof i.feed === 'number') this.feed = i.feed / (this.scale || 1) / this.feedTimes;
    if (typeof i.speed === 'number') this.speed = i.speed;
    if (i.spindle) this.turning = { off: 0, clockwise: 1, 'counter-clockwise': -1 }[i.spindle];
    if (typeof i.tool === 'number') this.tool = i.tool;
    this.updateRpm();
  }

  /** Value of a parameter for the expression reader; undefined when it was never set. */
  parameter(index: number): number | undefined {
    return this.parameters.get(index) ?? this.given.get(index);
  }

  setUnits(inch: boolean): void {
    this.inch = inch;
    this.scale = inch ? MM_PER_INCH : 1;
  }

  updateRpm(): void {
    const speed = Number.isNaN(this.speed) ? 0 : this.speed;
    this.rpm = Number.isNaN(this.turning) || this.turning === 0 ? 0 : this.turning * speed;
  }

  setLength(h: number): void {
    this.lengthOffset = h;
    this.lengthInForce = h === 0 ? 0 : (this.toolLengths[h] ?? Number.NaN);
  }

  finding(rule: ReaderCode, letter: number, message: string): void {
    const b = this.block;
    const from = letter >= 0 && (b.mask & bit(letter)) !== 0 ? b.from[letter]! : this.wordStart();
    b.finding(rule, from, this.wordEnd(from), message);
  }

  findingG(rule: ReaderCode, group: number, message: string): void {
    const b = this.block;
    const from = (b.gMask & bit(group)) !== 0 ? b.gFrom[group]! : this.wordStart();
    b.finding(rule, from, this.wordEnd(from), message);
  }

  findingM(rule: ReaderCode, group: number, message: string): void {
    const from = this.block.mFrom[group]!;
    this.block.finding(rule, from, this.wordEnd(from), message);
  }

  /** First character of the block that is not blank. */
  wordStart(): number {
    return this.block.firstCharacter();
  }

  wordEnd(from: number): number {
    return this.block.endOfWord(from);
  }

  event(kind: EventKind, value: number, text: string): void {
    this.events.push({ kind, line: this.block.line, at: this.out.length, value, text });
  }

  /** A straight motion of the axis words in `mask` with the modes in force. */
  straight(mask: number): void {
    const b = this.block;
    const value = b.value;
    const scale = this.scale;
    const offset = this.axisOffset;
    if (this.distance === 1) {
      if ((mask & bit(X)) !== 0) this.x = value[X]! * scale + offset[0];
      if ((mask & bit(Y)) !== 0) this.y = value[Y]! * scale + offset[1];
      if ((mask & bit(Z)) !== 0) this.z = value[Z]! * scale * this.zSign + offset[2];
    } else {
      if ((mask & bit(X)) !== 0) this.x += value[X]! * scale;
      if ((mask & bit(Y)) !== 0) this.y += value[Y]! * scale;
      if ((mask & bit(Z)) !== 0) this.z += value[Z]! * scale * this.zSign;
      this.checkKnown(mask);
    }
    if (this.motion === G0) this.push(RAPID, 0);
    else {
      if (!(this.feed > 0)) this.noFeed();
      this.push(FEED, 0);
    }
  }

  checkKnown(mask: number): void {
    const x = (mask & bit(X)) !== 0 && Number.isNaN(this.x);
    const y = (mask & bit(Y)) !== 0 && Number.isNaN(this.y);
    const z = (mask & bit(Z)) !== 0 && Number.isNaN(this.z);
    if (x || y || z) {
      this.finding(
        'state/position-unknown',
        x ? X : y ? Y : Z,
        `found an increment in ${x ? 'X' : y ? 'Y' : 'Z'} from a place that the program has not given`,
      );
    }
  }

  noFeed(): void {
    if (Number.isNaN(this.feed)) {
      this.findingG('state/feed-missing', GROUP.motion, 'found a cutting motion before any F word');
    } else this.finding('state/feed-zero', F, 'found a cutting motion at F0, expected a feed');
  }

  feedNow(): number {
    const feed = this.feed * (this.scale || 1) * this.feedTimes;
    return Number.isNaN(feed) ? 0 : feed;
  }

  push(kind: number, flags: number): number {
    return this.out.straight(kind, this.block.line, this.feedNow(), flags, this);
  }

  has(letter: number): boolean {
    return (this.block.mask & bit(letter)) !== 0;
  }

  /** The value of a word that must be whole and within a range; NaN and a finding when it is not. */
  whole(letter: number, from: number, to: number): number {
    const value = this.block.value[letter]!;
    const n = Math.round(value);
    if (!(Math.abs(value - n) <= 0.0001)) {
      this.finding('grammar/not-integer', letter, `found ${NAME[letter]}${value}, expected a whole number`);
      return Number.NaN;
    }
    if (n < from || n > to) {
      this.finding(
        'grammar/out-of-range',
        letter,
        `found ${NAME[letter]}${value}, expected ${from} to ${to}`,
      );
      return Number.NaN;
    }
    return n;
  }

  /** Sets one coordinate. */
  put(axis: number, value: number): void {
    if (axis === 0) this.x = value;
    else if (axis === 1) this.y = value;
    else this.z = value;
  }

  /** Where the axis stands at machine coordinate 0, in the coordinates of the trace; NaN when that is not known. */
  homeOf(axis: number): number {
    const { home, workOffset } = this;
    if (home === undefined || (workOffset !== 0 && workOffset !== home.workOffset)) return Number.NaN;
    return axis === 0 ? home.x : axis === 1 ? home.y : home.z;
  }

  at(axis: number): number {
    return axis === 0 ? this.x : axis === 1 ? this.y : this.z;
  }

  /** Value of an axis word in mm, Z upwards. */
  axisValue(axis: number): number {
    const value = this.block.value[AXIS_LETTER[axis]!]! * (this.scale || this.profileScale());
    return axis === 2 ? value * this.zSign : value;
  }

  profileScale(): number {
    return this.profile.controller.units === 'in' ? MM_PER_INCH : 1;
  }

  checkUnits(): void {
    if (this.inch !== null) return;
    const letter = this.has(X) ? X : this.has(Y) ? Y : Z;
    this.finding('state/units-missing', letter, 'found a dimension before the units are stated');
    // Read on in the profile's units so that later findings make sense; the program counts as not understood.
    this.setUnits(this.profile.controller.units === 'in');
  }

  /** Moves the position to the axis words of `mask`. */
  target(mask: number): void {
    for (let axis = 0; axis < 3; axis++) {
      if ((mask & bit(AXIS_LETTER[axis]!)) === 0) continue;
      const value = this.axisValue(axis);
      this.put(axis, this.distance === 2 ? this.at(axis) + value : value + this.axisOffset[axis]!);
    }
    if (this.distance === 2) this.checkKnown(mask);
    else if (Number.isNaN(this.axisOffset[0] + this.axisOffset[1] + this.axisOffset[2])) {
      this.finding('state/position-unknown', -1, 'found motion under an axis offset whose size is not known');
    }
  }

  checkDistance(): void {
    if (this.distance !== 0) return;
    this.finding('state/distance-missing', -1, 'found motion before G90 or G91');
    this.distance = this.profile.controller.distance === 'incremental' ? 2 : 1;
  }

  /** Feed checks of a cutting block. Returns false when its time cannot be known. */
  cutting(mask: number): boolean {
    if (this.feedMode === 2) {
      if ((mask & bit(F)) === 0) {
        this.finding('state/inverse-feed-missing', -1, 'found a cutting motion in inverse time without F');
        return false;
      }
      return true;
    }
    if (this.profile.controller.feed.word === 'every-cut' && (mask & bit(F)) === 0) {
      this.finding('state/feed-every-cut', -1, 'found a cutting motion without F');
    }
    if (!(this.feed > 0)) this.noFeed();
    else if (this.feedStale) {
      this.finding(
        'state/feed-before-units',
        -1,
        `found a cutting motion at F${this.feed} from before the units word`,
      );
      this.feedStale = false;
    }
    return true;
  }

  /** Inverse time: F is one over minutes, so the speed is the length times F. */
  inverse(length: number): number {
    const feed = length * this.feed;
    return Number.isNaN(feed) ? 0 : feed;
  }

  /** Speed of an S word: rpm, or one of the profile's code numbers. */
  speedOf(value: number): number {
    const codes = this.profile.controller.spindle.codes;
    if (codes === undefined || codes.length === 0) return value;
    const known = codes.find((entry) => entry.code === value);
    if (known !== undefined) return known.rpm;
    this.finding(
      'grammar/out-of-range',
      S,
      `found S${value}, expected one of the speed codes ${codes.map((entry) => entry.code).join(', ')}`,
    );
    return Number.NaN;
  }

  spindle(code: number): void {
    this.turning = code === 3 ? 1 : code === 4 ? -1 : 0;
    this.updateRpm();
    this.event('spindle', this.rpm, `M${code}`);
  }

  auxiliary(code: number): void {
    const known = this.profile.outputs.get(code);
    if (known === undefined) {
      this.event('auxiliary', code, `M${code}`);
      return;
    }
    const b = this.block;
    const meant = known.filter((o) =>
      o.words.every((w) => this.has(w.letter) && Math.abs(b.value[w.letter]! - w.value) <= 0.0001),
    );
    if (meant.length === 0) {
      const expected = known
        .map((o) => o.words.map((w) => `${NAME[w.letter]}${w.value}`).join(' '))
        .join(' or ');
      this.finding(
        'grammar/unknown-code',
        -1,
        `found M${code} without the words of a known output, expected ${expected}`,
      );
      return;
    }
    // one code may switch several outputs, M9 off mist and coolant
    for (const { name, on } of meant) this.event('auxiliary', code, `${name} ${on ? 'on' : 'off'}`);
  }

  /** Does this code switch an output off? */
  switchesOff(code: number): boolean {
    return this.profile.outputs.get(code)?.every((o) => !o.on) ?? false;
  }

  /** Modes in force, as the next program finds them. */
  state(): ModalState {
    const scale = this.scale || 1;
    return {
      units: this.inch === null ? null : this.inch ? 'in' : 'mm',
      distance: this.distance === 0 ? null : this.distance === 1 ? 'absolute' : 'incremental',
      plane: this.plane === 17 ? 'XY' : this.plane === 18 ? 'XZ' : this.plane === 19 ? 'YZ' : null,
      feedMode: this.feedMode === 0 ? null : this.feedMode === 1 ? 'per-minute' : 'inverse',
      motion: this.motion === NONE ? null : `G${this.motion / 10}`,
      workOffset: this.workOffset === 0 ? null : this.workOffset,
      lengthOffset: said(this.lengthOffset),
      cutterCompensation: this.compensationOff === null ? null : 'off',
      cycleReturn: this.cycleReturn === 0 ? null : this.cycleReturn === 1 ? 'initial' : 'r-plane',
      feed: Number.isNaN(this.feed) ? null : this.feed * scale * this.feedTimes,
      speed: Number.isNaN(this.speed) ? null : this.speed,
      spindle: Number.isNaN(this.turning)
        ? null
        : this.turning === 0
          ? 'off'
          : this.turning > 0
            ? 'clockwise'
            : 'counter-clockwise',
      tool: said(this.tool),
    };
  }
}

/** A number that the program has said, or null. */
function said(value: number): number | null {
  return value === NOT_SAID ? null : value;
}
