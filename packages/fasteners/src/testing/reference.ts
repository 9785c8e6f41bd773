import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../../..', import.meta.url));
const FOLDER = process.env.BEDLEDGER_REFERENCE ?? resolve(ROOT, '../shared/reference');

/** Published data that is kept outside the repository; `reason` says why a test that reads it is skipped. */
export const reference: { readonly found: boolean; readonly reason: string } = existsSync(
  join(FOLDER, 'fasteners'),
)
  ? { found: true, reason: '' }
  : {
      found: false,
      reason: `published tables not found in ${FOLDER} (set BEDLEDGER_REFERENCE to their folder)`,
    };

/** Rows of one published table by its columns. */
export function readCsv(name: string): Record<string, string>[] {
  const [head, ...lines] = readFileSync(join(FOLDER, name), 'utf8').trim().split(/\r?\n/).map(splitLine);
  return lines.map((cells) => Object.fromEntries((head ?? []).map((key, i) => [key, cells[i] ?? ''])));
}

function splitLine(line: string): string[] {
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
