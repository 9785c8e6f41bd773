import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { MACHINE, NOT_SAID, type ProgramEvent, RAPID, type Trace } from '../trace.ts';
import { type Case, RAPID_AIR, roundingOf } from './case.ts';

/** Motions `from` up to `to` (not included), made with the cutter of one number. */
export interface ToolStretch {
  /** Number of the cutter; 0: the spindle is empty. `NOT_SAID`: the program has not fetched one yet. */
  readonly tool: number;
  readonly from: number;
  readonly to: number;
  /** Line of its first motion. */
  readonly line: number;
}

/** The stretches of a program between changes of cutters, in order; two after one another have different cutters. */
export function toolStretches(trace: Trace): ToolStretch[] {
  const stretches: ToolStretch[] = [];
  let from = 0;
  for (let i = 1; i <= trace.length; i++) {
    if (i < trace.length && trace.tool[i] === trace.tool[from]) continue;
    stretches.push({ tool: trace.tool[from]!, from, to: i, line: trace.line[from]! });
    from = i;
  }
  return stretches;
}

/** Cutter and length of any program, whoever wrote it. What it finds is wrong whichever cutter the numbers stand for. */
export function checkTools(c: Case): Diagnostic[] {
  return new ToolCheck(c).run();
}

/**
 * Cutter and length of an issued program, which is made with one cutter, fetched once.
 * @param expected number of the program's cutter; null for a program with nothing in the spindle
 * @param restarts lines at which the program may be taken up again, where it fetches the same cutter once more
 */
export function checkOwnTool(
  c: Case,
  expected: number | null,
  restarts: readonly number[] = [],
): Diagnostic[] {
  return [...checkTools(c), ...checkOneTool(c, expected, restarts), ...checkCutterStop(c, expected)];
}

class ToolCheck {
  readonly #c: Case;
  readonly #lengths: boolean;
  /** Height that is free of everything on the bed, mm. */
  readonly #free: number;
  /** The first finding of each code: what follows is the same mistake going on. */
  readonly #found = new Map<CheckerCode, Diagnostic>();
  #turning = false;
  /** Length number in force, from the events. */
  #length = NOT_SAID;

  constructor(c: Case) {
    this.#c = c;
    const { controller } = c.record.machine;
    this.#lengths = controller.toolLength === 'G43';
    this.#free = c.scene.highest + RAPID_AIR - roundingOf(controller);
  }

  run(): Diagnostic[] {
    const { trace } = this.#c;
    for (const event of trace.events) this.#follow(event);
    for (let i = 0; i < trace.length; i++) this.#checkMotion(i);
    return [...this.#found.values()];
  }

  #add(code: CheckerCode, line: number, word: string, message: string): void {
    if (this.#found.has(code)) return;
    this.#found.set(code, report({ code, ...inFile(this.#c.file, line, word), message }));
  }

  #follow(event: ProgramEvent): void {
    if (event.kind === 'spindle') this.#turning = event.value !== 0;
    else if (event.kind === 'tool') this.#change(event);
    else if (event.kind === 'length-offset') this.#lengthStated(event);
  }

  #change(event: ProgramEvent): void {
    if (this.#turning) {
      const message = 'M6 comes while the spindle turns';
      this.#add('tool/change-turning', event.line, 'M', message);
    }
    this.#turning = false;
    const z = this.#heightAt(event);
    if (z >= this.#free || Number.isNaN(z)) return;
    const { units } = this.#c.record.machine;
    const message = `M6 comes with the tip at Z ${exactLength(z, units)} above the bed, ${exactLength(this.#free, units)} are free of everything that stands there`;
    this.#add('tool/change-low', event.line, 'M', message);
  }

  #lengthStated(event: ProgramEvent): void {
    const before = this.#length;
    this.#length = event.value;
    if (event.value === before) return;
    const z = this.#heightAt(event);
    if (z >= this.#free || Number.isNaN(z)) return;
    const { units } = this.#c.record.machine;
    const message = `${event.text} comes with the tip at Z ${exactLength(z, units)} above the bed`;
    this.#add('tool/length-in-cut', event.line, 'G', message);
  }

