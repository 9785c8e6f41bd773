import type { Move } from '@bedledger/bedwork';
import { fault } from '../fault.ts';
import { quantise } from '../numbers/grid.ts';
import type { NumberForm } from '../numbers/number-form.ts';
import { ByteText } from '../text/byte-text.ts';
import { writeArc } from './arc-writer.ts';
import { BlockWriter, type Numbering } from './block-writer.ts';
import { writeDrill } from './drill-writer.ts';
import { Extents } from './extents.ts';
import type { Setup } from './setup.ts';

const F = 70;
const H = 72;
const I = 73;
const J = 74;
const Q = 81;
const R = 82;
const S = 83;
const T = 84;
const X = 88;
const Y = 89;
const Z = 90;
const MOTION_CODES = ['G0', 'G1', 'G2', 'G3'] as const;

/** What of the machine's state a part takes over from the part before it. */
export interface Carried {
  /** Move the part begins with. */
  readonly index: number;
  readonly rpm: number | null;
  readonly auxiliaries: readonly string[];
  /** Section the part begins in the middle of. */
  readonly section: string | null;
}

/** A place where the part may end, with all that has to be undone to end there. */
interface Break extends Carried {
  readonly length: number;
  readonly lines: number;
  readonly numbering: Numbering;
  readonly spindleStated: boolean;
  readonly extents: Extents;
  readonly feedMinutes: number;
  readonly sections: number;
  readonly px: number;
  readonly py: number;
  readonly pz: number;
  readonly qx: number;
  readonly qy: number;
  readonly qz: number;
  readonly state: ModalMemory;
}

/** What the controller has been told in this part and may be left out until it changes. NaN and −1: nothing yet. */
interface ModalMemory {
  motion: number;
  feed: number;
  absolute: boolean;
  xyKnown: boolean;
  zKnown: boolean;
  restateXy: boolean;
  restateZ: boolean;
  pendingRpm: number | null;
  cycle: { g: number; z: number; r: number } | null;
}

export interface Budget {
  readonly lines: number;
  readonly bytes: number;
}

/**
 * Writes one part: from the words that state every modal group to the block before the footer. Positions are rounded to
 * the controller's grid once, here; everything after works on whole numbers of grid steps.
 */
export class PartWriter {
  readonly setup: Setup;
  readonly text: ByteText;
  readonly block: BlockWriter;
  extents = new Extents();
  /** Minutes of feed and dwell so far, to share the expected time out among parts. */
  feedMinutes = 0;
  /** Titles of the sections the part has anything of. */
  readonly sections: string[] = [];

  /** Where the neutral motion stands, mm, bed frame. NaN: nowhere yet. */
  px = Number.NaN;
  py = Number.NaN;
  pz: number;
  /** Where the written motion stands, grid steps, program coordinates. */
  qx = 0;
  qy = 0;
  qz = 0;

