import { quantise, quantiseDown } from '@bedledger/diagnostics';
import { fault } from '../fault.ts';
import type { NumberForm } from '../numbers/number-form.ts';
import { ByteText } from '../text/byte-text.ts';
import { BlockWriter } from './block-writer.ts';
import { Extents } from './extents.ts';
import { blankMemory, type ModalMemory } from './modal-memory.ts';
import type { Setup } from './setup.ts';

const F = 70;
const I = 73;
const J = 74;
const Q = 81;
const R = 82;
const X = 88;
const Y = 89;
const Z = 90;
const MOTION_CODES = ['G0', 'G1', 'G2', 'G3'] as const;

/**
 * Writes motions as blocks. Positions are rounded to the controller's grid once, here; everything after works on whole
 * numbers of grid steps, so increments cannot drift and claims are about what is written.
 */
export abstract class MotionWriter {
  readonly setup: Setup;
  readonly text: ByteText;
  readonly block: BlockWriter;
  extents = new Extents();

  /** Where the neutral motion stands, mm, bed frame. NaN: nowhere yet. */
  px = Number.NaN;
  py = Number.NaN;
  pz: number;
  /** Where the written motion stands, grid steps, program coordinates. */
  qx = 0;
  qy = 0;
  qz = 0;

  protected state: ModalMemory = blankMemory();
  /** Move being written, for errors. */
  protected index = 0;

  constructor(setup: Setup) {
    this.setup = setup;
    this.text = new ByteText(setup.controller.lineEnding);
    this.block = new BlockWriter(this.text, setup.controller, setup.integer);
    this.pz = setup.program.clearHeight;
  }

  /** Spindle on, with whatever the controller waits for. */
  protected abstract writeSpindle(rpm: number): void;

  // ---------------------------------------------------------------- numbers

  protected fail(axis: string, value: number, form: NumberForm): never {
    const { program } = this.setup;
    const where = this.place();
    throw Number.isFinite(value)
      ? fault(
          'overflow',
          `${where}: ${axis} ${value}${this.unitOf(axis)} does not fit ${form.integers} digits before the point and ${form.decimals} after it`,
          'give the word more digits in controller.numbers, or check the position',
          { program: program.name, move: this.index + 1, axis, value },
        )
      : fault(
          'not-a-number',
          `${where}: ${axis} is ${value}, a finite number was expected`,
          'check the inputs of this operation',
          { program: program.name, move: this.index + 1, axis },
        );
  }

  /** Unit of a word's number, for errors. */
  protected unitOf(letter: string): string {
    const { units, dwell, feed } = this.setup.controller;
    if ('XYZIJRQ'.includes(letter)) return ` ${units}`;
    if (letter === dwell.word) return ` ${dwell.unit}`;
    if (letter === 'F') return ` ${units}/${(feed.per ?? 'minute') === 'minute' ? 'min' : 's'}`;
    return letter === 'S' ? ' rpm' : '';
  }

  /** `socket-pockets, move 17 (feed)`, for errors. */
  place(): string {
    const { program } = this.setup;
    const move = program.moves[this.index];
    return move === undefined ? program.name : `${program.name}, move ${this.index + 1} (${move.kind})`;
  }

  gridXy(value: number, axis: 'X' | 'Y'): number {
    const q = quantise(value, this.setup.scale);
    if (!(q < this.setup.xyz.limit && q > -this.setup.xyz.limit)) {
      this.fail(axis, value * (this.setup.scale / this.setup.xyz.one), this.setup.xyz);
    }
    return q;
  }

  gridZ(value: number): number {
    const { setup } = this;
    const z = (value - setup.program.header.zeroHeight) * setup.controller.zSign;
    const q = quantise(z, setup.scale);
    if (!(q < setup.xyz.limit && q > -setup.xyz.limit)) {
      this.fail('Z', z * (setup.scale / setup.xyz.one), setup.xyz);
    }
    return q;
  }

  /** A number that is already in grid steps, checked against its format. */
  word(letter: number, q: number, form: NumberForm): void {
    if (!(q < form.limit && q > -form.limit)) {
      this.fail(String.fromCharCode(letter), q / form.one, form);
    }
    this.block.number(letter, q, form);
  }

