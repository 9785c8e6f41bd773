import { type Case, gridStep } from '../programs/case.ts';
import { isPlaced, resolveArc } from '../simulation/motions.ts';
import { ARC, MACHINE, RAPID } from '../trace.ts';

/** One step of a section: what kind of motion, to which height, at which feed. */
export interface Step {
  /** A rapid of Z, down, up, straight across, or round. */
  readonly kind: 'r' | 'd' | 'u' | 'a' | 'c';
  /** Height that it ends at, mm above the bed. */
  readonly z: number;
  readonly feed: number;
  readonly line: number;
  /** Radius of the path, mm; Infinity for straight ones. */
  readonly radius: number;
}

/** What a program does between two rapids across: a site, a row. */
export interface Section {
  readonly c: Case;
  readonly steps: readonly Step[];
  /** Kinds of its steps, one letter each. */
  readonly key: string;
  readonly line: number;
}

/** Lines that turn a little, one after another: a circle written as chords. */
interface Chain {
  readonly dx: number;
  readonly dy: number;
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
}

/**
 * Cuts a program into sections at its rapids across, and names each step.
 * @returns the sections, and the lines of rapids that go to a place where nothing is done
 */
export function sectionsOf(c: Case): { sections: Section[]; idle: number[] } {
  return new SectionReader(c).read();
}

class SectionReader {
  readonly #c: Case;
  /** Shorter ways are rounding, mm. */
  readonly #shortest: number;
  readonly #sections: Section[] = [];
  readonly #idle: number[] = [];
  /** Steps of the section being read; null before the first rapid across. */
  #steps: Step[] | null = null;
  #line = 0;
  #chain: Chain | null = null;

  constructor(c: Case) {
    this.#c = c;
    this.#shortest = gridStep(c.record.machine.controller) / 2;
  }

  read(): { sections: Section[]; idle: number[] } {
    const { trace, simulation } = this.#c;
    const m = simulation.motions;
    for (let i = 0; i < m.length; i++) {
      // the way home and down from it belongs to no section
      if (this.#byHome(i)) this.#chain = null;
      else if (trace.kind[i] === RAPID) this.#rapid(i);
      else if (isPlaced(m, i) && this.#steps) this.#feed(i, this.#steps);
    }
    // the way to the park position is the only one that ends in nothing
    this.#close(true);
    return { sections: this.#sections, idle: this.#idle };
  }

  /** Goes home, or comes down from there by Z alone. */
  #byHome(i: number): boolean {
    const { trace, simulation } = this.#c;
    const home = (k: number): boolean => k >= 0 && (trace.flags[k]! & MACHINE) !== 0;
    const m = simulation.motions;
    return home(i) || (home(i - 1) && m.toX(i) === m.fromX(i) && m.toY(i) === m.fromY(i));
  }

  /** Ends the section being read. */
  #close(last: boolean): void {
    const steps = this.#steps;
    if (steps?.some((step) => step.kind !== 'r')) {
      const key = steps.map((step) => step.kind).join('');
      this.#sections.push({ c: this.#c, steps: withRadii(steps), key, line: this.#line });
    } else if (steps && !last) this.#idle.push(this.#line);
    this.#steps = null;
  }

  #open(line: number): void {
    this.#close(false);
    this.#steps = [];
    this.#line = line;
  }

  #rapid(i: number): void {
    const m = this.#c.simulation.motions;
    const line = this.#c.trace.line[i]!;
    if (!isPlaced(m, i)) {
      // the start of the first move across is unknown
      if (Number.isNaN(m.toX(i)) || Number.isNaN(m.toY(i))) return;
      this.#chain = null;
      this.#open(line);
      return;
    }
    this.#chain = null;
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    if (Math.sqrt(dx * dx + dy * dy) > this.#shortest) this.#open(line);
    else if (this.#steps && Math.abs(m.toZ(i) - m.fromZ(i)) > this.#shortest) {
      this.#steps.push({ kind: 'r', z: m.toZ(i), feed: 0, line, radius: Infinity });
    }
  }

  #feed(i: number, steps: Step[]): void {
    const { trace, simulation } = this.#c;
    const m = simulation.motions;
    const step = { z: m.toZ(i), feed: trace.feed[i]!, line: trace.line[i]!, radius: Infinity };
    if (trace.kind[i] === ARC) {
      this.#chain = null;
      addArc(steps, { ...step, kind: 'c', radius: resolveArc(m, i).startRadius });
      return;
    }
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    if (Math.sqrt(dx * dx + dy * dy) > this.#shortest) {
      this.#lineAcross(i, steps, { ...step, kind: 'a' });
      return;
    }
    this.#chain = null;
    const dz = m.toZ(i) - m.fromZ(i);
    if (Math.abs(dz) > this.#shortest) steps.push({ ...step, kind: dz < 0 ? 'd' : 'u' });
  }

  /** A straight line across, or one more chord of a circle: lines that turn a little, one after another, at one feed. */
  #lineAcross(i: number, steps: Step[], step: Step): void {
    const m = this.#c.simulation.motions;
    const [x, y] = [m.toX(i), m.toY(i)];
    const dx = x - m.fromX(i);
    const dy = y - m.fromY(i);
    const before = this.#chain;
    const last = steps.at(-1);
    const turn = before ? Math.abs(turnBetween(before, dx, dy)) : Math.PI;
    const from = before && last && alike(last.feed, step.feed) && turn > 0.005 && turn < 1.1 ? before : null;
    const [startX, startY] = from ? [x, y] : [m.fromX(i), m.fromY(i)];
    const chain = {
      dx,
      dy,
      minX: Math.min(from?.minX ?? startX, x),
      maxX: Math.max(from?.maxX ?? startX, x),
      minY: Math.min(from?.minY ?? startY, y),
      maxY: Math.max(from?.maxY ?? startY, y),
    };
    this.#chain = chain;
    if (!from) steps.push(step);
    else {
      const radius = Math.max(chain.maxX - chain.minX, chain.maxY - chain.minY) / 2;
      steps[steps.length - 1] = { ...last!, kind: 'c', z: step.z, radius };
    }
  }
}

/** Turns of one helix, and quadrants of one circle, are one step. */
function addArc(steps: Step[], arc: Step): void {
  const last = steps.at(-1);
  const goesOn =
    last?.kind === 'c' && alike(last.feed, arc.feed) && Math.abs(last.radius - arc.radius) < 0.02;
  if (goesOn) steps[steps.length - 1] = { ...last, z: arc.z, radius: arc.radius };
  else steps.push(arc);
}

/** A straight step that leads to a round one runs at the round one's feed, and is measured on its rim. */
function withRadii(steps: readonly Step[]): Step[] {
  return steps.map((step, k) => {
    const next = steps[k + 1];
    const leads = step.kind === 'a' && next?.kind === 'c' && alike(step.feed, next.feed);
    return leads ? { ...step, radius: next.radius } : step;
  });
}

/** One feed, written with the rounding of short chords. */
function alike(a: number, b: number): boolean {
  return Math.abs(a - b) <= 0.02 * Math.max(a, b);
}

/** Angle by which the path turns from the chain's last line into (dx, dy), radians. */
function turnBetween(chain: Chain, dx: number, dy: number): number {
  return Math.atan2(chain.dx * dy - chain.dy * dx, chain.dx * dx + chain.dy * dy);
}
