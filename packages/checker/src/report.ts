import { type Diagnostic, type Place, reporter } from '@bedledger/diagnostics';
import type { ProgramFile } from './model.ts';
import { CHECKER_RULES } from './rules/table.ts';

/** The checker's builder of findings. */
export const report = reporter(CHECKER_RULES);

const linesByFile = new WeakMap<ProgramFile, string[]>();

function linesOf(file: ProgramFile): string[] {
  let lines = linesByFile.get(file);
  if (!lines) {
    lines = file.text.split(/\r\n|\n|\r/);
    linesByFile.set(file, lines);
  }
  return lines;
}

/** Column (from 1) of the word that begins with `letter` in a line of a program, outside comments; 1 when there is none. */
function columnOf(text: string, letter: string): number {
  let depth = 0;
  for (let k = 0; k < text.length; k++) {
    const c = text[k]!;
    if (c === '(') depth++;
    else if (c === ')') depth = Math.max(0, depth - 1);
    else if (c === ';') break;
    else if (depth === 0 && c.toUpperCase() === letter) return k + 1;
  }
  return 1;
}

/**
 * Place and excerpt of a finding, to be spread into `report`.
 * @param line from 1; undefined when the finding is about the whole file
 * @param word letter of the word to point at
 */
export function inFile(
  file: ProgramFile,
  line?: number,
  word?: string,
): { readonly place: Place; readonly excerpt?: Diagnostic['excerpt'] } {
  if (line === undefined) return { place: { file: file.path } };
  const excerpt = linesOf(file)[line - 1] ?? '';
  return { place: { file: file.path, line, column: word ? columnOf(excerpt, word) : 1 }, excerpt };
}