  protected feedSteps(feed: number): number {
    const { controller, feedScale, feed: form } = this.setup;
    if (!(feed >= controller.feed.min && feed <= controller.feed.max)) {
      throw fault(
        'feed',
        `${this.place()}: feed ${feed} mm/min, the controller takes ${controller.feed.min} to ${controller.feed.max}`,
        'correct the feed of this operation, or controller.feed in the machine profile',
        { feed, min: controller.feed.min, max: controller.feed.max },
      );
    }
    // Down, not to the nearest: with whole units per second a feed at an axis's limit would land beyond it.
    const down = quantiseDown(feed, feedScale);
    const q = down < controller.feed.min * feedScale ? quantise(feed, feedScale) : down;
    if (q === 0) {
      throw fault(
        'feed',
        `${this.place()}: feed ${feed} mm/min is 0 with ${form.decimals} decimals`,
        'give controller.numbers.feed more decimals',
        { feed },
      );
    }
    if (q >= form.limit) this.fail('F', q / form.one, form);
    return q;
  }

  // ---------------------------------------------------------------- words shared by motions

  protected motionWord(g: number): void {
    if (this.state.motion !== g || !this.setup.controller.modal.motion) {
      this.block.code(g < 10 ? MOTION_CODES[g]! : `G${g}`);
      this.state.motion = g;
    }
  }

  protected axisWord(letter: number, to: number, from: number, restate: boolean): void {
    if (this.state.absolute) {
      if (to !== from || restate || !this.setup.controller.modal.axes)
        this.block.number(letter, to, this.setup.xyz);
    } else if (to !== from || !this.setup.controller.modal.axes) {
      this.word(letter, to - from, this.setup.xyz);
    }
  }

  protected feedWord(feed: number): void {
    const q = this.feedSteps(feed);
    if (q !== this.state.feed || this.setup.controller.feed.word === 'every-cut') {
      this.block.number(F, q, this.setup.feed);
      this.state.feed = q;
    }
  }

  protected codeBlock(...words: readonly string[]): void {
    this.block.codes(words, this.setup.controller.words.gPerBlock);
  }

  /** Absolute or incremental distance, stated only on a change. */
  protected distance(absolute: boolean): void {
    if (this.state.absolute === absolute) return;
    this.codeBlock(absolute ? 'G90' : 'G91');
    this.state.absolute = absolute;
  }

  // ---------------------------------------------------------------- getting ready for a motion

  cancelCycle(): void {
    if (this.state.cycle === null) return;
    this.state.cycle = null;
    this.state.motion = -1;
    // A reader need not know whether a cycle's feed outlives it.
    this.state.feed = Number.NaN;
    if (this.setup.controller.cycles.cancel) this.codeBlock('G80');
  }

  /** After a stop or at a part's beginning: height first, then the spindle. */
  protected readyZ(): void {
    const state = this.state;
    if (!state.zKnown) {
      this.distance(true);
      this.writeRapidZ(this.gridZ(this.pz));
      state.zKnown = true;
    }
    if (state.pendingRpm !== null) {
      const rpm = state.pendingRpm;
      this.writeSpindle(rpm);
    }
  }

  /** Height, spindle and place are as the neutral motion believes them; then incremental distance may be in force. */
  ready(): void {
    const state = this.state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.readyZ();
    if (!state.xyKnown) {
      if (Number.isNaN(this.px)) {
        throw fault(
          'no-start',
          `${this.place()}: a cut before any position in X and Y`,
          'begin the operation with a rapid in X and Y',
        );
      }
      this.distance(true);
      this.writeRapidXy(this.gridXy(this.px, 'X'), this.gridXy(this.py, 'Y'));
      state.xyKnown = true;
    }
    if (state.absolute && this.setup.controller.distance === 'incremental') this.distance(false);
  }

  // ---------------------------------------------------------------- motions

  protected writeRapidXy(x: number, y: number): void {
    const { block } = this;
    block.open();
    this.motionWord(0);
    this.axisWord(X, x, this.qx, this.state.restateXy);
    this.axisWord(Y, y, this.qy, this.state.restateXy);
    block.close();
    this.state.restateXy = false;
    this.qx = x;
    this.qy = y;
    this.extents.xy(x, y);
  }

