import type { EventKind, ModalState, ProgramEvent } from '../trace.ts';
import { ARC, CYCLE, FEED, MACHINE, MACHINE_X, MACHINE_Y, MACHINE_Z, RAPID } from '../trace.ts';
import { type ArcResult, arcByCentre, arcByRadius, arcInQuadrant } from './arc.ts';
import type { BlockScanner } from './block-scanner.ts';
import type { MotionColumns } from './motion-columns.ts';
import type { ReadOptions } from './options.ts';
import { GROUP, M_GROUP, type ReadingProfile } from './reading-profile.ts';

const INCH = 25.4;
/** Motions that a program may ask for beyond its lines: a repeat count of a million is an error of writing. */
const MOST_REPEATS = 10_000;
const MOST_MOTIONS = 20_000_000;

// Letter indexes.
const D = 3;
const F = 5;
const H = 7;
const I = 8;
const J = 9;
const K = 10;
const L = 11;
const P = 15;
const Q = 16;
const R = 17;
const S = 18;
const T = 19;
const X = 23;
const Y = 24;
const Z = 25;
const bit = (letter: number): number => 1 << letter;
const AXES = bit(X) | bit(Y) | bit(Z);
const PLAIN = AXES | bit(F) | bit(13);
const AXIS_LETTER = [X, Y, Z];
const CENTRE_LETTER = [I, J, K];
const NAME = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

// Motion modes, as ten times the code; −1 unknown.
const NONE = -1;
const G0 = 0;
const G1 = 10;
const G2 = 20;
const G3 = 30;
const G80 = 800;

const isCycle = (motion: number): boolean => motion > G80 && motion <= 890;

/** Plane data: first axis, second axis, normal (0 X, 1 Y, 2 Z). In G18 the order is Z, X (NGC 3.5.3). */
const PLANES: Readonly<Record<number, readonly [number, number, number]>> = {
  17: [0, 1, 2],
  18: [2, 0, 1],
  19: [1, 2, 0],
};

/**
 * Carries blocks out in the order of NGC table 8 and writes motions and events. Positions are millimetres in the work
 * offset in force, with G92 offsets taken out; NaN where the program has not said.
 */
export class Interpreter {
  readonly events: ProgramEvent[] = [];
  ended = false;
  /** Lines with at least one word. */
  blocks = 0;
  x = Number.NaN;
  y = Number.NaN;
  z = Number.NaN;
  readonly axisOffset: [number, number, number] = [0, 0, 0];
  readonly parameters = new Map<number, number>();

  private readonly given = new Map<number, number>();
  private readonly block: BlockScanner;
  private readonly out: MotionColumns;
  private readonly profile: ReadingProfile;
  private readonly strict: boolean;
  private readonly ngc: boolean;
  private readonly zSign: number;
  private readonly origins: Map<number, [number, number, number]>;
  private readonly toolLengths: Readonly<Record<number, number>>;

  /** mm per program unit; 0 until stated. */
  private scale = 0;
  private inch: boolean | null = null;
  /** 0 unknown, 1 absolute, 2 incremental. */
  private distance = 0;
  /** 0 unknown. */
  private plane = 0;
  /** 0 unknown, 1 per minute, 2 inverse time. */
  private feedMode = 0;
  private motion = NONE;
  private workOffset = 0;
  private lengthOffset: number | null = null;
  private lengthInForce = 0;
  private compensationOff: boolean | null = null;
  /** 0 unknown, 1 initial level, 2 R plane. */
  private cycleReturn = 0;
  /** Number of the F word in force; NaN until stated. */
  private feed = Number.NaN;
  /** Feeds of the text per minute: 60 where the controller counts per second. */
  private readonly feedTimes: number;
  private feedStale = false;
  private speed = Number.NaN;
  /** 0 off, 1 clockwise, −1 counter-clockwise, NaN unknown. */
  private turning = Number.NaN;
  private rpm = 0;
  private tool: number | null = null;
  private selected: number | null = null;
  private single: boolean;
  private savedAxisOffset: [number, number, number] = [0, 0, 0];

  private moved = false;
  private pathStated = false;
  private unitsFixed: boolean;
  /** False while every block must take the long way: modes not yet stated, or conventions that need a look. */
  private plain = false;
  private interrupted = false;

