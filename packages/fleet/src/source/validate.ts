import type { Diagnostic } from '@bedledger/diagnostics';
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

/** Read `text` as YAML and hold it against `schema`. Never throws: every error is in the result, with its place. */
export function validateYaml<T>(schema: z.ZodType<T>, file: string, text: string, area: Area): Validated<T> {
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
