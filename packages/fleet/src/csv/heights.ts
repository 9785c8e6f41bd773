import type { Diagnostic } from '@bedledger/diagnostics';
import { visible } from '@bedledger/diagnostics';
import type { HeightMap } from '../model/record.ts';
import type { Units } from '../written/quantity.ts';
import { cellNumber, readCsv } from './table.ts';

export interface ParsedHeights {
  readonly heights: HeightMap | null;
  /** Line of each point in the file. */
  readonly lines: readonly number[];
  readonly diagnostics: readonly Diagnostic[];
}

const COLUMNS = ['x', 'y', 'z'] as const;

/** `heights/*.csv`: points on the board's top, Z above the bed, in the unit of the machine's profile, in any order. `name`: path below the machine's folder. */
export function parseHeights(file: string, text: string, units: Units, name = file): ParsedHeights {
  const table = readCsv(file, text, COLUMNS);
  const diagnostics = [...table.diagnostics];
  const factor = units === 'in' ? 25.4 : 1;
  const index = COLUMNS.map((c) => table.columns.indexOf(c));
  const points: (readonly [number, number, number])[] = [];
  const lines: number[] = [];
  const seen = new Map<string, number>();
  for (const row of table.rows) {
    const values: number[] = [];
    for (const i of index) {
      const cell = row.cells[i]!;
      const value = cellNumber(cell.text);
      if (value === null) {
        diagnostics.push({
          code: 'heights/number',
          severity: 'stop',
          message: `\`${visible(cell.text)}\` is not a number, expected ${units}`,
          place: cell.place,
          excerpt: row.excerpt,
          help: 'write a plain decimal number',
        });
        break;
      }
      values.push(value * factor);
    }
    if (values.length < 3) continue;
    const key = `${values[0]} ${values[1]}`;
    const earlier = seen.get(key);
    if (earlier !== undefined) {
      diagnostics.push({
        code: 'heights/repeated',
        severity: 'stop',
        message: `this place is in line ${earlier} already`,
        place: row.cells[0]!.place,
        excerpt: row.excerpt,
        help: 'keep one reading for each place',
      });
      continue;
    }
    seen.set(key, row.line);
    lines.push(row.line);
    points.push([values[0]!, values[1]!, values[2]!]);
  }
  if (points.length === 0 && diagnostics.length === 0) {
    diagnostics.push({
      code: 'heights/empty',
      severity: 'stop',
      message: 'the height map has no points',
      place: { file, line: 1, column: 1 },
      help: 'add the readings, or delete the file',
    });
  }
  return { heights: diagnostics.length > 0 ? null : { file: name, points }, lines, diagnostics };
}
