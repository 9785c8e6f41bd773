import type { Path } from '../model/path.ts';
import type { ControllerWritten } from '../written/controller.ts';

/** Options of a controller that cannot stand together, or that the dialect's standard does not have. */
export interface Contradiction {
  /** The options in question as paths below `controller`, the one most likely wrong first. */
  readonly options: readonly Path[];
  readonly message: string;
  readonly help: string;
}

export type Contradictions = Iterable<Contradiction>;

/** The first of the options that a person has written; else the innermost written part of the first, else the dialect. */
export function writtenOption({ options }: Contradiction, written: ControllerWritten): Path {
  const parts = options.map((path) => writtenPart(written, path));
  const whole = parts.find((part, i) => part.length === options[i]!.length);
  const found = whole ?? parts[0] ?? [];
  return found.length > 0 ? found : ['dialect'];
}

function writtenPart(written: ControllerWritten, path: Path): Path {
  let value: unknown = written;
  for (const [depth, step] of path.entries()) {
    if (typeof value !== 'object' || value === null) return path.slice(0, depth);
    value = (value as Readonly<Record<string, unknown>>)[String(step)];
    if (value === undefined) return path.slice(0, depth);
  }
  return path;
}
