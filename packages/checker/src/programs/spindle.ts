import { type Diagnostic, exactLength, MM_PER_INCH } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import type { ProgramEvent } from '../trace.ts';
import type { Case } from './case.ts';

/** Longest dwell that anything here needs, as a multiple of the spin-up time and in seconds at least. */
const LONGEST_DWELL = { spinUps: 3, seconds: 60 };

/** Spindle on, the right way, at an allowed speed, up to speed before contact, off before anyone comes near. */
export function checkSpindle(c: Case): Diagnostic[] {
  return new SpindleCheck(c).run();
}

/** What is found, and where; `word` is the letter to point at. */
interface Found {
  readonly code: CheckerCode;
  readonly line: number;
  readonly word: string;
  readonly message: string;
  readonly facts?: Readonly<Record<string, number>>;
}

class SpindleCheck {
  readonly #c: Case;
  readonly #byHand: boolean;
  readonly #speedKnown: boolean;
  readonly #found: Diagnostic[] = [];
  readonly #reported = new Set<string>();
  /** Index of the next event of the trace. */
  #next = 0;
  #on = false;
  #startLine = 0;
  /** Seconds of dwell since the spindle started. */
  #waited = 0;
  #contactSinceStart = false;
  /** The program has stopped for the operator at least once. */
  #stopped = false;
  #firstSpeed: number | null = null;

  constructor(c: Case) {
    const { spindle } = c.record.machine.controller;
    this.#c = c;
    this.#byHand = spindle.start === 'manual';
    this.#speedKnown = spindle.speed === 'rpm';
  }

  run(): Diagnostic[] {
    const { trace, simulation, file } = this.#c;
    const { inside, removed, motions: m } = simulation;
    for (let i = 0; i < m.length; i++) {
      this.#followEvents(i);
      const rpm = trace.rpm[i]!;
      const line = trace.line[i]!;
      if (rpm < 0) {
        const message = `the spindle turns counter-clockwise at ${-rpm} rpm`;
        this.#addOnce({ code: 'program/spindle-reverse', line, word: 'M', message });
      }
      if (rpm > 0 && this.#speedKnown) this.#checkSpeed(rpm, line);
      if (removed[i]! > 0.005 || inside[i] === 1) this.#checkContact(rpm, line);
    }
    this.#followEvents(Number.MAX_SAFE_INTEGER);
    if (this.#on && !trace.events.some((e) => e.kind === 'end')) {
      const message = 'the text ends while the spindle turns';
      this.#found.push(report({ code: 'program/spindle-left-on', ...inFile(file), message }));
    }
    return this.#found;
  }

  #add({ code, line, word, message, facts }: Found): void {
    this.#found.push(report({ code, ...inFile(this.#c.file, line, word), message, facts }));
  }

  /** Adds the first finding of a kind: what follows is the same mistake going on. */
  #addOnce(found: Found, kind: string = found.code): void {
    if (this.#reported.has(kind)) return;
    this.#reported.add(kind);
    this.#add(found);
  }

  /** Takes in every event that happens before motion number `before`. */
  #followEvents(before: number): void {
    const { events } = this.#c.trace;
    while (this.#next < events.length && events[this.#next]!.at <= before) {
      const event = events[this.#next++]!;
      if (event.kind === 'spindle') this.#followSpindle(event);
      else if (event.kind === 'tool') this.#followChange();
      else if (event.kind === 'dwell') this.#followDwell(event);
      else if (event.kind === 'stop' || event.kind === 'optional-stop') this.#followStop(event);
      else if (event.kind === 'end' && this.#on) {
        const message = 'the program ends without having switched the spindle off in a block of its own';
        this.#add({ code: 'program/spindle-left-on', line: event.line, word: 'M', message });
      }
    }
  }

