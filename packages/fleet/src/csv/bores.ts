import { type Diagnostic, type Units, visible } from '@bedledger/diagnostics';
import { type FleetCode, report } from '../report.ts';
import { SITE_PATTERN } from '../written/common.ts';
import { type Cell, type CsvTable, cellNumber, readCsv, spotOf } from './table.ts';

/** One bore as measured, in the unit of the table. What was not measured is null. */
export interface BoreReading {
  readonly site: string;
  readonly at: readonly [number, number] | null;
  readonly diameter: number | null;
  readonly depth: number | null;
}

const LENGTHS = ['x', 'y', 'depth', 'diameter'] as const;
type Column = 'site' | (typeof LENGTHS)[number];

/**
 * `bores.csv`: one bore a row. `site,x,y,depth,diameter` below a line `# units: mm` (or `in`), or the unit in every heading:
 * `site,x_mm,y_mm,depth_mm,diameter_mm`. A cell of a figure that was not measured stays empty; x and y are both there or
 * both empty. Places are in the bed frame. Null, with findings, when anything is wrong.
 */
export function parseBores(
  file: string,
  text: string,
): { units: Units; bores: readonly BoreReading[] | null; diagnostics: readonly Diagnostic[] } {
  const inHeadings = /^(?!\s*#).*\b(?:x|y|depth|diameter)_(mm|in)\b/m.exec(text)?.[1];
  const inLine = /^\s*#\s*units:\s*(mm|in)\s*$/m.exec(text)?.[1];
  const units: Units = (inHeadings ?? inLine) === 'in' ? 'in' : 'mm';
  const heading = (column: Column): string =>
    column === 'site' || inHeadings === undefined ? column : `${column}_${units}`;
  const table = readCsv(
    file,
    text,
    ['site', ...LENGTHS].map((c) => heading(c as Column)),
  );
  const diagnostics = [...table.diagnostics];
  if (diagnostics.length === 0 && inHeadings === undefined && inLine === undefined) {
    diagnostics.push(
      report({
        code: 'csv/no-units',
        place: { file, line: 1, column: 1 },
        excerpt: text.split(/\r?\n/)[0] ?? '',
        message: 'the table does not say in what unit its lengths are',
      }),
    );
  }
  const bores = readRows(table, heading, units, diagnostics);
  return { units, bores: diagnostics.length > 0 ? null : bores, diagnostics };
}

function readRows(
  table: CsvTable,
  heading: (column: Column) => string,
  units: Units,
  diagnostics: Diagnostic[],
): BoreReading[] {
  const bores: BoreReading[] = [];
  const lines = new Map<string, number>();
  for (const row of table.rows) {
    const cell = (column: Column): Cell => row.cells[table.columns.indexOf(heading(column))]!;
    const add = (code: FleetCode, column: Column, message: string, help?: string): void => {
      diagnostics.push(
        report({ code, ...spotOf(row, cell(column)), message, help, each: `line ${row.line}` }),
      );
    };
    const site = cell('site').text;
    if (!SITE_PATTERN.test(site)) {
      const upper = site.toUpperCase();
      const near = SITE_PATTERN.test(upper) ? `write \`${upper}\`` : undefined;
      add('csv/wrong-cell', 'site', `\`${visible(site)}\` is no site, expected a name such as \`B3\``, near);
      continue;
    }
    const before = lines.get(site);
    if (before !== undefined) {
      add('csv/repeated-row', 'site', `site ${site} is in line ${before} already`);
      continue;
    }
    lines.set(site, row.line);
    const figure = (column: Column): number | null => {
      const { text } = cell(column);
      if (text === '') return null;
      const value = cellNumber(text);
      const size = column === 'depth' || column === 'diameter';
      if (value !== null && (!size || value > 0)) return value;
      const wanted = size ? 'a length greater than 0' : 'a number';
      add('csv/wrong-cell', column, `\`${visible(text)}\` is not ${wanted} in ${units}`);
      return null;
    };
    const [x, y] = [figure('x'), figure('y')];
    if ((cell('x').text === '') !== (cell('y').text === '')) {
      const empty = cell('x').text === '' ? 'x' : 'y';
      add('csv/wrong-cell', empty, `the bore at ${site} has only one measured coordinate`);
    }
    bores.push({
      site,
      at: x === null || y === null ? null : [x, y],
      diameter: figure('diameter'),
      depth: figure('depth'),
    });
  }
  return bores;
}