  protected writeRapidZ(z: number): void {
    const { block } = this;
    block.open();
    this.motionWord(0);
    this.axisWord(Z, z, this.qz, this.state.restateZ);
    block.close();
    this.state.restateZ = false;
    this.qz = z;
    this.extents.z(z);
  }

  rapidXy(x: number, y: number): void {
    const state = this.state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.readyZ();
    const qx = this.gridXy(x, 'X');
    const qy = this.gridXy(y, 'Y');
    if (state.xyKnown) {
      if (state.absolute && this.setup.controller.distance === 'incremental') this.distance(false);
      if (qx !== this.qx || qy !== this.qy || (this.state.restateXy && state.absolute))
        this.writeRapidXy(qx, qy);
    } else {
      this.distance(true);
      this.writeRapidXy(qx, qy);
      state.xyKnown = true;
    }
    this.px = x;
    this.py = y;
  }

  rapidZ(z: number): void {
    const state = this.state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.readyZ();
    const qz = this.gridZ(z);
    if (qz !== this.qz || (this.state.restateZ && state.absolute)) {
      if (state.xyKnown) this.ready();
      this.writeRapidZ(qz);
    }
    this.pz = z;
  }

  /** Straight cut to a grid point; nothing when it is where the cutter is. */
  cutTo(x: number, y: number, z: number, feed: number): void {
    if (x === this.qx && y === this.qy && z === this.qz) return;
    const { block } = this;
    block.open();
    this.motionWord(1);
    this.axisWord(X, x, this.qx, this.state.restateXy);
    this.axisWord(Y, y, this.qy, this.state.restateXy);
    this.axisWord(Z, z, this.qz, this.state.restateZ);
    this.feedWord(feed);
    block.close();
    this.state.restateXy = false;
    this.state.restateZ = false;
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
    const { absolute } = this.state;
    block.open();
    this.motionWord(clockwise ? 2 : 3);
    this.word(X, absolute ? x : x - this.qx, setup.xyz);
    this.word(Y, absolute ? y : y - this.qy, setup.xyz);
    this.axisWord(Z, z, this.qz, this.state.restateZ);
    if ('r' in centre) this.word(R, centre.r, setup.xyz);
    else {
      this.word(I, centre.i, setup.ijk);
      this.word(J, centre.j, setup.ijk);
    }
    this.feedWord(feed);
    block.close();
    this.state.restateXy = false;
    this.state.restateZ = false;
    this.qx = x;
    this.qy = y;
    this.qz = z;
    this.extents.z(z);
  }

  /** One hole of a drilling cycle; the height before it is the height after it. */
  cycleTo(g: 81 | 83, x: number, y: number, z: number, r: number, peck: number, feed: number): void {
    const { block, setup } = this;
    const { cycles, modal, words } = setup.controller;
    const state = this.state;
    if (!state.zKnown || state.pendingRpm !== null) {
      this.cancelCycle();
      this.readyZ();
    }
    const running = state.cycle;
    const goesOn = running !== null && running.g === g && state.motion === g;
    const returns = !goesOn && cycles.return === 'G98/G99';
    if (returns && words.gPerBlock < 2) this.codeBlock('G98');
    block.open();
    if (returns && words.gPerBlock >= 2) block.code('G98');
    this.motionWord(g);
    const full =
      !goesOn || !modal.axes || !state.xyKnown || this.state.restateXy || (x === this.qx && y === this.qy);
    if (full || x !== this.qx) this.word(X, x, setup.xyz);
    if (full || y !== this.qy) this.word(Y, y, setup.xyz);
    if (full || z !== running.z) this.word(Z, z, setup.xyz);
    if (full || r !== running.r) this.word(R, r, setup.xyz);
    if (g === 83) this.word(Q, peck, { ...setup.xyz, plus: false });
    this.feedWord(feed);
    block.close();
    state.cycle = { g, z, r };
    state.xyKnown = true;
    this.state.restateXy = false;
    this.qx = x;
    this.qy = y;
    this.extents.xy(x, y);
    this.extents.z(z);
    this.extents.z(r);
  }
}