  /** A change of cutters stops the spindle, and each cutter has a speed of its own. */
  #followChange(): void {
    this.#on = false;
    this.#firstSpeed = null;
  }

  /** Is the tip in the material when the event happens? */
  #inMaterial({ at }: ProgramEvent): boolean {
    const { simulation, scene } = this.#c;
    const { inside, motions: m } = simulation;
    return at > 0 && inside[at - 1] === 1 && m.toZ(at - 1) < scene.surface.highest;
  }

  #followSpindle(event: ProgramEvent): void {
    if (event.value !== 0) {
      if (this.#on && event.text === 'S') return;
      // a start that is repeated begins the wait anew: the program may be taken up again there
      this.#on = true;
      this.#waited = 0;
      this.#contactSinceStart = false;
      this.#startLine = event.line;
      return;
    }
    if (this.#on && this.#inMaterial(event)) {
      const z = this.#c.simulation.motions.toZ(event.at - 1);
      const message = `the spindle stops while the tip is at Z ${exactLength(z, this.#c.record.machine.units)}, in the material`;
      this.#addOnce({ code: 'program/spindle-stops-in-cut', line: event.line, word: 'M', message });
    }
    this.#on = false;
  }

  #followDwell(event: ProgramEvent): void {
    const { line, value } = event;
    if (this.#on) this.#waited += value;
    const longest = Math.max(
      LONGEST_DWELL.seconds,
      LONGEST_DWELL.spinUps * this.#c.record.machine.spindle.spinUp,
    );
    if (value > longest) {
      const message = `a dwell of ${value} s, no more than ${longest} s can be meant`;
      this.#add({
        code: 'program/dwell',
        line,
        word: 'G',
        message,
        facts: { found: value, allowed: longest },
      });
    }
    if (this.#inMaterial(event)) {
      const message = `a dwell of ${value} s with the tip in the material`;
      this.#addOnce({ code: 'program/dwell-in-cut', line, word: 'G', message });
    }
  }

  #followStop({ kind, line, value }: ProgramEvent): void {
    // M1 and M60 stop by a switch or for a pallet: nobody can count on them to reach in
    if (kind === 'stop' && value === 0) this.#stopped = true;
    if (!this.#on) return;
    const message = 'the program stops for the operator while the spindle turns';
    this.#addOnce({ code: 'program/spindle-left-on', line, word: 'M', message }, 'left on at a stop');
  }

  #checkSpeed(rpm: number, line: number): void {
    const { record, cutter } = this.#c;
    const [slowest, fastest] = record.machine.spindle.rpm;
    const most = Math.min(fastest, cutter?.maxRpm ?? Infinity);
    if (rpm < slowest - 0.5 || rpm > most + 0.5) {
      this.#addOnce({
        code: 'program/spindle-speed',
        line,
        word: 'S',
        message: `the spindle turns at ${rpm} rpm, allowed are ${slowest} to ${most} rpm`,
        facts: { found: rpm, least: slowest, most },
      });
    }
    const allowed = cutter && cutter.maxRpm === null ? speedCap(cutter.diameter) : Infinity;
    if (rpm > allowed + 0.5) {
      this.#addOnce({
        code: 'program/rim-speed',
        line,
        word: 'S',
        message: `the spindle turns at ${rpm} rpm, a cutter of ${exactLength(cutter!.diameter, record.machine.units)} without a marked maximum is held to ${allowed} rpm`,
        facts: { found: rpm, allowed },
      });
    }
    this.#firstSpeed ??= rpm;
    if (rpm !== this.#firstSpeed) {
      this.#addOnce({
        code: 'program/spindle-changed',
        line,
        word: 'S',
        message: `the speed changes from ${this.#firstSpeed} to ${rpm} rpm`,
        facts: { found: rpm, before: this.#firstSpeed },
      });
    }
  }

  /** The cutter is in material: it must turn, and have had the time to get up to speed. */
  #checkContact(rpm: number, line: number): void {
    const { controller, spindle } = this.#c.record.machine;
    if (this.#byHand) {
      if (this.#stopped) return;
      const message = 'the cutter enters material, and no stop before it lets the operator start the spindle';
      this.#addOnce({ code: 'program/spindle-off', line, word: 'Z', message });
      return;
    }
    if (this.#speedKnown ? rpm === 0 : !this.#on) {
      const message = 'the cutter enters material while the spindle stands still';
      this.#addOnce({ code: 'program/spindle-off', line, word: 'Z', message });
      return;
    }
    if (this.#contactSinceStart) return;
    this.#contactSinceStart = true;
    const needed = controller.spindle.start === 'dwell' ? spindle.spinUp : 0;
    // the text gives a dwell to hundredths of a second
    if (this.#waited >= needed - 0.011) return;
    this.#add({
      code: 'program/spin-up',
      line,
      word: 'Z',
      message: `the first contact comes ${this.#waited} s after the spindle start in line ${this.#startLine}, spin-up takes ${needed} s`,
      facts: { found: this.#waited, needed },
    });
  }
}

/** Greatest speed for a cutter of that diameter (mm), rpm; 12 000 beyond the chart's end as well. Published chart by inches. */
function speedCap(diameter: number): number {
  const inches = diameter / MM_PER_INCH;
  if (inches <= 1) return 24000;
  if (inches <= 1.25) return 18000;
  return inches <= 2.25 ? 16000 : 12000;
}

/** In issued programs a dwell belongs to the spindle start right before it, and speed, start and dwell stand together. */
export function checkRestarts(c: Case): Diagnostic[] {
  const { trace } = c;
  const found: Diagnostic[] = [];
  let startAt = -1;
  let waited = 0;
  for (const e of trace.events) {
    if (e.kind === 'spindle' && e.value !== 0 && e.text !== 'S') {
      startAt = e.at;
      waited = 0;
    }
    if (e.kind === 'dwell') {
      waited += e.value;
      if (waited > 1.5 * c.record.machine.spindle.spinUp + 1) {
        found.push(
          report({
            code: 'work/restart',
            ...inFile(c.file, e.line, 'G'),
            message: `${waited} s of dwell after one spindle start, spin-up takes ${c.record.machine.spindle.spinUp} s`,
          }),
        );
      }
    }
    if (e.kind === 'dwell' && (trace.flags[e.at] ?? 0) === 0 && startAt !== e.at) {
      found.push(
        report({
          code: 'work/restart',
          ...inFile(c.file, e.line, 'G'),
          message: `a dwell of ${e.value} s without a spindle start before it`,
        }),
      );
    }
  }
  return found;
}
