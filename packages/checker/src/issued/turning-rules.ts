import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { forEachPiece, isPlaced, motionLength } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';

/** A cut may be this share of the squared diameter in cross-section: a slot one diameter deep is 1 (common practice), and what a helix leaves on its slope comes on top. */
const ENGAGEMENT = 1.3;
/** One stroke of a peck, in diameters (common practice: a peck every one or two). */
const STROKE = 2.1;
/** Shorter motions than this share of the diameter only press the flank into the wall. */
const SHORT = 0.3;
/** A feed down of less than this through what is cut already may be a clearance, mm. */
const IDLE = 2;

/**
 * Round cuts turn counter-clockwise, so that a clockwise spindle climbs inside a hole, and no level takes more than a slot
 * one diameter deep.
 * @param board `open`: the cutter goes down through pockets that are there already
 */
export function checkTurning(c: Case, board: 'solid' | 'open'): Diagnostic[] {
  return new TurningCheck(c, board).run();
}

class TurningCheck {
  readonly #c: Case;
  readonly #board: 'solid' | 'open';
  readonly #diameter: number;
  /** The first finding of each code. */
  readonly #found = new Map<CheckerCode, Diagnostic>();
  /** Signed area of the run of feed motions so far, mm²: the sense of the path, as arcs or as chords. */
  #area = 0;
  /** Where the run began, and its first motion; null before its first cut. */
  #start: { readonly x: number; readonly y: number } | null = null;
  #first = 0;

  constructor(c: Case, board: 'solid' | 'open') {
    this.#c = c;
    this.#board = board;
    this.#diameter = 2 * c.simulation.cutter.shape.radius;
  }

  run(): Diagnostic[] {
    const { simulation, trace } = this.#c;
    const { motions: m, inside } = simulation;
    for (let i = 0; i < m.length; i++) {
      if (trace.kind[i] === RAPID || !isPlaced(m, i)) this.#endRun(i + 1);
      else if (inside[i] === 1) {
        this.#addArea(i);
        const straight = trace.kind[i] !== ARC;
        if (straight && m.toX(i) === m.fromX(i) && m.toY(i) === m.fromY(i)) this.#checkStroke(i);
        // on small circles the rim makes far more way than the axis: only straight ways are measured
        if (straight && Math.abs(m.toZ(i) - m.fromZ(i)) < 0.02) this.#checkSlot(i);
      }
    }
    this.#endRun(m.length);
    return [...this.#found.values()];
  }

  #add(code: CheckerCode, motion: number, message: string, facts?: Readonly<Record<string, number>>): void {
    if (this.#found.has(code)) return;
    const { file, trace } = this.#c;
    this.#found.set(code, report({ code, ...inFile(file, trace.line[motion]!), message, facts }));
  }

  #length(mm: number): string {
    return exactLength(mm, this.#c.record.machine.units);
  }

  #endRun(next: number): void {
    if (this.#area < -0.05) {
      const message = 'this path turns clockwise: a clockwise spindle cuts conventionally inside a hole';
      this.#add('work/direction', Math.min(this.#first, next - 1), message);
    }
    this.#area = 0;
    this.#start = null;
    this.#first = next;
  }

  #addArea(i: number): void {
    const m = this.#c.simulation.motions;
    this.#start ??= { x: m.fromX(i), y: m.fromY(i) };
    const { x, y } = this.#start;
    forEachPiece(m, i, 0.05, (ax, ay, _az, bx, by) => {
      this.#area += ((ax - x) * (by - y) - (bx - x) * (ay - y)) / 2;
    });
  }

  /** A stroke straight down: through nothing, or through more than the flutes can clear. */
  #checkStroke(i: number): void {
    const { motions: m, removed } = this.#c.simulation;
    const d = this.#diameter;
    const down = m.fromZ(i) - m.toZ(i);
    if (this.#board === 'solid' && down > IDLE && removed[i]! < 0.005) {
      const message = `this motion feeds ${this.#length(down)} down through what is cut already`;
      this.#add('work/idle-cut', i, message, { found: down });
    }
    const cut = removed[i]! / ((Math.PI * d * d) / 4);
    if (cut > STROKE * d) {
      const message = `one stroke goes ${this.#length(cut)} down through the material, ${this.#length(STROKE * d)} are cleared of chips at a time`;
      this.#add('work/peck', i, message, { found: cut, allowed: STROKE * d });
    }
  }

  /** A straight level cut as a slot as wide as the cutter. */
  #checkSlot(i: number): void {
    const { motions: m, removed } = this.#c.simulation;
    const d = this.#diameter;
    const length = motionLength(m, i);
    const section = removed[i]! / length;
    if (length <= SHORT * d || section <= ENGAGEMENT * d * d) return;
    const message = `this motion cuts as much as a slot ${this.#length(section / d)} deep, a cutter of ${this.#length(d)} takes ${this.#length(ENGAGEMENT * d)}`;
    this.#add('work/engagement', i, message, { found: section, allowed: ENGAGEMENT * d * d });
  }
}
