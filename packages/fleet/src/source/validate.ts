import type { Diagnostic } from '@bedledger/diagnostics';
import { Remembered } from '@bedledger/geometry';
import type { z } from 'zod';
import type { Area } from '../rules/schema.ts';
import { issueFindings } from './issues.ts';
import { readYaml, type YamlSource } from './yaml-source.ts';

/** A file that was read and validated, or what is wrong with it. */
export interface Validated<T> {
  readonly source: YamlSource;
  /** Null when anything is wrong. */
  readonly written: T | null;
  readonly diagnostics: readonly Diagnostic[];
}

interface Question {
  readonly schema: z.ZodType;
  readonly file: string;
  readonly text: string;
  readonly area: Area;
}

/** Longer files are read anew: what was read of them takes too much room to be kept. */
const LONGEST_KEPT = 200_000;

const read = new Remembered<Question, Validated<unknown>>(
  32,
  (a, b) => a.schema === b.schema && a.text === b.text && a.file === b.file && a.area === b.area,
);

/**
 * Read `text` as YAML and hold it against `schema`. Never throws: every error is in the result, with its place. The same text is
 * read once, because a command asks for a file's content at several places, and all of them are given the same (frozen) data.
 */
export function validateYaml<T>(schema: z.ZodType<T>, file: string, text: string, area: Area): Validated<T> {
  if (text.length > LONGEST_KEPT) return validated(schema, file, text, area);
  return read.answer({ schema, file, text, area }, () => {
    const result = validated(schema, file, text, area);
    freeze(result.written);
    freeze(result.source.data);
    return result;
  }) as Validated<T>;
}

/** Nobody who is given the data can change it for the others. */
function freeze(data: unknown): void {
  if (typeof data !== 'object' || data === null || Object.isFrozen(data)) return;
  Object.freeze(data);
  for (const value of Object.values(data)) freeze(value);
}

function validated<T>(schema: z.ZodType<T>, file: string, text: string, area: Area): Validated<T> {
  const source = readYaml(file, text);
  if (source.diagnostics.length > 0) return { source, written: null, diagnostics: source.diagnostics };
  const result = schema.safeParse(source.data);
  if (result.success) return { source, written: result.data, diagnostics: [] };
  return {
    source,
    written: null,
    diagnostics: issueFindings(schema, result.error.issues, source, area),
  };
}
