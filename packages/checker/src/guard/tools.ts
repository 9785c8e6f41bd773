import { type Diagnostic, lengthText } from '@bedledger/diagnostics';
import type { Cutter, MachineRecord } from '@bedledger/fleet';
import type { GuardOptions, ProgramFile } from '../model.ts';
import { simulatedCutter } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { flatShape } from '../simulation/cutter-shape.ts';
import type { SimulatedCutter } from '../simulation/simulate.ts';
import { NOT_SAID, RAPID, type Trace } from '../trace.ts';

/** What is in the spindle during a stretch of the job. */
export interface Spindle {
  /** Null: only a diameter is known, or nothing at all. */
  readonly cutter: Cutter | null;
  readonly simulated: SimulatedCutter;
}

/** Which cutter stands behind each tool number of a job. */
export interface JobTools {
  readonly spindleFor: (tool: number) => Spindle;
  /** Why no verdict is possible; empty when every tool is a cutter. */
  readonly missing: readonly Diagnostic[];
  /** One sentence a tool. */
  readonly assumptions: readonly string[];
}

/** How high a cutter of which only the diameter is known turns above its tip, mm. */
const UNKNOWN_LENGTH = 100;

/** A cutter of the list, or the diameter of a flat one, mm. */
type Known = Cutter | number;

/** Maps every tool of a job to a cutter: by the call, by the job's header, by the numbers of the shared list. */
export function toolsOf(
  record: MachineRecord,
  program: ProgramFile,
  trace: Trace,
  options: GuardOptions,
): JobTools {
  return new Mapping(record, program, trace, options).run();
}

class Mapping {
  readonly #record: MachineRecord;
  readonly #program: ProgramFile;
  readonly #trace: Trace;
  readonly #options: GuardOptions;
  readonly #missing: Diagnostic[] = [];
  readonly #assumptions: string[] = [];
  readonly #byTool = new Map<number, Known>();

  constructor(record: MachineRecord, program: ProgramFile, trace: Trace, options: GuardOptions) {
    this.#record = record;
    this.#program = program;
    this.#trace = trace;
    this.#options = options;
  }

  run(): JobTools {
    const tools = this.#toolsInUse();
    const single = tools.length <= 1;
    for (const tool of single ? [tools[0] ?? NOT_SAID] : tools) this.#map(tool, single);
    this.#checkSeveral(tools);
    const fallback = single ? this.#byTool.get(tools[0] ?? NOT_SAID) : undefined;
    const spindles = new Map<number, Spindle>();
    const spindleFor = (tool: number): Spindle => {
      // before the first change of a job with one tool, that tool is taken to be in the spindle already
      const known = this.#byTool.get(tool) ?? fallback ?? this.#byTool.get(tools[0]!);
      const made = spindles.get(tool) ?? this.#spindle(known);
      spindles.set(tool, made);
      return made;
    };
    return { spindleFor, missing: this.#missing, assumptions: this.#assumptions };
  }

  /** Numbers of the tools that the job changes to, or, when it changes none, of those that it selects. */
  #toolsInUse(): number[] {
    const changed = new Set<number>();
    const selected = new Set<number>();
    for (const { kind, value } of this.#trace.events) {
      if (kind === 'tool') changed.add(value);
      if (kind === 'tool-select') selected.add(value);
    }
    return [...(changed.size > 0 ? changed : selected)];
  }

