import { refusal } from '../report.ts';
import { Extents } from './extents.ts';
import type { Setup } from './setup.ts';
import { WordWriter } from './word-writer.ts';

const I = 73;
const J = 74;
const Q = 81;
const R = 82;
const X = 88;
const Y = 89;
const Z = 90;

/** End of a cut in grid steps, and its feed in mm/min. */
export interface CutEnd {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly feed: number;
}

/** One hole of a drilling cycle, grid steps: retract plane, bottom, and the depth of a peck where it is pecked. */
export interface CycleHole {
  readonly x: number;
  readonly y: number;
  readonly retract: number;
  readonly bottom: number;
  readonly peck: number | null;
  /** mm/min. */
  readonly feed: number;
}

/** Writes motions as blocks. */
export abstract class MotionWriter extends WordWriter {
  extents = new Extents();

  /** Where the neutral motion stands, mm, bed frame. NaN: nowhere yet. */
  px = Number.NaN;
  py = Number.NaN;
  pz: number;
  /** Where the written motion stands, grid steps, program coordinates. */
  qx = 0;
  qy = 0;
  qz = 0;

  constructor(setup: Setup) {
    super(setup);
    this.pz = setup.program.clearHeight;
  }

  /** Spindle on, with whatever the controller waits for. */
  protected abstract writeSpindle(rpm: number): void;

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
    if (state.pendingRpm !== null) this.writeSpindle(state.pendingRpm);
  }

  /** Before a cut: no cycle in force, and height, spindle and place as the neutral motion has them; then incremental distance if wanted. */
  ready(): void {
    this.#readyAbove();
    const state = this.state;
    if (!state.xyKnown) {
      if (Number.isNaN(this.px)) {
        throw refusal({
          code: 'post/no-start',
          message: `${this.place()}: a cut before any position in X and Y`,
        });
      }
      this.distance(true);
      this.writeRapidXy(this.gridXy(this.px, 'X'), this.gridXy(this.py, 'Y'));
      state.xyKnown = true;
    }
    this.#mayBeIncremental();
  }

  /** No cycle in force, height and spindle as they should be. */
  #readyAbove(): void {
    const state = this.state;
    if (state.cycle !== null) this.cancelCycle();
    if (!state.zKnown || state.pendingRpm !== null) this.readyZ();
  }

  #mayBeIncremental(): void {
    if (this.state.absolute && this.setup.choices.incremental) this.distance(false);
  }

  // ---------------------------------------------------------------- motions

  protected writeRapidXy(x: number, y: number): void {
    const { block } = this;
    block.open();
    this.motionWord(0);
    this.axisWord(X, x, this.qx, this.state.restateXy);
    this.axisWord(Y, y, this.qy, this.state.restateXy);
    block.close();
    this.#atXy(x, y);
    this.extents.xy(x, y);
  }

  protected writeRapidZ(z: number): void {
    const { block } = this;
    block.open();
    this.motionWord(0);
    this.axisWord(Z, z, this.qz, this.state.restateZ);
    block.close();
    this.#atZ(z);
  }

  /** The text has taken the machine to a place, and said all of it. */
  #atXy(x: number, y: number): void {
    this.state.restateXy = false;
    this.qx = x;
    this.qy = y;
  }

  #atZ(z: number): void {
    this.state.restateZ = false;
    this.qz = z;
    this.extents.z(z);
  }

  rapidXy(x: number, y: number): void {
    this.#readyAbove();
    const state = this.state;
    const qx = this.gridXy(x, 'X');
    const qy = this.gridXy(y, 'Y');
    if (state.xyKnown) {
      this.#mayBeIncremental();
      if (qx !== this.qx || qy !== this.qy || (state.restateXy && state.absolute)) this.writeRapidXy(qx, qy);
    } else {
      this.distance(true);
      this.writeRapidXy(qx, qy);
      state.xyKnown = true;
    }
    this.px = x;
    this.py = y;
  }

  rapidZ(z: number): void {
    this.#readyAbove();
    const state = this.state;
    const qz = this.gridZ(z);
    if (qz !== this.qz || (state.restateZ && state.absolute)) {
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
    this.#atXy(x, y);
    this.extents.xy(x, y);
    this.#atZ(z);
  }

  /**
   * Arc block to a grid point with its centre words, or its radius in coordinate steps; X and Y are always stated. How far
   * the arc reaches on its way is the caller's to say.
   */
  arcTo(
    clockwise: boolean,
    { x, y, z, feed }: CutEnd,
    centre: { readonly i: number; readonly j: number } | { readonly r: number },
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
    this.#atXy(x, y);
    this.#atZ(z);
  }

  /** One hole of a drilling cycle; the height before it is the height after it. */
  cycleTo({ x, y, retract, bottom, peck, feed }: CycleHole): void {
    const { block, setup } = this;
    const { controller, choices } = setup;
    const state = this.state;
    if (!state.zKnown || state.pendingRpm !== null) {
      this.cancelCycle();
      this.readyZ();
    }
    const g = peck === null ? 81 : 83;
    const running = state.cycle;
    const continues = running !== null && running.g === g && state.motion === g;
    const returns = !continues && choices.cycleReturn;
    const oneBlock = controller.words.gPerBlock >= 2;
    if (returns && !oneBlock) this.codeBlock('G98');
    block.open();
    if (returns && oneBlock) block.code('G98');
    this.motionWord(g);
    const full =
      !continues ||
      !controller.modal.axes ||
      !state.xyKnown ||
      state.restateXy ||
      (x === this.qx && y === this.qy);
    if (full || x !== this.qx) this.word(X, x, setup.xyz);
    if (full || y !== this.qy) this.word(Y, y, setup.xyz);
    if (full || bottom !== running.z) this.word(Z, bottom, setup.xyz);
    if (full || retract !== running.r) this.word(R, retract, setup.xyz);
    if (peck !== null) this.word(Q, peck, { ...setup.xyz, plus: false });
    this.feedWord(feed);
    block.close();
    state.cycle = { g, z: bottom, r: retract };
    state.xyKnown = true;
    this.#atXy(x, y);
    this.extents.xy(x, y);
    this.extents.z(bottom);
    this.extents.z(retract);
  }
}
