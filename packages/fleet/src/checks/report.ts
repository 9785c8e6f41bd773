import type { Path } from '../source/yaml-source.ts';
import type { Fault } from './fault.ts';

/** Collects faults; `stop`, `warn` and `note` read like the sentences they make. */
export class FaultList {
  readonly faults: Fault[] = [];

  stop(word: string, path: Path, message: string, help: string, more: Partial<Fault> = {}): void {
    this.faults.push({ word, path, message, help, severity: 'stop', ...more });
  }

  warn(word: string, path: Path, message: string, help: string, more: Partial<Fault> = {}): void {
    this.faults.push({ word, path, message, help, severity: 'warn', ...more });
  }

  note(word: string, path: Path, message: string, help: string, more: Partial<Fault> = {}): void {
    this.faults.push({ word, path, message, help, severity: 'note', ...more });
  }
}

/** Millimetres for a message, in the unit the file is written in: `12.5 mm`, `0.492 in`. */
export function show(mm: number, units: 'mm' | 'in'): string {
  const value = units === 'mm' ? mm.toFixed(2) : (mm / 25.4).toFixed(3);
  return `${value.replace(/\.?0+$/, '')} ${units}`;
}

/** Entries of a list that repeat the identifier of an earlier one. */
export function repeated(
  list: readonly { readonly id: string }[],
): { index: number; first: number; id: string }[] {
  const seen = new Map<string, number>();
  const out: { index: number; first: number; id: string }[] = [];
  for (const [index, { id }] of list.entries()) {
    const first = seen.get(id);
    if (first === undefined) seen.set(id, index);
    else out.push({ index, first, id });
  }
  return out;
}