  #lacks(code: 'guard/no-tool' | 'guard/cutter-contradiction' | 'guard/tool-change', message: string): void {
    const event = this.#trace.events.find((e) => e.kind === 'tool' || e.kind === 'tool-select');
    this.#missing.push(report({ code, ...inFile(this.#program, event?.line, 'T'), message }));
  }

  /** More than one tool: changed, not merely selected, and on a machine that can follow a change. */
  #checkSeveral(tools: readonly number[]): void {
    if (this.#trace.tool[0] === NOT_SAID && this.#cutsBeforeChange()) {
      this.#lacks(
        'guard/tool-change',
        'the job cuts before its first tool change, with a cutter that it does not name',
      );
    }
    if (tools.length < 2) return;
    const names = tools.map((tool) => `T${tool}`).join(', ');
    if (!this.#trace.events.some((e) => e.kind === 'tool')) {
      this.#lacks('guard/tool-change', `the job selects ${names} and changes none of them`);
    } else if (this.#record.machine.controller.toolChange === 'one-tool-per-program') {
      this.#lacks(
        'guard/tool-change',
        `the job changes between ${names}, and this machine takes one cutter a program: the length of the next one is not known`,
      );
    }
  }

  #cutsBeforeChange(): boolean {
    const trace = this.#trace;
    const change = trace.events.find((e) => e.kind === 'tool');
    for (let i = 0; i < (change?.at ?? 0); i++) if (trace.kind[i] !== RAPID) return true;
    return false;
  }

  /** Finds the cutter behind one tool number; `NOT_SAID` when the job names none. */
  #map(tool: number, single: boolean): void {
    const { cutter: given, cutters: named } = this.#options;
    const numbered = this.#numbered(tool);
    const header = single ? this.#ofHeader() : null;
    const byCall = named?.get(tool);
    const called = this.#known(byCall ?? (single ? given : null));
    const known = called ?? header ?? numbered;
    const name = tool === NOT_SAID ? 'the cutter' : `T${tool}`;
    if (known === null) {
      this.#lacks(
        'guard/no-tool',
        tool === NOT_SAID
          ? 'neither the call nor the program names a cutter of the shared list'
          : `T${tool} is none of this machine’s cutters, and the call does not say which cutter it is`,
      );
      return;
    }
    this.#byTool.set(tool, known);
    const from =
      called !== null ? 'the call' : header !== null ? 'the job’s header' : 'its number in the shared list';
    this.#assumptions.push(`cutter: ${name} is ${this.#text(known)}, by ${from}`);
    for (const [other, says] of [
      [header, 'the header'],
      // a number that the call maps on purpose is the job's own
      [byCall === undefined ? numbered : null, `T${tool} of the shared list`],
    ] as const) {
      if (other === null || sameCutter(known, other)) continue;
      this.#lacks(
        'guard/cutter-contradiction',
        `${name} is ${this.#text(known)} by ${from}, and ${this.#text(other)} by ${says}`,
      );
    }
  }

  #known(written: string | number | null | undefined): Known | null {
    if (typeof written === 'number') return written;
    return typeof written === 'string' ? (this.#record.cutters.get(written) ?? null) : null;
  }

  #numbered(tool: number): Cutter | null {
    if (tool <= 0) return null;
    const found = [...this.#record.cutters.values()].filter((cutter) => cutter.number === tool);
    return found.length === 1 ? found[0]! : null;
  }

  /** The cutter that a header line `CUTTER: …` names. */
  #ofHeader(): Cutter | null {
    const line = this.#trace.header.find((h) => h.key.toUpperCase() === 'CUTTER');
    const id = line?.value.trim().split(/\s+/)[0]?.toLowerCase();
    for (const cutter of this.#record.cutters.values()) if (cutter.id.toLowerCase() === id) return cutter;
    return null;
  }

  #text(known: Known): string {
    const { units } = this.#record.machine;
    return typeof known === 'number' ? `a flat cutter of ${lengthText(known, units)}` : known.id;
  }

  #spindle(known: Known | undefined): Spindle {
    if (known === undefined) return { cutter: null, simulated: plain('cutter axis', 0.01) };
    if (typeof known === 'number') return { cutter: null, simulated: plain('cutter', known) };
    return { cutter: known, simulated: simulatedCutter(this.#record, known) };
  }
}

function plain(name: string, diameter: number): SimulatedCutter {
  return {
    shape: flatShape(diameter),
    parts: [{ name, radius: diameter / 2, from: 0, to: UNKNOWN_LENGTH }],
  };
}

/** The same cutter, or a diameter that is the cutter's (to a hundredth of a millimetre). */
function sameCutter(a: Known, b: Known): boolean {
  if (typeof a !== 'number' && typeof b !== 'number') return a.id === b.id;
  const diameter = (k: Known): number => (typeof k === 'number' ? k : k.diameter);
  return Math.abs(diameter(a) - diameter(b)) < 0.01;
}
