import { type Diagnostic, exactLength, type Units } from '@bedledger/diagnostics';
import { report } from '../report.ts';
import type { FixingCode } from '../rules/index.ts';

/** How the findings about a fixing are written. */
export interface ResolveOptions {
  /** Units in which people read lengths; figures stay millimetres. Default mm. */
  readonly units?: Units;
  /** Where a key of the entry stands in its file: `['insert', 'outside']`. Findings have no place without it. */
  readonly placeOf?: (path: readonly string[]) => Pick<Diagnostic, 'place' | 'excerpt'>;
}

/** One thing that is wrong with a written fixing. */
interface FixingFinding {
  readonly code: FixingCode;
  /** Key inside the entry: `insert.outside`. */
  readonly path: string;
  readonly message: string;
  readonly facts?: Diagnostic['facts'];
  readonly help?: string | undefined;
}

/** Collects what is wrong with one written fixing. */
export class FixingFindings {
  readonly diagnostics: Diagnostic[] = [];
  readonly #id: string;
  readonly #units: Units;
  readonly #placeOf: ResolveOptions['placeOf'];

  constructor(id: string, options: ResolveOptions = {}) {
    this.#id = id;
    this.#units = options.units ?? 'mm';
    this.#placeOf = options.placeOf;
  }

  add({ code, path, message, facts, help }: FixingFinding): void {
    this.diagnostics.push(
      report({
        code,
        message: `fixing ${this.#id}: ${message}`,
        ...this.#placeOf?.(path.split('.')),
        facts: { fixing: this.#id, path, ...facts },
        help,
      }),
    );
  }

  /** A length in the units of the reader. What is no finite number is shown as it is. */
  length(mm: number): string {
    return Number.isFinite(mm) ? exactLength(mm, this.#units) : String(mm);
  }

  /** True after a finding that leaves no fixing. */
  get stopped(): boolean {
    return this.diagnostics.some((d) => d.severity === 'stop');
  }
}
