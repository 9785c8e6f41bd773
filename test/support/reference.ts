import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Figures from outside that the tests compare with; test/reference/SOURCES.md says where each comes from. */
const FOLDER = join(import.meta.dirname, '../reference');

/** Text of one file of test/reference. A missing file is an error: no test may pass for want of its reference. */
export function readReference(path: string): string {
  return readFileSync(join(FOLDER, path), 'utf8');
}

/** Rows of one table by its columns. */
export function readReferenceTable(path: string): Record<string, string>[] {
  const [head, ...rows] = readReference(path).trim().split(/\r?\n/).map(cellsOf);
  return rows.map((cells) => Object.fromEntries(head!.map((key, i) => [key, cells[i] ?? ''])));
}

/** Cells of one line of comma-separated values; a quoted cell may hold commas and doubled quotes (RFC 4180). */
function cellsOf(line: string): string[] {
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < line.length; i++) {
    const c = line[i];
    if (c === '"') {
      if (quoted && line[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = !quoted;
    } else if (c === ',' && !quoted) {
      cells.push(cell);
      cell = '';
    } else cell += c;
  }
  return [...cells, cell];
}
