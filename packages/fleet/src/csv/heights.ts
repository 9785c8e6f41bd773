import { type Diagnostic, fromUnits, type Units, visible } from '@bedledger/diagnostics';
import type { HeightMap } from '../model/record.ts';
import { report } from '../report.ts';
import { cellNumber, readCsv, spotOf } from './table.ts';

export interface ParsedHeights {
  readonly heights: HeightMap | null;
  /** Line of each point in the file. */
  readonly lines: readonly number[];
  readonly diagnostics: readonly Diagnostic[];
}

const COLUMNS = ['x', 'y', 'z'] as const;

/**
 * `heights/*.csv`: points on the board's top, Z above the bed, in the unit of the machine's profile, in any order.
 * `name` is the path below the machine's folder that the result carries; `file` is the one findings show.
 */
export function parseHeights(file: string, text: string, units: Units, name = file): ParsedHeights {
  const table = readCsv(file, text, COLUMNS);
  const diagnostics = [...table.diagnostics];
  const index = COLUMNS.map((c) => table.columns.indexOf(c));
  const points: (readonly [number, number, number])[] = [];
  const lines: number[] = [];
  const seen = new Map<string, number>();
  for (const row of table.rows) {
    const cells = index.map((i) => row.cells[i]!);
    const wrong = cells.find((c) => cellNumber(c.text) === null);
    if (wrong) {
      const message = `\`${visible(wrong.text)}\` is not a number, expected ${units}`;
      diagnostics.push(
        report({ code: 'heights/number', ...spotOf(row, wrong), message, each: `line ${row.line}` }),
      );
      continue;
    }
    const [x, y, z] = cells.map((c) => fromUnits(cellNumber(c.text)!, units)) as [number, number, number];
    const key = `${x} ${y}`;
    const earlier = seen.get(key);
    if (earlier !== undefined) {
      const message = `this place is in line ${earlier} already`;
      diagnostics.push(
        report({ code: 'heights/repeated', ...spotOf(row, row.cells[0]), message, each: `line ${row.line}` }),
      );
      continue;
    }
    seen.set(key, row.line);
    lines.push(row.line);
    points.push([x, y, z]);
  }
  if (points.length === 0 && diagnostics.length === 0) {
    diagnostics.push(
      report({
        code: 'heights/empty',
        place: { file, line: 1, column: 1 },
        message: 'the height map has no points',
      }),
    );
  }
  return { heights: diagnostics.length > 0 ? null : { file: name, points }, lines, diagnostics };
}
