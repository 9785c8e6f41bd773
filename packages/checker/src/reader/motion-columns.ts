/** Where the controller stands after a motion, and what is in force during it. */
interface MotionState {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly plane: number;
  readonly rpm: number;
  readonly tool: number;
  readonly lengthOffset: number;
  readonly workOffset: number;
}

/** Growing columns of motions. Columns that stay zero (no arcs) never take real memory: their pages are not touched. */
export class MotionColumns {
  length = 0;
  private capacity: number;
  kind: Uint8Array;
  line: Int32Array;
  x: Float64Array;
  y: Float64Array;
  z: Float64Array;
  c1: Float64Array;
  c2: Float64Array;
  sweep: Float64Array;
  plane: Uint8Array;
  feed: Float64Array;
  rpm: Float64Array;
  tool: Int32Array;
  lengthOffset: Int32Array;
  workOffset: Uint8Array;
  flags: Uint8Array;

  constructor(capacity: number) {
    this.capacity = Math.max(16, capacity);
    const n = this.capacity;
    this.kind = new Uint8Array(n);
    this.line = new Int32Array(n);
    this.x = new Float64Array(n);
    this.y = new Float64Array(n);
    this.z = new Float64Array(n);
    this.c1 = new Float64Array(n);
    this.c2 = new Float64Array(n);
    this.sweep = new Float64Array(n);
    this.plane = new Uint8Array(n);
    this.feed = new Float64Array(n);
    this.rpm = new Float64Array(n);
    this.tool = new Int32Array(n);
    this.lengthOffset = new Int32Array(n);
    this.workOffset = new Uint8Array(n);
    this.flags = new Uint8Array(n);
  }

  /** Appends a straight motion and returns its index. */
  straight(kind: number, line: number, feed: number, flags: number, state: MotionState): number {
    const i = this.length;
    if (i === this.capacity) this.grow();
    this.length = i + 1;
    this.kind[i] = kind;
    this.line[i] = line;
    this.x[i] = state.x;
    this.y[i] = state.y;
    this.z[i] = state.z;
    this.plane[i] = state.plane;
    this.feed[i] = feed;
    if (state.rpm !== 0) this.rpm[i] = state.rpm;
    this.tool[i] = state.tool;
    if (state.lengthOffset !== 0) this.lengthOffset[i] = state.lengthOffset;
    this.workOffset[i] = state.workOffset;
    if (flags !== 0) this.flags[i] = flags;
    return i;
  }

  private grow(): void {
    const n = this.capacity * 2;
    this.capacity = n;
    const bytes = (from: Uint8Array) => {
      const to = new Uint8Array(n);
      to.set(from);
      return to;
    };
    const ints = (from: Int32Array) => {
      const to = new Int32Array(n);
      to.set(from);
      return to;
    };
    const doubles = (from: Float64Array) => {
      const to = new Float64Array(n);
      to.set(from);
      return to;
    };
    this.kind = bytes(this.kind);
    this.line = ints(this.line);
    this.x = doubles(this.x);
    this.y = doubles(this.y);
    this.z = doubles(this.z);
    this.c1 = doubles(this.c1);
    this.c2 = doubles(this.c2);
    this.sweep = doubles(this.sweep);
    this.plane = bytes(this.plane);
    this.feed = doubles(this.feed);
    this.rpm = doubles(this.rpm);
    this.tool = ints(this.tool);
    this.lengthOffset = ints(this.lengthOffset);
    this.workOffset = bytes(this.workOffset);
    this.flags = bytes(this.flags);
  }
}
