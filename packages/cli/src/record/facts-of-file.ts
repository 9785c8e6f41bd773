import { readFileSync } from 'node:fs';
import { basename, extname, resolve } from 'node:path';
import { type Diagnostic, InputError, keyValue, type Units } from '@bedledger/diagnostics';
import { type BoreReading, type FactWritten, parseBores, readFactsFile } from '@bedledger/fleet';
import { UsageError } from '../arguments.ts';
import type { Quantity, RecordCall } from './call.ts';

/**
 * The facts of `record <machine> --file …`, named from the caller's folder: a list of facts (`.yaml`), or a table of measured bores (`.csv`).
 *
 * @throws InputError with every finding, each with its line and column, when the file is wrong
 */
export function factsOfFile(call: RecordCall, cwd: string, path: string): readonly FactWritten[] {
  const text = readText(cwd, path);
  // Findings show the name of the file: where it lies is the caller's business.
  const file = basename(path);
  switch (extname(path).toLowerCase()) {
    case '.yaml':
    case '.yml':
      return sound(readFactsFile(file, text, call.units));
    case '.csv': {
      const { units, bores, diagnostics } = parseBores(file, text);
      return sound({ facts: bores, diagnostics }).map((bore) => boreFact(call, bore, units));
    }
    default:
      throw new UsageError(
        `\`${path}\` is neither a list of facts (.yaml) nor a table of bores (.csv)`,
        'name the file so, or write the fact: `bedledger record <machine> <fact> …`',
      );
  }
}

function sound<T>(read: {
  readonly facts: readonly T[] | null;
  readonly diagnostics: readonly Diagnostic[];
}): readonly T[] {
  if (read.facts === null) throw new InputError(read.diagnostics);
  if (read.facts.length === 0) throw new UsageError('the file has no facts', 'there is nothing to record');
  return read.facts;
}

/** A bore as measured; what was left empty is as planned, and is written down as planned. */
function boreFact(call: RecordCall, bore: BoreReading, units: Units): FactWritten {
  const site = call.site(bore.site);
  const written = (value: number): Quantity => (units === call.units ? value : `${value} ${units}`);
  const drill = call.plan().stacks.get(site.id)?.handDrill;
  const size = (name: 'diameter' | 'depth'): Quantity => {
    const measured = bore[name];
    if (measured !== null) return written(measured);
    if (drill) return keyValue(drill[name], call.units);
    throw new UsageError(`the ${name} of the bore at ${site.id} is not known`, 'measure it');
  };
  return {
    fact: 'bore',
    date: call.date,
    site: site.id,
    at: bore.at === null ? call.written(site.actual) : [written(bore.at[0]), written(bore.at[1])],
    at_from: bore.at === null ? 'planned' : 'measured',
    diameter: size('diameter'),
    depth: size('depth'),
    depth_from: bore.depth === null && bore.diameter === null ? 'planned' : 'measured',
  };
}

function readText(cwd: string, path: string): string {
  try {
    return readFileSync(resolve(cwd, path), 'utf8');
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new UsageError(`${path} cannot be read: ${code ?? 'unknown reason'}`, 'check the name of the file');
  }
}