  // Sticky cycle numbers, mm (P seconds), and the height before the chain.
  private cycleR = Number.NaN;
  private cycleBottom = Number.NaN;
  private cycleDwell = Number.NaN;
  private cyclePeck = Number.NaN;
  private chainHeight = Number.NaN;

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
    if (!this.ngc) {
      this.compensationOff = true;
      if (c.toolLength === 'none') this.lengthOffset = 0;
    }
    const s = options.start;
    if (s !== undefined) [this.x, this.y, this.z] = 'x' in s ? [s.x, s.y, s.z] : [s[0], s[1], s[2]];
    this.preset(options.initial ?? {});
    this.refresh();
  }

  private preset(initial: Partial<ModalState>): void {
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

  /** Value of a parameter for the expression reader; undefined when nobody has set it. */
  parameter(index: number): number | undefined {
    return this.parameters.get(index) ?? this.given.get(index);
  }

  private setUnits(inch: boolean): void {
    this.inch = inch;
    this.scale = inch ? INCH : 1;
  }

  private updateRpm(): void {
    const speed = Number.isNaN(this.speed) ? 0 : this.speed;
    this.rpm = Number.isNaN(this.turning) || this.turning === 0 ? 0 : this.turning * speed;
  }

  private setLength(h: number): void {
    this.lengthOffset = h;
    this.lengthInForce = h === 0 ? 0 : (this.toolLengths[h] ?? Number.NaN);
  }

  /** Is the short way open for plain blocks of G0, G1 and axis words? */
  private refresh(): void {
    const c = this.profile.controller;
    this.plain =
      this.moved &&
      this.scale !== 0 &&
      this.distance !== 0 &&
      this.feedMode === 1 &&
      (this.motion === G0 || this.motion === G1) &&
      !this.feedStale &&
      !this.interrupted &&
      c.modal.motion &&
      c.feed.word === 'modal' &&
      !(this.strict && this.distance === 2 && c.distance === 'absolute') &&
      !Number.isNaN(this.axisOffset[0] + this.axisOffset[1] + this.axisOffset[2]);
  }

  private finding(rule: string, letter: number, message: string): void {
    const b = this.block;
    const from = letter >= 0 && (b.mask & bit(letter)) !== 0 ? b.from[letter]! : this.wordStart();
    b.finding(rule, from, this.wordEnd(from), message);
  }

  private findingG(rule: string, group: number, message: string): void {
    const b = this.block;
    const from = (b.gMask & bit(group)) !== 0 ? b.gFrom[group]! : this.wordStart();
    b.finding(rule, from, this.wordEnd(from), message);
  }

  private findingM(rule: string, group: number, message: string): void {
    const from = this.block.mFrom[group]!;
    this.block.finding(rule, from, this.wordEnd(from), message);
  }

  /** First character of the block that is not blank. */
  private wordStart(): number {
    return this.block.firstCharacter();
  }

  private wordEnd(from: number): number {
    return this.block.endOfWord(from);
  }

  private event(kind: EventKind, value: number, text: string): void {
    this.events.push({ kind, line: this.block.line, at: this.out.length, value, text });
  }

  /** Carries out the block the scanner holds. */
  execute(): void {
    const b = this.block;
    const mask = b.mask;
    if (mask === 0 && b.gCount === 0 && b.mCount === 0) {
      if (b.settings.length > 0) {
        this.blocks++;
        this.store();
      }
      return;
    }
    this.blocks++;
    // The short way: G0 or G1, axis words, F; nothing else. Most lines of most programs.
    if (
      this.plain &&
      b.mCount === 0 &&
      (mask & ~PLAIN) === 0 &&
      (mask & AXES) !== 0 &&
      (b.gCount === 0 || (b.gCount === 1 && b.gMask === 2 && (b.g[1] === G0 || b.g[1] === G1))) &&
      b.settings.length === 0
    ) {
      if (b.gCount === 1) this.motion = b.g[1]!;
      if ((mask & bit(F)) !== 0) this.feed = b.value[F]!;
      this.straight(mask);
      return;
    }
    this.long();
    this.refresh();
  }

  /** A straight motion of the axis words in `mask` with the modes in force. */
  private straight(mask: number): void {
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

  private checkKnown(mask: number): void {
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

  private noFeed(): void {
    if (Number.isNaN(this.feed)) {
      this.findingG('state/feed-missing', GROUP.motion, 'found a cutting motion before any F word');
    } else this.finding('state/feed-zero', F, 'found a cutting motion at F0, expected a feed');
  }

  private feedNow(): number {
    const feed = this.feed * (this.scale || 1) * this.feedTimes;
    return Number.isNaN(feed) ? 0 : feed;
  }

  private push(kind: number, flags: number): number {
    return this.out.straight(
      kind,
      this.block.line,
      this.x,
      this.y,
      this.z,
      this.plane,
      this.feedNow(),
      this.rpm,
      this.tool ?? 0,
      this.workOffset,
      flags,
    );
  }

  private has(letter: number): boolean {
    return (this.block.mask & bit(letter)) !== 0;
  }

  /** The value of a word that must be whole and within a range; NaN and a finding when it is not. */
  private whole(letter: number, from: number, to: number): number {
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

  private store(): void {
    const s = this.block.settings;
    for (let i = 0; i + 1 < s.length; i += 2) this.parameters.set(s[i]!, s[i + 1]!);
  }

  /** Every other block, in the order of NGC table 8. */
  private long(): void {
    const b = this.block;
    const profile = this.profile;
    const c = profile.controller;
    this.store();
    if (b.gCount === 0 && b.mCount === 0 && (b.mask & ~bit(13)) === 0) return;
    if (b.gCount > profile.maxG) {
      this.finding('grammar/too-many-g', -1, `found ${b.gCount} G words, expected at most ${profile.maxG}`);
    }
    if (b.mCount > profile.maxM) {
      this.finding('grammar/too-many-m', -1, `found ${b.mCount} M words, expected at most ${profile.maxM}`);
      return;
    }
    const g = (group: number): number => ((b.gMask & bit(group)) !== 0 ? b.g[group]! : NONE);
    const m = (group: number): number => ((b.mMask & bit(group)) !== 0 ? b.m[group]! : NONE);
    const once = g(GROUP.once);
    const motionWord = g(GROUP.motion);

    let mask = b.mask;
    let dwell = Number.NaN;
    if (once === 40) {
      const w = profile.dwell;
      if (w < 0 || (mask & bit(w)) === 0) {
        this.findingG('grammar/word-missing', GROUP.once, `found G4 without ${w < 0 ? 'P' : NAME[w]}`);
        return;
      }
      dwell = b.value[w]!;
      if (c.numbers.point === 'never' && b.from[w]! < b.gFrom[GROUP.once]!) {
        this.finding(
          'grammar/digits',
          w,
          'found the time before G4, expected it after, where its format is known',
        );
        return;
      }
      if (dwell < 0) {
        this.finding('grammar/negative', w, `found a dwell of ${dwell}, expected zero or more`);
        return;
      }
      if (c.dwell.unit === 'ms') dwell /= 1000;
      mask &= ~bit(w);
    }

    const axes = (mask & AXES) !== 0;
    const takesAxes = once === 100 || once === 280 || once === 300 || once === 920;
    if (takesAxes && motionWord !== NONE && motionWord !== G80) {
      this.findingG(
        'grammar/axes-conflict',
        GROUP.once,
        `found G${once / 10} and G${motionWord / 10} in one block, expected only one that uses axis words`,
      );
      return;
    }
    const moving = (axes && !takesAxes) || (motionWord !== NONE && motionWord !== G80 && !takesAxes);
    const effective = motionWord !== NONE ? motionWord : this.motion;
    if (!this.wordsUsed(mask, moving ? effective : NONE, once, g(GROUP.length), motionWord)) return;
    if (this.strict && moving && (b.mMask & (bit(M_GROUP.spindle) | bit(M_GROUP.tool))) !== 0) {
      const group = (b.mMask & bit(M_GROUP.tool)) !== 0 ? M_GROUP.tool : M_GROUP.spindle;
      this.findingM('grammar/m-with-motion', group, `found M${b.m[group]} on a block with motion`);
    }

    // 2 feed mode, 3 feed, 4 speed, 5 tool select.
    const feedMode = g(GROUP.feedMode);
    if (feedMode !== NONE) {
      this.feedMode = feedMode === 930 ? 2 : 1;
    }
    const units = g(GROUP.units);
    if ((mask & bit(F)) !== 0) {
      this.feed = b.value[F]!;
      this.feedStale = false;
    }
    if ((mask & bit(S)) !== 0) {
      const speed = this.speedOf(b.value[S]!);
      if (Number.isNaN(speed)) return;
      this.speed = speed;
      if (this.turning === 1 || this.turning === -1) {
        const before = this.rpm;
        this.updateRpm();
        if (this.rpm !== before && m(M_GROUP.spindle) === NONE) this.event('spindle', this.rpm, 'S');
      }
    }
    if ((mask & bit(T)) !== 0) {
      const t = this.whole(T, 0, 99_999);
      if (Number.isNaN(t)) return;
      this.selected = t;
      this.event('tool-select', t, `T${t}`);
    }
    // 6 tool change, 7 spindle, 8 coolant, 9 overrides.
    if (m(M_GROUP.tool) === 6) {
      if (this.selected === null) {
        this.findingM('grammar/word-missing', M_GROUP.tool, 'found M6 before any T word');
      } else this.tool = this.selected;
      this.turning = 0;
      this.updateRpm();
      this.interrupted = true;
      this.event('tool', this.tool ?? 0, 'M6');
    }
    const spindle = m(M_GROUP.spindle);
    // NGC switches off before the motion of the block; the older standards after it.
    const late = !this.ngc && moving;
    if (spindle === 3 || spindle === 4 || (spindle === 5 && !late)) this.spindle(spindle);
    const coolant = m(M_GROUP.coolant);
    if (coolant !== NONE && !(coolant === 9 && late)) this.auxiliary(coolant);
    if (m(M_GROUP.override) !== NONE) this.auxiliary(m(M_GROUP.override));
    for (let group: number = M_GROUP.output; group < 31; group++) {
      const code = m(group);
      if (code !== NONE && !(late && this.switchesOff(code))) this.auxiliary(code);
    }
    // 10 dwell.
    if (once === 40) this.event('dwell', dwell, 'G4');
    // 11 plane.
    const plane = g(GROUP.plane);
    if (plane !== NONE) this.plane = plane / 10;
    // 12 units.
    if (units !== NONE) this.units(units === 200 || units === 700);
    // 13 radius compensation: only G40 gets here.
    if (g(GROUP.compensation) !== NONE) this.compensationOff = true;
    // 14 tool length.
    this.lengthWords(g(GROUP.length));
    // 15 work offset.
    if (g(GROUP.workOffset) !== NONE) {
      const code = g(GROUP.workOffset);
      this.changeWorkOffset(code <= 590 ? code / 10 - 53 : code - 590 + 6);
    }
    // 16 path control leaves no trace in positions. 17 distance, 18 cycle return.
    if (g(GROUP.path) !== NONE) this.pathStated = true;
    if (g(GROUP.distance) !== NONE) this.distance = g(GROUP.distance) === 900 ? 1 : 2;
    if (g(GROUP.cycleReturn) !== NONE) this.cycleReturn = g(GROUP.cycleReturn) === 980 ? 1 : 2;
    if (g(GROUP.quadrants) !== NONE) this.single = g(GROUP.quadrants) === 740;
    // 19 home, origins, axis offsets.
    if (once === 280 || once === 300) this.home(mask, once);
    else if (once === 100) this.origin(mask);
    else if (once >= 920 && once <= 923) this.axisOffsets(mask, once);
    // 20 motion.
    if (motionWord === G80) {
      if (moving) {
        this.findingG('state/axes-after-g80', GROUP.motion, 'found axis words with G80, expected none');
      }
      this.motion = G80;
    } else if (moving) this.move(mask, effective, motionWord !== NONE, once === 530);
    else if (once === 530) {
      this.findingG('grammar/word-missing', GROUP.once, 'found G53 without axis words');
    }
    if (late && spindle === 5) this.spindle(5);
    if (late && coolant === 9) this.auxiliary(9);
    if (late) {
      for (let group: number = M_GROUP.output; group < 31; group++) {
        const code = m(group);
        if (code !== NONE && this.switchesOff(code)) this.auxiliary(code);
      }
    }
    // 21 stops and the end.
    const stop = m(M_GROUP.stop);
    if (stop !== NONE) this.stop(stop);
  }

  /** Are all words of the block used by something in it? A word without its code shows that a code is missing. */
  private wordsUsed(mask: number, motion: number, once: number, length: number, motionWord: number): boolean {
    const arc = motion === G2 || motion === G3;
    const cycle = isCycle(motion);
    let used = AXES | bit(F) | bit(S) | bit(T) | bit(13);
    if (arc) used |= bit(R) | bit(I) | bit(J) | bit(K);
    if (cycle) used |= bit(R) | bit(L) | bit(P) | bit(Q);
    if (once === 100) used |= bit(L) | bit(P);
    if (length === 430) used |= bit(H);
    for (let group: number = 0; group < 31; group++) {
      if ((this.block.mMask & bit(group)) === 0) continue;
      for (const output of this.profile.outputs.get(this.block.m[group]!) ?? []) {
        for (const word of output.words) used |= bit(word.letter);
      }
    }
    const unused = mask & ~used;
    if (unused === 0) return true;
    for (let letter = 0; letter < 26; letter++) {
      if ((unused & bit(letter)) === 0) continue;
      const hint = [I, J, K].includes(letter)
        ? 'G2 or G3'
        : letter === H
          ? 'G43'
          : letter === D
            ? 'G41 or G42'
            : '';
      this.finding(
        'grammar/word-unused',
        letter,
        `found ${NAME[letter]}${this.block.value[letter]}, which nothing in this block uses${hint === '' ? '' : `; expected ${hint}`}${motionWord === NONE ? '' : ` beside G${motionWord / 10}`}`,
      );
      return false;
    }
    return false;
  }

  /** Speed of an S word: rpm, or one of the profile's code numbers. */
  private speedOf(value: number): number {
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

  private spindle(code: number): void {
    this.turning = code === 3 ? 1 : code === 4 ? -1 : 0;
    this.updateRpm();
    this.event('spindle', this.rpm, `M${code}`);
  }

  private auxiliary(code: number): void {
    const known = this.profile.outputs.get(code);
    if (known === undefined) {
      this.event('auxiliary', code, `M${code}`);
      return;
    }
    const b = this.block;
    const output = known.find((o) =>
      o.words.every((w) => this.has(w.letter) && Math.abs(b.value[w.letter]! - w.value) <= 0.0001),
    );
    if (output === undefined) {
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
    this.event('auxiliary', code, `${output.name} ${output.on ? 'on' : 'off'}`);
  }

  /** Does this code switch an output off? */
  private switchesOff(code: number): boolean {
    return this.profile.outputs.get(code)?.every((o) => !o.on) ?? false;
  }

  private units(inch: boolean): void {
    const c = this.profile.controller;
    if (inch !== (c.units === 'in')) {
      this.findingG(
        'state/units-profile',
        GROUP.units,
        `found ${inch ? 'inch' : 'millimetre'} units, expected ${c.units === 'in' ? 'inch' : 'millimetre'}`,
      );
    }
    if (this.inch !== null && this.inch !== inch && this.moved) {
      this.findingG('state/units-changed', GROUP.units, 'found other units than before');
    }
    if (this.inch !== inch && !Number.isNaN(this.feed)) this.feedStale = true;
    this.setUnits(inch);
  }

  private lengthWords(code: number): void {
    if (code === NONE) return;
    const before = this.lengthInForce;
    const number = this.lengthOffset;
    if (code === 490) this.setLength(0);
    else {
      if (!this.has(H)) {
        // The report allows G43 with the tool in the spindle only through H.
        this.findingG('grammar/word-missing', GROUP.length, 'found G43 without H');
        return;
      }
      const h = this.whole(H, 0, 99_999);
      if (Number.isNaN(h)) return;
      this.setLength(h);
    }
    // The tip's height in program coordinates changes with the length; unknown when a length is.
    if (number !== this.lengthOffset && before !== this.lengthInForce) this.z += before - this.lengthInForce;
    this.event('length-offset', this.lengthOffset ?? 0, code === 490 ? 'G49' : `G43 H${this.lengthOffset}`);
  }

  private changeWorkOffset(number: number): void {
    const before = this.workOffset;
    if (before !== number) {
      if (before !== 0 && this.moved) {
        this.findingG(
          'state/offset-changed',
          GROUP.workOffset,
          `found work offset ${number} after ${before}; their distance is not in the text`,
        );
      }
      if (before !== 0) {
        const from = this.origins.get(before);
        const to = this.origins.get(number);
        const shift = (axis: number): number =>
          from === undefined || to === undefined ? Number.NaN : from[axis]! - to[axis]!;
        this.x += shift(0);
        this.y += shift(1);
        this.z += shift(2);
      }
      this.workOffset = number;
    }
    this.event('work-offset', number, number <= 6 ? `G${53 + number}` : `G59.${number - 6}`);
  }

  /** Sets one coordinate. */
  private put(axis: number, value: number): void {
    if (axis === 0) this.x = value;
    else if (axis === 1) this.y = value;
    else this.z = value;
  }

  private at(axis: number): number {
    return axis === 0 ? this.x : axis === 1 ? this.y : this.z;
  }

  /** Value of an axis word in mm, Z upwards. */
  private axisValue(axis: number): number {
    const value = this.block.value[AXIS_LETTER[axis]!]! * (this.scale || this.profileScale());
    return axis === 2 ? value * this.zSign : value;
  }

  private profileScale(): number {
    return this.profile.controller.units === 'in' ? INCH : 1;
  }

  private checkUnits(): void {
    if (this.inch !== null) return;
    const letter = this.has(X) ? X : this.has(Y) ? Y : Z;
    this.finding('state/units-missing', letter, 'found a dimension before the units are stated');
    // Read on in the profile's units so that later findings make sense; the program is no longer vouched for.
    this.setUnits(this.profile.controller.units === 'in');
  }

  /** Moves the position to the axis words of `mask`. */
  private target(mask: number): void {
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

  private home(mask: number, code: number): void {
    if (this.profile.controller.home !== 'G28' || code !== 280)
      this.findingG('state/home', GROUP.once, `found G${code / 10}, a move to the home position`);
    const named = mask & AXES;
    if (!this.moved) this.firstMotion();
    if (named !== 0) {
      this.checkUnits();
      this.checkDistance();
      this.target(mask);
      this.push(RAPID, 0);
    }
    // The report sends every axis home (3.5.8); other standards only those named.
    const all = this.ngc || named === 0;
    let flags = MACHINE;
    if (all || (named & bit(X)) !== 0) {
      this.x = Number.NaN;
      flags |= MACHINE_X;
    }
    if (all || (named & bit(Y)) !== 0) {
      this.y = Number.NaN;
      flags |= MACHINE_Y;
    }
    if (all || (named & bit(Z)) !== 0) {
      this.z = Number.NaN;
      flags |= MACHINE_Z;
    }
    this.push(RAPID, flags);
    this.moved = true;
    this.event('home', code / 10, `G${code / 10}`);
  }

  private origin(mask: number): void {
    this.findingG('state/origin-rewritten', GROUP.once, 'found G10, which rewrites a work offset');
    if (!this.has(L) || Math.abs(this.block.value[L]! - 2) > 0.0001) {
      this.findingG('grammar/code-not-followed', GROUP.once, 'found G10 in another form than G10 L2');
      return;
    }
    if (!this.has(P)) {
      this.findingG('grammar/word-missing', GROUP.once, 'found G10 L2 without P');
      return;
    }
    const number = this.whole(P, 1, 9);
    if (Number.isNaN(number)) return;
    if ((mask & AXES) !== 0) this.checkUnits();
    const before = this.origins.get(number) ?? [Number.NaN, Number.NaN, Number.NaN];
    const after: [number, number, number] = [before[0]!, before[1]!, before[2]!];
    for (let axis = 0; axis < 3; axis++) {
      if ((mask & bit(AXIS_LETTER[axis]!)) !== 0) after[axis] = this.axisValue(axis);
    }
    if (number === this.workOffset || this.workOffset === 0) {
      for (let axis = 0; axis < 3; axis++) {
        if ((mask & bit(AXIS_LETTER[axis]!)) !== 0)
          this.put(axis, this.at(axis) + before[axis]! - after[axis]!);
      }
    }
    this.origins.set(number, after);
    this.event('origin', number, 'G10 L2');
  }

  private axisOffsets(mask: number, code: number): void {
    this.findingG(
      'state/axis-offset',
      GROUP.once,
      `found G${code / 10}, which shifts everything that follows`,
    );
    const o = this.axisOffset;
    if (code === 920) {
      if ((mask & AXES) === 0) {
        this.findingG('grammar/word-missing', GROUP.once, 'found G92 without axis words');
        return;
      }
      this.checkUnits();
      for (let axis = 0; axis < 3; axis++) {
        if ((mask & bit(AXIS_LETTER[axis]!)) === 0) continue;
        o[axis] = this.at(axis) - this.axisValue(axis);
        if (Number.isNaN(o[axis]!)) {
          this.finding(
            'state/position-unknown',
            AXIS_LETTER[axis]!,
            'found G92 at a place that the program has not given',
          );
        }
      }
      this.savedAxisOffset = [o[0], o[1], o[2]];
    } else if (code === 923) {
      [o[0], o[1], o[2]] = this.savedAxisOffset;
    } else {
      o[0] = o[1] = o[2] = 0;
      if (code === 921) this.savedAxisOffset = [0, 0, 0];
    }
    this.event('axis-offset', code / 10, `G${code / 10}`);
  }

  private checkDistance(): void {
    if (this.distance !== 0) return;
    this.finding('state/distance-missing', -1, 'found motion before G90 or G91');
    this.distance = this.profile.controller.distance === 'incremental' ? 2 : 1;
  }

  private firstMotion(): void {
    const c = this.profile.controller;
    const missing: string[] = [];
    if (this.plane === 0 && (this.ngc || c.plane === 'G17')) missing.push('G17');
    if (this.feedMode === 0) missing.push('G94');
    if (this.compensationOff === null) missing.push('G40');
    if (this.lengthOffset === null) missing.push(c.toolLength === 'G43' ? 'G43 or G49' : 'G49');
    if (this.workOffset === 0 && c.workOffset !== 'none') missing.push('G54');
    if (!this.pathStated && (c.pathMode ?? 'none') !== 'none') missing.push(c.pathMode!);
    if (missing.length > 0) {
      this.finding('state/safe-start', -1, `found motion before ${missing.join(', ')} is stated`);
    }
  }

  private move(mask: number, motion: number, stated: boolean, machine: boolean): void {
    const c = this.profile.controller;
    if ((mask & AXES) === 0 && (motion === G0 || motion === G1)) {
      // The older standards let the word stand alone as a change of mode.
      if (this.ngc) {
        this.findingG('grammar/word-missing', GROUP.motion, `found G${motion / 10} without axis words`);
        return;
      }
      this.motion = motion;
      return;
    }
    if (motion === NONE) {
      this.finding('state/motion-missing', -1, 'found axis words before any motion word');
      return;
    }
    if (motion === G80) {
      this.finding('state/axes-after-g80', -1, 'found axis words while G80 is in force');
      return;
    }
    if (!stated && !c.modal.motion) {
      this.finding('grammar/motion-word-missing', -1, `found axis words without G${motion / 10}`);
    }
    if (this.interrupted) {
      if (!stated) {
        this.finding(
          'state/stale-motion',
          -1,
          `found axis words under a G${motion / 10} from before an interruption`,
        );
      }
      this.interrupted = false;
    }
    this.checkUnits();
    this.checkDistance();
    if (!this.moved) this.firstMotion();
    if (this.distance === 2 && c.distance === 'absolute' && !machine) {
      this.findingG(
        'state/distance-profile',
        GROUP.distance,
        'found incremental motion, expected absolute positions',
      );
    }
    if (!isCycle(motion) && isCycle(this.motion) && c.cycles.cancel) {
      this.findingG(
        'state/cycle-not-cancelled',
        GROUP.motion,
        `found G${motion / 10} while G${this.motion / 10} is in force, expected G80 first`,
      );
    }
    const previous = this.motion;
    this.motion = motion;
    if (machine) this.machineMove(mask, motion);
    else if (motion === G0 || motion === G1) this.line(mask, motion);
    else if (motion === G2 || motion === G3) this.arc(mask, motion === G2);
    else this.cycle(mask, motion, previous);
    this.moved = true;
  }

  /** Feed checks of a cutting block. Returns false when its time cannot be known. */
  private cutting(mask: number): boolean {
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

  private line(mask: number, motion: number): void {
    const x = this.x;
    const y = this.y;
    const z = this.z;
    this.target(mask);
    if (motion === G0) {
      this.push(RAPID, 0);
      return;
    }
    const timed = this.cutting(mask);
    const i = this.push(FEED, 0);
    if (this.feedMode === 2) {
      const dx = this.x - x;
      const dy = this.y - y;
      const dz = this.z - z;
      this.out.feed[i] = timed ? this.inverse(Math.sqrt(dx * dx + dy * dy + dz * dz)) : 0;
    }
  }

  /** Inverse time: F is one over minutes, so the speed is the length times F. */
  private inverse(length: number): number {
    const feed = length * this.feed;
    return Number.isNaN(feed) ? 0 : feed;
  }

  private machineMove(mask: number, motion: number): void {
    if (motion !== G0 && motion !== G1) {
      this.findingG('grammar/axes-conflict', GROUP.once, `found G53 with G${motion / 10}, expected G0 or G1`);
      return;
    }
    if (this.profile.controller.home !== 'G53')
      this.findingG('state/machine-coordinates', GROUP.once, 'found a move in machine coordinates');
    const origin = this.origins.get(this.workOffset);
    let flags = MACHINE;
    const known: [number, number, number] = [this.x, this.y, this.z];
    for (let axis = 0; axis < 3; axis++) {
      if ((mask & bit(AXIS_LETTER[axis]!)) === 0) continue;
      const value = this.axisValue(axis);
      flags |= MACHINE_X << axis;
      this.put(axis, value);
      const length = axis === 2 ? this.lengthInForce : 0;
      known[axis] = origin === undefined ? Number.NaN : value - origin[axis]! - length;
    }
    if (motion === G1) this.cutting(mask);
    this.push(motion === G0 ? RAPID : FEED, flags);
    [this.x, this.y, this.z] = known;
  }

  private planeKnown(what: string): boolean {
    if (this.plane === 0) {
      this.findingG('state/plane-missing', GROUP.motion, `found ${what} before the plane is stated`);
      this.plane = 17;
    }
    return true;
  }

  private tolerance(): number {
    const t = this.profile.controller.arcs.tolerance;
    // The report allows 0.002 mm or 0.0002 in, which is the larger; a profile may be stricter or wider.
    return this.inch === true ? Math.max(t, Math.min(t * 2.54, 0.0002 * INCH)) : t;
  }

  private arc(mask: number, clockwise: boolean): void {
    const b = this.block;
    const arcs = this.profile.controller.arcs;
    this.planeKnown('an arc');
    const [a1, a2, a3] = PLANES[this.plane]!;
    const word = (axis: number) => bit(AXIS_LETTER[axis]!);
    const code = clockwise ? 'G2' : 'G3';
    const s1 = this.at(a1);
    const s2 = this.at(a2);
    const s3 = this.at(a3);
    const centre1 = CENTRE_LETTER[a1]!;
    const centre2 = CENTRE_LETTER[a2]!;
    const centre3 = CENTRE_LETTER[a3]!;
    const radiusForm = (mask & bit(R)) !== 0;
    const offsets = mask & (bit(I) | bit(J) | bit(K));
    if ((mask & (word(a1) | word(a2))) === 0) {
      this.findingG(
        'grammar/word-missing',
        GROUP.motion,
        `found ${code} without ${NAME[AXIS_LETTER[a1]!]} or ${NAME[AXIS_LETTER[a2]!]}`,
      );
      return;
    }
    if (radiusForm && offsets !== 0) {
      this.finding('grammar/word-unused', R, 'found R beside a centre, expected one of the two');
      return;
    }
    if (!radiusForm && (mask & (bit(centre1) | bit(centre2))) === 0) {
      this.findingG(
        'grammar/word-missing',
        GROUP.motion,
        `found ${code} without ${NAME[centre1]}, ${NAME[centre2]} or R`,
      );
      return;
    }
    if ((mask & bit(centre3)) !== 0) {
      this.finding(
        'grammar/word-unused',
        centre3,
        `found ${NAME[centre3]}, which has no place in this plane`,
      );
      return;
    }
    if (radiusForm && !this.ngc && arcs.form !== 'radius') {
      this.finding(
        'grammar/letter-not-allowed',
        R,
        'found an arc by radius, which this controller does not have',
      );
    }
    if (!radiusForm && arcs.form === 'radius') {
      this.finding(
        'grammar/letter-not-allowed',
        (mask & bit(centre1)) !== 0 ? centre1 : centre2,
        'found an arc by its centre; this controller takes a radius',
      );
    }
    this.target(mask);
    const e1 = this.at(a1);
    const e2 = this.at(a2);
    const e3 = this.at(a3);
    if (Number.isNaN(s1 + s2)) {
      this.findingG(
        'state/position-unknown',
        GROUP.motion,
        'found an arc from a place that the program has not given',
      );
    }
    const helix = (mask & word(a3)) !== 0 && e3 !== s3;
    if (helix && !arcs.helix) {
      this.finding(
        'grammar/code-not-allowed',
        AXIS_LETTER[a3]!,
        'found a helix, which this controller does not have',
      );
    }
    const length = (letter: number): number => {
      if ((mask & bit(letter)) === 0) return 0;
      const v = b.value[letter]! * this.scale;
      return letter === K ? v * this.zSign : v;
    };
    const tolerance = this.tolerance();
    let arc: ArcResult;
    if (radiusForm) arc = arcByRadius(s1, s2, e1, e2, b.value[R]! * this.scale, clockwise, tolerance);
    else if (arcs.form === 'centre-absolute') {
      if ((mask & bit(centre1)) === 0 || (mask & bit(centre2)) === 0) {
        this.findingG(
          'grammar/word-missing',
          GROUP.motion,
          `found an absolute centre without both ${NAME[centre1]} and ${NAME[centre2]}`,
        );
      }
      const c1 = length(centre1) + this.axisOffset[a1]!;
      const c2 = length(centre2) + this.axisOffset[a2]!;
      arc = arcByCentre(s1, s2, e1, e2, c1, c2, clockwise, tolerance);
    } else if (this.single) {
      const i = length(centre1);
      const j = length(centre2);
      arc = arcInQuadrant(s1, s2, e1, e2, Math.abs(i), Math.abs(j), clockwise, tolerance);
      if (i < 0 || j < 0) arc.fault = 'quadrant';
    } else
      arc = arcByCentre(s1, s2, e1, e2, s1 + length(centre1), s2 + length(centre2), clockwise, tolerance);

    if (!Number.isNaN(s1 + s2 + e1 + e2)) this.arcFindings(arc, radiusForm, code);
    const timed = this.cutting(mask);
    const out = this.out;
    const n = this.push(ARC, 0);
    out.c1[n] = arc.c1;
    out.c2[n] = arc.c2;
    out.sweep[n] = arc.sweep;
    if (this.feedMode === 2) {
      const along = Math.abs(arc.sweep) * arc.radius;
      const rise = e3 - s3;
      out.feed[n] = timed
        ? this.inverse(Math.sqrt(along * along + (Number.isNaN(rise) ? 0 : rise * rise)))
        : 0;
    }
  }

  private arcFindings(arc: ArcResult, radiusForm: boolean, code: string): void {
    const arcs = this.profile.controller.arcs;
    if (arc.fault === 'radius') {
      this.findingG(
        'state/arc-radius',
        GROUP.motion,
        `found ${code} with start and end radius ${round(arc.difference)} mm apart, expected at most ${round(this.tolerance())}`,
      );
      return;
    }
    if (arc.fault === 'end') {
      this.finding('state/arc-end', R, `found ${code} by a radius that fits no single circle`);
      return;
    }
    if (arc.fault === 'quadrant') {
      this.findingG('state/arc-quadrant', GROUP.motion, `found ${code} that does not fit into one quadrant`);
      return;
    }
    const turn = Math.abs(arc.sweep);
    const full = turn > 2 * Math.PI - 1e-12;
    if (radiusForm) {
      const degrees = (turn * 180) / Math.PI;
      if ((degrees > 165 && degrees < 195) || degrees > 345) {
        this.finding(
          'state/arc-half-turn',
          R,
          `found ${code} by radius over ${round(degrees)}°, expected up to 165°`,
        );
      }
    }
    if (full && arcs.fullCircle !== 'one') {
      this.findingG(
        'state/full-circle',
        GROUP.motion,
        `found a full circle, expected it in ${arcs.fullCircle} parts`,
      );
    }
    if (arc.radius < arcs.minRadius || arc.radius > arcs.maxRadius) {
      this.findingG(
        'state/arc-size',
        GROUP.motion,
        `found a radius of ${round(arc.radius)} mm, expected ${arcs.minRadius} to ${arcs.maxRadius}`,
      );
    }
  }

  /** Drilling and boring cycles (NGC 3.5.16), as the rapids and feeds they stand for. */
  private cycle(mask: number, code: number, previous: number): void {
    const b = this.block;
    this.planeKnown('a cycle');
    const [a1, a2, a3] = PLANES[this.plane]!;
    const word = (axis: number) => bit(AXIS_LETTER[axis]!);
    const name = `G${code / 10}`;
    if ((mask & (word(a1) | word(a2))) === 0) {
      this.findingG('state/cycle-position', GROUP.motion, `found ${name} without a position in its plane`);
      return;
    }
    const same = previous === code;
    const sign = a3 === 2 ? this.zSign : 1;
    if ((mask & word(a3)) !== 0) this.cycleBottom = b.value[AXIS_LETTER[a3]!]! * this.scale * sign;
    else if (!same) {
      this.findingG('grammar/word-missing', GROUP.motion, `found ${name} without ${NAME[AXIS_LETTER[a3]!]}`);
      return;
    }
    if ((mask & bit(R)) !== 0) this.cycleR = b.value[R]! * this.scale * sign;
    else if (!isCycle(previous)) {
      this.findingG('grammar/word-missing', GROUP.motion, `found ${name} without R`);
      return;
    }
    const dwells = code === 820 || code === 860 || code === 890;
    if ((mask & bit(P)) !== 0) {
      if (!dwells) {
        this.finding('grammar/word-unused', P, `found P, which ${name} does not use`);
        return;
      }
      this.cycleDwell = this.profile.controller.dwell.unit === 'ms' ? b.value[P]! / 1000 : b.value[P]!;
    } else if (dwells && !same) {
      this.findingG('grammar/word-missing', GROUP.motion, `found ${name} without P`);
      return;
    }
    if ((mask & bit(Q)) !== 0) {
      if (code !== 830) {
        this.finding('grammar/word-unused', Q, `found Q, which ${name} does not use`);
        return;
      }
      this.cyclePeck = b.value[Q]! * this.scale;
      if (!(this.cyclePeck > 0)) {
        this.finding('grammar/out-of-range', Q, `found Q${b.value[Q]}, expected more than 0`);
        return;
      }
    } else if (code === 830 && !same) {
      this.findingG('grammar/word-missing', GROUP.motion, `found ${name} without Q`);
      return;
    }
    let repeats = 1;
    if ((mask & bit(L)) !== 0) {
      repeats = this.whole(L, 1, MOST_REPEATS);
      if (Number.isNaN(repeats)) return;
    }
    if (this.feedMode === 2) {
      this.findingG('grammar/axes-conflict', GROUP.motion, `found ${name} in inverse time mode`);
      return;
    }
    this.cutting(mask);

    const before = this.at(a3);
    if (!isCycle(previous)) this.chainHeight = before;
    const incremental = this.distance === 2;
    const r = incremental ? before + this.cycleR : this.cycleR + this.axisOffset[a3]!;
    const bottom = incremental ? r + this.cycleBottom : this.cycleBottom + this.axisOffset[a3]!;
    if (r < bottom) {
      this.finding(
        'state/cycle-depth',
        R,
        `found R ${round(Math.abs(r - bottom))} mm below the bottom of the cycle, expected it above`,
      );
      return;
    }
    if (incremental) {
      this.checkKnown(mask & ~word(a3));
      if (Number.isNaN(before)) {
        this.findingG(
          'state/position-unknown',
          GROUP.motion,
          `found ${name} in G91 at a height that is not known`,
        );
      }
    }
    const clear = this.clearHeight(before, r, name);

    const line = (kind: number) => this.push(kind, CYCLE);
    const height = (value: number, kind: number) => {
      this.put(a3, value);
      line(kind);
    };
    if (before < r) height(r, RAPID);
    for (let turn = 0; turn < repeats; turn++) {
      const at1 = this.at(a1);
      const at2 = this.at(a2);
      for (const axis of [a1, a2]) {
        if ((mask & word(axis)) === 0) continue;
        const v = this.axisValue(axis);
        this.put(axis, incremental ? this.at(axis) + v : v + this.axisOffset[axis]!);
      }
      if (this.at(a1) !== at1 || this.at(a2) !== at2) line(RAPID);
      if (this.at(a3) !== r) height(r, RAPID);
      if (code === 830) this.peck(a3, r, bottom, clear);
      else height(bottom, FEED);
      if (dwells) this.event('dwell', this.cycleDwell, name);
      if (code === 850 || code === 890) {
        height(r, FEED);
        if (clear !== r) height(clear, RAPID);
      } else if (code === 860) {
        const turning = this.turning;
        this.spindle(5);
        height(clear, RAPID);
        if (turning === 1 || turning === -1) this.spindle(turning === 1 ? 3 : 4);
      } else height(clear, RAPID);
      if (this.out.length > MOST_MOTIONS) {
        this.finding('state/too-many-motions', L, `found more than ${MOST_MOTIONS} motions`);
        this.ended = true;
        return;
      }
    }
  }

  /** Height after each hole: G99 R; G98 the height before the cycle, never below R. */
  private clearHeight(before: number, r: number, name: string): number {
    const perBlock = Math.max(before, r);
    const perChain = Math.max(this.chainHeight, r);
    if (this.cycleReturn === 2) return r;
    if (Number.isNaN(before)) {
      this.findingG('state/position-unknown', GROUP.motion, `found ${name} at a height that is not known`);
      return Number.NaN;
    }
    if (this.cycleReturn === 0) {
      if (perBlock !== r) {
        this.findingG('state/cycle-return-missing', GROUP.motion, `found ${name} before G98 or G99`);
      }
      return perBlock;
    }
    if (Math.abs(perBlock - perChain) > 1e-9) {
      this.findingG(
        'state/cycle-initial-height',
        GROUP.motion,
        `found ${name} with G98: ${round(perBlock)} mm before this block, ${round(perChain)} mm before the chain`,
      );
    }
    return perBlock;
  }

  /** Pecks of G83: feed by Q, rapid to the clear height, rapid back to just above the last bottom (NGC 3.5.16.4). */
  private peck(axis: number, r: number, bottom: number, clear: number): void {
    // The report gives no size for backing off; a quarter of a millimetre is customary.
    const back = Math.min(0.25, this.cyclePeck / 2);
    const count = Math.ceil((r - bottom) / this.cyclePeck - 1e-9);
    if (count > MOST_REPEATS) {
      this.finding('state/too-many-motions', Q, `found ${count} pecks in one hole`);
      return;
    }
    for (let n = 1; n <= count; n++) {
      const depth = n === count ? bottom : r - n * this.cyclePeck;
      this.put(axis, depth);
      this.push(FEED, CYCLE);
      if (n === count) return;
      this.put(axis, clear);
      this.push(RAPID, CYCLE);
      this.put(axis, depth + back);
      this.push(RAPID, CYCLE);
    }
    if (count === 0) {
      this.put(axis, bottom);
      this.push(FEED, CYCLE);
    }
  }

  private stop(code: number): void {
    if (code === 0 || code === 60) {
      this.event('stop', code, `M${code}`);
      this.interrupted = true;
      return;
    }
    if (code === 1) {
      this.event('optional-stop', code, 'M1');
      this.interrupted = true;
      return;
    }
    const expected = this.profile.controller.end.word;
    if (`M${code}` !== expected) {
      this.findingM('grammar/end-word', M_GROUP.stop, `found M${code}, expected ${expected}`);
    }
    if (this.distance === 2) {
      this.findingM(
        'state/distance-left',
        M_GROUP.stop,
        'found the end of the program while G91 is in force',
      );
    }
    this.event('end', code, `M${code}`);
    this.ended = true;
    this.turning = 0;
    if (this.ngc) {
      // NGC 3.6.1: what the end resets. Units, length offset, cycle return, F, S and the tool stay as they are.
      this.axisOffset[0] = this.axisOffset[1] = this.axisOffset[2] = 0;
      this.changeWorkOffsetQuietly(1);
      this.plane = 17;
      this.distance = 1;
      this.feedMode = 1;
      this.compensationOff = true;
      this.motion = G1;
    }
    this.updateRpm();
  }

  private changeWorkOffsetQuietly(number: number): void {
    if (this.profile.controller.workOffset === 'none') return;
    this.workOffset = number;
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
      lengthOffset: this.lengthOffset,
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
      tool: this.tool,
    };
  }
}

const round = (v: number): number => Math.round(v * 1e4) / 1e4;