  /** Height of the tip when the event happens; NaN when it is not known, or the machine's own. */
  #heightAt({ at }: ProgramEvent): number {
    return at === 0 ? Number.NaN : this.#c.simulation.motions.toZ(at - 1);
  }

  #checkMotion(i: number): void {
    const { trace, simulation } = this.#c;
    const line = trace.line[i]!;
    const tool = trace.tool[i]!;
    const length = trace.lengthOffset[i]!;
    const near = !(simulation.motions.toZ(i) >= this.#free) && !this.#ownHeight(i);
    if (tool === 0 && (near || trace.kind[i] !== RAPID)) {
      this.#add('tool/empty', line, 'Z', 'this motion goes to the work after T0 M6');
    }
    if (!this.#lengths || this.#ownHeight(i) || Number.isNaN(trace.z[i]!)) return;
    if (tool === 0) return;
    if (length <= 0) {
      const which = length === 0 ? 'with no tool length (G49) in force' : 'before any tool length is stated';
      this.#add('tool/length-missing', line, 'Z', `this motion is made ${which}`);
    } else if (tool > 0 && length !== tool) {
      const message = `the length in force is H${length}, the cutter in the spindle is T${tool}`;
      this.#add('tool/length-wrong', line, 'Z', message);
    }
  }

  /** Is the motion written in machine coordinates, which no tool length reaches? */
  #ownHeight(i: number): boolean {
    return (this.#c.trace.flags[i]! & MACHINE) !== 0;
  }
}

/** T, M6 and H of a program with one cutter: each once, in that order, and of that cutter. */
function checkOneTool(c: Case, expected: number | null, restarts: readonly number[]): Diagnostic[] {
  const { trace, file } = c;
  const { controller } = c.record.machine;
  const changes = controller.toolChange === 'automatic' && expected !== null;
  const found: Diagnostic[] = [];
  const add = (code: CheckerCode, line: number, word: string, message: string): void => {
    found.push(report({ code, ...inFile(file, line, word), message }));
  };
  let fetched = 0;
  let chosen = 0;
  let lengthStated = false;
  let from = 0;
  let atRest = false;
  for (const { kind, line, value } of trace.events) {
    if (restarts.some((at) => at > from && at <= line)) {
      fetched = chosen = 0;
      lengthStated = false;
    }
    from = line;
    if (kind === 'spindle') atRest = value === 0;
    else if (kind === 'tool-select') {
      chosen++;
      if (!changes) add('tool/unexpected-word', line, 'T', `found T${value}, where no cutter is fetched`);
      else if (value !== expected)
        add('tool/wrong', line, 'T', `found T${value}, the cutter of this program is T${expected}`);
      else if (chosen > 1) add('tool/changed-again', line, 'T', `found T${value} once more`);
    } else if (kind === 'tool') {
      fetched++;
      if (!atRest)
        add('tool/change-turning', line, 'M', 'M6 comes before the program has stopped the spindle');
      if (changes && lengthStated) {
        add('tool/length-before-change', line, 'M', 'M6 comes after G43');
      }
      if (fetched > 1) add('tool/changed-again', line, 'M', 'found a second change of cutters');
    } else if (kind === 'length-offset' && value > 0) {
      lengthStated = true;
      if (expected === null) {
        add('tool/unexpected-word', line, 'H', `found H${value} in a program with nothing in the spindle`);
      } else if (value !== expected) {
        add('tool/length-wrong', line, 'H', `found H${value}, the cutter of this program is T${expected}`);
      }
    }
  }
  // what only lifts on the spot may be done with whatever is in the spindle
  const lifts = (i: number): boolean =>
    (trace.flags[i]! & MACHINE) !== 0 ||
    (trace.kind[i] === RAPID && Number.isNaN(trace.x[i]!) && Number.isNaN(trace.y[i]!));
  const first = trace.tool.findIndex((tool, i) => tool === NOT_SAID && !lifts(i));
  if (changes && first >= 0) {
    add('tool/not-loaded', trace.line[first]!, 'Z', 'this motion comes before T and M6');
  }
  return found;
}

/** Where cutters are changed by hand, the program stops for it before the first cut. */
function checkCutterStop(c: Case, expected: number | null): Diagnostic[] {
  if (c.record.machine.controller.toolChange !== 'manual-stop' || expected === null) return [];
  const { trace, simulation } = c;
  const cut = simulation.inside.indexOf(1);
  if (cut < 0) return [];
  if (trace.events.some((e) => e.kind === 'stop' && e.value === 0 && e.at <= cut)) return [];
  const message = 'the first cut comes before any M0';
  return [report({ code: 'tool/no-stop', ...inFile(c.file, trace.line[cut]!), message })];
}
