import type { Diagnostic, Severity } from '@bedledger/diagnostics';

/** Collects what is wrong with one written fixing; `path` names the key inside the entry (`insert.outside`). */
export class FixingReport {
  readonly diagnostics: Diagnostic[] = [];
  readonly #id: string;

  constructor(id: string) {
    this.#id = id;
  }

  add(
    severity: Severity,
    code: string,
    path: string,
    message: string,
    facts: Readonly<Record<string, string | number | boolean>>,
    help?: string,
  ): void {
    this.diagnostics.push({
      code: `fixing/${code}`,
      severity,
      message: `fixing ${this.#id}: ${message}`,
      facts: { fixing: this.#id, path, ...facts },
      ...(help !== undefined && { help }),
    });
  }

  get stopped(): boolean {
    return this.diagnostics.some((d) => d.severity === 'stop');
  }
}

/** Millimetres for people: at most three decimals, no trailing zeros. */
export function mm(value: number): string {
  return `${Number(value.toFixed(3))} mm`;
}