  #state: ModalMemory = {
    motion: -1,
    feed: Number.NaN,
    absolute: true,
    xyKnown: false,
    zKnown: false,
    restateXy: true,
    restateZ: true,
    pendingRpm: null,
    cycle: null,
  };
  #rpm: number | null = null;
  #spindleStated = false;
  #auxiliaries: string[] = [];
  #section: string | null = null;
  #index = 0;

  constructor(setup: Setup) {
    this.setup = setup;
    this.text = new ByteText(setup.controller.lineEnding);
    this.block = new BlockWriter(this.text, setup.controller, setup.integer);
    this.pz = setup.program.clearHeight;
  }

  // ---------------------------------------------------------------- numbers

  #fail(axis: string, value: number, form: NumberForm): never {
    const { program } = this.setup;
    const where = this.place();
    throw Number.isFinite(value)
      ? fault(
          'overflow',
          `${where}: ${axis} ${value}${this.#unit(axis)} does not fit ${form.integers} digits before the point and ${form.decimals} after it`,
          'give the word more digits in controller.numbers, or check the position',
          { program: program.name, move: this.#index + 1, axis, value },
        )
      : fault(
          'not-a-number',
          `${where}: ${axis} is ${value}, a finite number was expected`,
          'check the inputs of this operation',
          { program: program.name, move: this.#index + 1, axis },
        );
  }

  /** Unit of a word's number, for errors. */
  #unit(letter: string): string {
    const { units, dwell, feed } = this.setup.controller;
    if ('XYZIJRQ'.includes(letter)) return ` ${units}`;
    if (letter === dwell.word) return ` ${dwell.unit}`;
    if (letter === 'F') return ` ${units}/${(feed.per ?? 'minute') === 'minute' ? 'min' : 's'}`;
    return letter === 'S' ? ' rpm' : '';
  }

  /** `socket-pockets, move 17 (feed)`, for errors. */
  place(): string {
    const { program } = this.setup;
    const move = program.moves[this.#index];
    return move === undefined ? program.name : `${program.name}, move ${this.#index + 1} (${move.kind})`;
  }

  gridXy(value: number, axis: 'X' | 'Y'): number {
    const q = quantise(value, this.setup.scale);
    if (!(q < this.setup.xyz.limit && q > -this.setup.xyz.limit)) {
      this.#fail(axis, value * (this.setup.scale / this.setup.xyz.one), this.setup.xyz);
    }
    return q;
  }

  gridZ(value: number): number {
    const { setup } = this;
    const z = (value - setup.program.header.zeroHeight) * setup.controller.zSign;
    const q = quantise(z, setup.scale);
    if (!(q < setup.xyz.limit && q > -setup.xyz.limit)) {
      this.#fail('Z', z * (setup.scale / setup.xyz.one), setup.xyz);
    }
    return q;
  }

  /** A number that is already in grid steps, checked against its format. */
  word(letter: number, q: number, form: NumberForm): void {
    if (!(q < form.limit && q > -form.limit)) {
      this.#fail(String.fromCharCode(letter), q / form.one, form);
    }
    this.block.number(letter, q, form);
  }

  #feedSteps(feed: number): number {
    const { controller, feedScale, feed: form } = this.setup;
    if (!(feed >= controller.feed.min && feed <= controller.feed.max)) {
      throw fault(
        'feed',
        `${this.place()}: feed ${feed} mm/min, the controller takes ${controller.feed.min} to ${controller.feed.max}`,
        'correct the feed of this operation, or controller.feed in the machine profile',
        { feed, min: controller.feed.min, max: controller.feed.max },
      );
    }
    const q = quantise(feed, feedScale);
    if (q === 0) {
      throw fault(
        'feed',
        `${this.place()}: feed ${feed} mm/min is 0 with ${form.decimals} decimals`,
        'give controller.numbers.feed more decimals',
        { feed },
      );
    }
    if (q >= form.limit) this.#fail('F', q / form.one, form);
    return q;
  }

  // ---------------------------------------------------------------- words shared by motions

  #motion(g: number): void {
    if (this.#state.motion !== g || !this.setup.controller.modal.motion) {
      this.block.code(g < 10 ? MOTION_CODES[g]! : `G${g}`);
      this.#state.motion = g;
    }
  }

  #axis(letter: number, to: number, from: number, restate: boolean): void {
    if (this.#state.absolute) {
      if (to !== from || restate || !this.setup.controller.modal.axes)
        this.block.number(letter, to, this.setup.xyz);
    } else if (to !== from || !this.setup.controller.modal.axes) {
      this.word(letter, to - from, this.setup.xyz);
    }
  }

  #feedWord(feed: number): void {
    const q = this.#feedSteps(feed);
    if (q !== this.#state.feed || this.setup.controller.feed.word === 'every-cut') {
      this.block.number(F, q, this.setup.feed);
      this.#state.feed = q;
    }
  }

  #codeBlock(...words: readonly string[]): void {
    this.block.codes(words, this.setup.controller.words.gPerBlock);
  }

  /** Absolute or incremental distance, stated only on a change. */
  #distance(absolute: boolean): void {
    if (this.#state.absolute === absolute) return;
    this.#codeBlock(absolute ? 'G90' : 'G91');
    this.#state.absolute = absolute;
  }

  // ---------------------------------------------------------------- getting ready for a motion

  cancelCycle(): void {
    if (this.#state.cycle === null) return;
    this.#state.cycle = null;
    this.#state.motion = -1;
    // A reader need not know whether a cycle's feed outlives it.
    this.#state.feed = Number.NaN;
    if (this.setup.controller.cycles.cancel) this.#codeBlock('G80');
  }

  /** After a stop or at a part's beginning: height first, then the spindle. */
  #readyZ(): void {
    const state = this.#state;
    if (!state.zKnown) {
      this.#distance(true);
      this.#writeRapidZ(this.gridZ(this.pz));
      state.zKnown = true;
    }
    if (state.pendingRpm !== null) {
      const rpm = state.pendingRpm;
      this.#writeSpindle(rpm);
    }
  }

  /** Height, spindle and place are as the neutral motion believes them; then incremental distance may be in force. */
  ready(): void {
    const state = this.#state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.#readyZ();
    if (!state.xyKnown) {
      if (Number.isNaN(this.px)) {
        throw fault(
          'no-start',
          `${this.place()}: a cut before any position in X and Y`,
          'begin the operation with a rapid in X and Y',
        );
      }
      this.#distance(true);
      this.#writeRapidXy(this.gridXy(this.px, 'X'), this.gridXy(this.py, 'Y'));
      state.xyKnown = true;
    }
    if (state.absolute && this.setup.controller.distance === 'incremental') this.#distance(false);
  }

  // ---------------------------------------------------------------- motions

  #writeRapidXy(x: number, y: number): void {
    const { block } = this;
    block.open();
    this.#motion(0);
    this.#axis(X, x, this.qx, this.#state.restateXy);
    this.#axis(Y, y, this.qy, this.#state.restateXy);
    block.close();
    this.#state.restateXy = false;
    this.qx = x;
    this.qy = y;
    this.extents.xy(x, y);
  }

  #writeRapidZ(z: number): void {
    const { block } = this;
    block.open();
    this.#motion(0);
    this.#axis(Z, z, this.qz, this.#state.restateZ);
    block.close();
    this.#state.restateZ = false;
    this.qz = z;
    this.extents.z(z);
  }

  rapidXy(x: number, y: number): void {
    const state = this.#state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.#readyZ();
    const qx = this.gridXy(x, 'X');
    const qy = this.gridXy(y, 'Y');
    if (state.xyKnown) {
      if (state.absolute && this.setup.controller.distance === 'incremental') this.#distance(false);
      if (qx !== this.qx || qy !== this.qy || (this.#state.restateXy && state.absolute))
        this.#writeRapidXy(qx, qy);
    } else {
      this.#distance(true);
      this.#writeRapidXy(qx, qy);
      state.xyKnown = true;
    }
    this.px = x;
    this.py = y;
  }

  rapidZ(z: number): void {
    const state = this.#state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.#readyZ();
    const qz = this.gridZ(z);
    if (qz !== this.qz || (this.#state.restateZ && state.absolute)) {
      if (state.xyKnown) this.ready();
      this.#writeRapidZ(qz);
    }
    this.pz = z;
  }

  /** Straight cut to a grid point; nothing when it is where the cutter is. */
  cutTo(x: number, y: number, z: number, feed: number): void {
    if (x === this.qx && y === this.qy && z === this.qz) return;
    const { block } = this;
    block.open();
    this.#motion(1);
    this.#axis(X, x, this.qx, this.#state.restateXy);
    this.#axis(Y, y, this.qy, this.#state.restateXy);
    this.#axis(Z, z, this.qz, this.#state.restateZ);
    this.#feedWord(feed);
    block.close();
    this.#state.restateXy = false;
    this.#state.restateZ = false;
    this.qx = x;
    this.qy = y;
    this.qz = z;
    this.extents.xy(x, y);
    this.extents.z(z);
  }

  /** Arc block to a grid point with its centre words (or radius in coordinate steps); X and Y are always stated. */
  arcTo(
    clockwise: boolean,
    x: number,
    y: number,
    z: number,
    centre: { readonly i: number; readonly j: number } | { readonly r: number },
    feed: number,
  ): void {
    const { block, setup } = this;
    const { absolute } = this.#state;
    block.open();
    this.#motion(clockwise ? 2 : 3);
    this.word(X, absolute ? x : x - this.qx, setup.xyz);
    this.word(Y, absolute ? y : y - this.qy, setup.xyz);
    this.#axis(Z, z, this.qz, this.#state.restateZ);
    if ('r' in centre) this.word(R, centre.r, setup.xyz);
    else {
      this.word(I, centre.i, setup.ijk);
      this.word(J, centre.j, setup.ijk);
    }
    this.#feedWord(feed);
    block.close();
    this.#state.restateXy = false;
    this.#state.restateZ = false;
    this.qx = x;
    this.qy = y;
    this.qz = z;
    this.extents.z(z);
  }

  /** One hole of a drilling cycle; the height before it is the height after it. */
  cycleTo(g: 81 | 83, x: number, y: number, z: number, r: number, peck: number, feed: number): void {
    const { block, setup } = this;
    const { cycles, modal, words } = setup.controller;
    const state = this.#state;
    if (!state.zKnown || state.pendingRpm !== null) {
      this.cancelCycle();
      this.#readyZ();
    }
    const running = state.cycle;
    const goesOn = running !== null && running.g === g && state.motion === g;
    const returns = !goesOn && cycles.return === 'G98/G99';
    if (returns && words.gPerBlock < 2) this.#codeBlock('G98');
    block.open();
    if (returns && words.gPerBlock >= 2) block.code('G98');
    this.#motion(g);
    const full =
      !goesOn || !modal.axes || !state.xyKnown || this.#state.restateXy || (x === this.qx && y === this.qy);
    if (full || x !== this.qx) this.word(X, x, setup.xyz);
    if (full || y !== this.qy) this.word(Y, y, setup.xyz);
    if (full || z !== running.z) this.word(Z, z, setup.xyz);
    if (full || r !== running.r) this.word(R, r, setup.xyz);
    if (g === 83) this.word(Q, peck, { ...setup.xyz, plus: false });
    this.#feedWord(feed);
    block.close();
    state.cycle = { g, z, r };
    state.xyKnown = true;
    this.#state.restateXy = false;
    this.qx = x;
    this.qy = y;
    this.extents.xy(x, y);
    this.extents.z(z);
    this.extents.z(r);
  }

  // ---------------------------------------------------------------- everything that is not motion

  #dwell(seconds: number): void {
    const { controller, dwell: form } = this.setup;
    if (!(seconds >= 0)) this.#fail('dwell', seconds, form);
    if (seconds === 0) return;
    const { word, unit } = controller.dwell;
    if (word === 'none') {
      throw fault(
        'dwell',
        `${this.place()}: a dwell of ${seconds} s, and the controller has no dwell word`,
        'set controller.dwell.word in the machine profile',
      );
    }
    const q = quantise(seconds * (unit === 'ms' ? 1000 : 1), form.one);
    if (q >= form.limit) this.#fail(word, q / form.one, form);
    this.#interrupted();
    this.block.open();
    this.block.code('G4');
    this.block.number(word.charCodeAt(0), q, form);
    this.block.close();
    // A dwell by F or S shares its letter with feed or speed, which have to be said again.
    if (word === 'F') this.#state.feed = Number.NaN;
    this.feedMinutes += seconds / 60;
  }

  comment(text: string): void {
    for (const line of this.setup.comments.lines(text)) this.text.line(line);
  }

  #speedWord(rpm: number): void {
    const { controller, speed: form } = this.setup;
    const { codes } = controller.spindle;
    if (codes !== undefined) {
      const entry = codes.find((c) => c.rpm === rpm);
      if (entry === undefined) {
        throw fault(
          'speed',
          `${this.place()}: ${rpm} rpm has no code; the controller has ${codes.map((c) => c.rpm).join(', ')} rpm`,
          'use one of these speeds for the cutter',
          { rpm },
        );
      }
      this.block.integer(S, entry.code);
      return;
    }
    const q = quantise(rpm, form.one);
    if (!(q > 0 && q < form.limit)) this.#fail('S', rpm, form);
    this.block.number(S, q, form);
  }

  #writeSpindle(rpm: number): void {
    const { controller, program } = this.setup;
    const { spindle } = controller;
    this.#state.pendingRpm = null;
    this.#rpm = rpm;
    this.#spindleStated = true;
    if (!(rpm > 0)) this.#fail('S', rpm, this.setup.speed);
    if (spindle.start === 'manual') {
      this.comment(`START THE SPINDLE BY HAND AT ${Math.round(rpm)} RPM AND PRESS START WHEN IT IS AT SPEED`);
      this.#mBlock('M0');
      return;
    }
    this.#interrupted();
    this.block.open();
    if (spindle.speed === 'rpm') {
      this.#speedWord(rpm);
      if (spindle.order === 'speed-first') {
        this.block.close();
        this.block.open();
      }
    }
    this.block.code('M3');
    this.block.close();
    if (spindle.start === 'dwell') this.#dwell(program.spinUp);
  }

  #spindleOff(): void {
    this.#rpm = null;
    this.#state.pendingRpm = null;
    this.#spindleStated = true;
    if (this.setup.controller.spindle.start === 'manual') {
      this.comment('STOP THE SPINDLE BY HAND AND PRESS START WHEN IT STANDS STILL');
      this.#mBlock('M0');
    } else this.#mBlock('M5');
  }

  /** Spindle, dwell, outputs, tool: the motion word is said again after them, for the eye and for the controller. */
  #interrupted(): void {
    this.#state.motion = -1;
  }

  #mBlock(word: string): void {
    this.#interrupted();
    this.block.open();
    this.block.code(word);
    this.block.close();
  }

  #auxiliary(name: string, on: boolean): void {
    const { auxiliary } = this.setup.controller;
    const words = Object.hasOwn(auxiliary, name) ? auxiliary[name] : undefined;
    if (words === undefined) {
      throw fault(
        'auxiliary',
        `${this.place()}: the controller has no auxiliary output ${JSON.stringify(name)}; it has ${Object.keys(auxiliary).join(', ') || 'none'}`,
        `add ${name} to controller.auxiliary in the machine profile, or take it out of the operation`,
      );
    }
    this.#interrupted();
    this.block.open();
    const [code, ...parameters] = (on ? words.on : words.off).split(' ');
    this.block.code(code!);
    for (const parameter of parameters) this.block.verbatim(parameter);
    this.block.close();
    this.#auxiliaries = this.#auxiliaries.filter((a) => a !== name);
    if (on) this.#auxiliaries.push(name);
  }

  /** Everything that may be left out while it stays in force is said again from here on. */
  restate(): void {
    this.#state.motion = -1;
    this.#state.feed = Number.NaN;
    this.#state.restateXy = true;
    this.#state.restateZ = true;
  }

  #stop(message: string, optional: boolean): void {
    this.cancelCycle();
    this.comment(message);
    this.#mBlock(optional && this.setup.controller.optionalStop ? 'M1' : 'M0');
    this.#unknown();
    this.#state.pendingRpm = this.#rpm;
  }

  /** A restart may find the machine anywhere: height first, then place, all in full and absolute. */
  #unknown(): void {
    this.restate();
    // Low down, a motion back to where the cutter ought to be would be worse than none.
    if (this.pz >= this.setup.program.clearHeight) {
      this.#state.zKnown = false;
      this.#state.xyKnown = false;
    }
  }

  #beginSection(title: string, restart: boolean): void {
    if (restart) this.cancelCycle();
    this.#section = title;
    this.sections.push(title);
    this.comment(title);
    this.block.mark();
    if (restart) this.#unknown();
  }

  // ---------------------------------------------------------------- a whole part

  /** Does the spindle come on, or go off, before anything moves? Then the start need not say it. */
  #spindleComesFirst(index: number): boolean {
    const { moves } = this.setup.program;
    for (let i = index; i < moves.length; i++) {
      const { kind } = moves[i]!;
      if (kind === 'spindle' || kind === 'spindle-off') return true;
      if (kind !== 'section' && kind !== 'auxiliary' && kind !== 'dwell') return false;
    }
    return false;
  }

  #clear(): void {
    const { program } = this.setup;
    this.#distance(true);
    this.#writeRapidZ(this.gridZ(program.clearHeight));
    this.#state.zKnown = true;
    this.pz = program.clearHeight;
  }

  #home(): void {
    const { home } = this.setup.controller;
    if (home === 'none') return;
    if (home === 'G53') {
      this.#distance(true);
      if (this.setup.controller.words.gPerBlock < 2) {
        this.#codeBlock('G0');
      }
      this.block.open();
      this.block.code('G53');
      if (this.setup.controller.words.gPerBlock >= 2) this.block.code('G0');
      this.block.number(Z, 0, this.setup.xyz);
      this.block.close();
    } else {
      this.#distance(false);
      this.block.open();
      this.block.code('G28');
      this.block.number(Z, 0, this.setup.xyz);
      this.block.close();
      this.#distance(true);
    }
    this.#state.motion = -1;
    this.#state.zKnown = false;
    this.#state.restateZ = true;
  }

  #tool(): void {
    const { controller, program } = this.setup;
    const { cutter } = program.header;
    if (cutter === null) return;
    if (controller.toolChange === 'automatic') {
      this.block.open();
      this.block.integer(T, cutter.number);
      this.block.code('M6');
      this.block.close();
    } else if (controller.toolChange === 'manual-stop') {
      this.#mBlock('M5');
      this.comment(`FIT CUTTER ${cutter.title}, TOUCH OFF, AND PRESS START`);
      this.#mBlock('M0');
    }
    if (controller.toolLength === 'G43') {
      this.block.open();
      this.block.code('G43');
      this.block.integer(H, cutter.number);
      this.block.close();
    }
    this.restate();
  }

  /** From the words of the start to the state the neutral motion is in at `from`. */
  begin(from: Carried): void {
    const { controller, program, rules } = this.setup;
    this.#index = from.index;
    this.block.mark();
    this.#codeBlock(...rules.start(controller, program.header.workOffset));
    if (controller.home === 'G53') this.#home();
    const changes = program.header.cutter !== null && controller.toolChange !== 'one-tool-per-program';
    // With a length offset to come, a height means nothing yet: the changer clears itself.
    if (changes && controller.toolLength === 'none') this.#clear();
    this.#tool();
    this.#clear();
    if (from.rpm !== null) this.#state.pendingRpm = from.rpm;
    const first = this.#spindleComesFirst(from.index);
    if (first) this.#state.pendingRpm = null;
    else if (from.rpm === null && controller.spindle.start !== 'manual') this.#spindleOff();
    if (this.#state.pendingRpm !== null) this.#writeSpindle(this.#state.pendingRpm);
    for (const name of from.auxiliaries) this.#auxiliary(name, true);
    if (from.section !== null) {
      this.#section = from.section;
      this.sections.push(from.section);
      this.comment(`${from.section}, CONTINUED`);
      this.block.mark();
    }
  }

  /** Z to the clear height, spindle and auxiliaries off, park. */
  end(): void {
    const { controller, program } = this.setup;
    this.#index = program.moves.length;
    this.cancelCycle();
    const clear = this.gridZ(program.clearHeight);
    this.#distance(true);
    if (this.qz !== clear || !this.#state.zKnown) this.#clear();
    if (this.#rpm !== null || !this.#spindleStated) this.#spindleOff();
    for (const name of [...this.#auxiliaries].reverse()) this.#auxiliary(name, false);
    this.#home();
    const [x, y] = program.park;
    const qx = this.gridXy(x, 'X');
    const qy = this.gridXy(y, 'Y');
    if (qx !== this.qx || qy !== this.qy || !this.#state.xyKnown) {
      this.#state.restateXy = true;
      this.#writeRapidXy(qx, qy);
    }
    if (controller.feed.word === 'modal') this.#state.feed = Number.NaN;
  }

  #write(move: Move): void {
    switch (move.kind) {
      case 'rapid-xy':
        this.rapidXy(move.x, move.y);
        break;
      case 'rapid-z':
        this.rapidZ(move.z);
        break;
      case 'feed':
        this.ready();
        this.cutTo(this.gridXy(move.x, 'X'), this.gridXy(move.y, 'Y'), this.gridZ(move.z), move.feed);
        this.#travelled(move);
        break;
      case 'arc':
        this.ready();
        writeArc(this, move);
        this.#travelled(move);
        break;
      case 'drill':
        writeDrill(this, move);
        this.feedMinutes += (move.above - move.bottom) / move.feed;
        this.px = move.x;
        this.py = move.y;
        this.pz = move.link;
        break;
      case 'dwell':
        this.cancelCycle();
        this.#dwell(move.seconds);
        break;
      case 'stop':
        this.#stop(move.message, move.optional);
        break;
      case 'spindle':
        this.cancelCycle();
        if (!this.#state.zKnown) {
          this.#state.pendingRpm = null;
          this.#readyZ();
        }
        this.#writeSpindle(move.rpm);
        break;
      case 'spindle-off':
        this.cancelCycle();
        this.#spindleOff();
        break;
      case 'auxiliary':
        this.cancelCycle();
        this.#auxiliary(move.name, move.on);
        break;
      case 'section':
        this.#beginSection(move.title, move.restart);
        break;
      default: {
        const unknown: never = move;
        throw new RangeError(`unknown move ${JSON.stringify(unknown)}`);
      }
    }
  }

  #travelled(move: {
    readonly x: number;
    readonly y: number;
    readonly z: number;
    readonly feed: number;
  }): void {
    const dx = move.x - this.px;
    const dy = move.y - this.py;
    const dz = move.z - this.pz;
    this.feedMinutes += Math.sqrt(dx * dx + dy * dy + dz * dz) / move.feed;
    this.px = move.x;
    this.py = move.y;
    this.pz = move.z;
  }

  /** May the part end before move `i`? At clear height, where the next thing is to go somewhere else. */
  #mayEnd(i: number): boolean {
    const { program } = this.setup;
    const { kind } = program.moves[i]!;
    if (this.pz < program.clearHeight || Number.isNaN(this.px)) return false;
    if (kind === 'section') return true;
    return (kind === 'rapid-xy' || kind === 'drill') && program.moves[i - 1]?.kind !== 'section';
  }

  #break(i: number): Break {
    const { px, py, pz, qx, qy, qz, text } = this;
    const opens = this.setup.program.moves[i]!.kind === 'section';
    return {
      index: i,
      rpm: this.#rpm,
      auxiliaries: [...this.#auxiliaries],
      section: opens ? null : this.#section,
      length: text.length,
      lines: text.lines,
      numbering: this.block.numbering(),
      spindleStated: this.#spindleStated,
      extents: this.extents.copy(),
      feedMinutes: this.feedMinutes,
      sections: this.sections.length,
      px,
      py,
      pz,
      qx,
      qy,
      qz,
      state: { ...this.#state },
    };
  }

  #backTo(b: Break): void {
    this.text.cut(b.length, b.lines);
    this.block.resume(b.numbering);
    this.#spindleStated = b.spindleStated;
    this.extents = b.extents;
    this.feedMinutes = b.feedMinutes;
    this.sections.length = b.sections;
    this.px = b.px;
    this.py = b.py;
    this.pz = b.pz;
    this.qx = b.qx;
    this.qy = b.qy;
    this.qz = b.qz;
    this.#rpm = b.rpm;
    this.#auxiliaries = [...b.auxiliaries];
    this.#state = { ...b.state };
  }

  /**
   * Writes moves from `from` until the program or the budget ends; null when the program ends. With a budget the part
   * ends at the last section that begins in its second half, else at the last place at clear height.
   */
  run(from: Carried, budget: Budget | null): Carried | null {
    const { moves } = this.setup.program;
    if (budget === null) {
      for (let i = from.index; i < moves.length; i++) {
        this.#index = i;
        this.#write(moves[i]!);
      }
      return null;
    }
    const over = (): boolean => this.text.lines > budget.lines || this.text.length > budget.bytes;
    const half = (): boolean => this.text.lines * 2 > budget.lines || this.text.length * 2 > budget.bytes;
    let anywhere: Break | null = null;
    let section: Break | null = null;
    for (let i = from.index; i < moves.length; i++) {
      this.#index = i;
      const move = moves[i]!;
      if (i > from.index && this.#mayEnd(i)) {
        anywhere = this.#break(i);
        if (move.kind === 'section' && move.restart && half()) section = anywhere;
      }
      this.#write(move);
      if (!over()) continue;
      const place = section ?? anywhere;
      if (place === null) {
        throw fault(
          'part-too-small',
          `${this.place()}: no place at clear height to end part of ${this.setup.program.name} within ${budget.lines} lines and ${budget.bytes} bytes`,
          'raise max_lines or max_bytes in the machine profile, or cut the operation shorter',
          { lines: budget.lines, bytes: budget.bytes },
        );
      }
      this.#backTo(place);
      return { index: place.index, rpm: place.rpm, auxiliaries: place.auxiliaries, section: place.section };
    }
    return null;
  }
}
