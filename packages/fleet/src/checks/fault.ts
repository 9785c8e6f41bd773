import type { Diagnostic, Severity } from '@bedledger/diagnostics';
import type { Path, YamlSource } from '../source/yaml-source.ts';

/** Something wrong with a file that is well formed: where it is by path, not yet by line. */
export interface Fault {
  /** Word of the code, after the area: `zone-outside-bed`. */
  readonly word: string;
  readonly path: Path;
  readonly part?: 'key' | 'value';
  readonly message: string;
  readonly help?: string;
  readonly severity?: Severity;
  /** A second place that has to do with it, in the same file. */
  readonly related?: { readonly path: Path; readonly message: string };
  readonly facts?: Readonly<Record<string, string | number | boolean>>;
}

export function faultToDiagnostic(fault: Fault, source: YamlSource, area: string): Diagnostic {
  return {
    code: `${area}/${fault.word}`,
    severity: fault.severity ?? 'stop',
    message: fault.message,
    ...source.at(fault.path, fault.part ?? 'value'),
    ...(fault.related
      ? { related: [{ place: source.at(fault.related.path).place, message: fault.related.message }] }
      : {}),
    ...(fault.facts ? { facts: fault.facts } : {}),
    ...(fault.help ? { help: fault.help } : {}),
  };
}
