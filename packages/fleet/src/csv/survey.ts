import { type Diagnostic, fromUnits, type Units, visible } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import type { Survey, SurveyFeature } from '../model/record.ts';
import { type FleetCode, report } from '../report.ts';
import { NAME_PATTERN } from '../written/common.ts';
import { cellNumber, readCsv, spotOf } from './table.ts';

const COLUMNS = ['feature', 'nominal_x', 'nominal_y', 'measured_x', 'measured_y'] as const;
type Column = (typeof COLUMNS)[number];

/**
 * `survey.csv`: one bed feature a row, as drawn and as measured, both in the bed frame, in the unit of the machine's
 * profile. Measured cells stay empty until somebody has been there.
 * `name` is the path below the machine's folder that the result carries; `file` is the one findings show.
 */
export function parseSurvey(
  file: string,
  text: string,
  units: Units,
  name = file,
): { survey: Survey | null; diagnostics: readonly Diagnostic[] } {
  const table = readCsv(file, text, COLUMNS);
  const diagnostics = [...table.diagnostics];
  const features: SurveyFeature[] = [];
  const lines = new Map<string, number>();
  for (const row of table.rows) {
    const cell = (column: Column) => row.cells[table.columns.indexOf(column)]!;
    const add = (code: FleetCode, column: Column, message: string) => {
      diagnostics.push(report({ code, ...spotOf(row, cell(column)), message, each: `line ${row.line}` }));
    };
    const id = cell('feature').text;
    if (!NAME_PATTERN.test(id)) {
      const expected = 'expected a letter, then letters, digits, `-` or `_`';
      add('survey/name', 'feature', `\`${visible(id)}\` is not a name, ${expected}`);
      continue;
    }
    if (lines.has(id)) {
      add('survey/repeated', 'feature', `feature \`${id}\` is in line ${lines.get(id)} already`);
      continue;
    }
    lines.set(id, row.line);
    const coordinate = (column: Column): number | null => {
      const value = cellNumber(cell(column).text);
      if (value !== null) return fromUnits(value, units);
      const example = units === 'mm' ? '1199.85' : '47.238';
      const shown = visible(cell(column).text);
      add('survey/number', column, `\`${shown}\` is not a number, expected ${units} such as ${example}`);
      return null;
    };
    const point = (x: Column, y: Column): Point | null => {
      const [px, py] = [coordinate(x), coordinate(y)];
      return px === null || py === null ? null : [px, py];
    };
    const nominal = point('nominal_x', 'nominal_y');
    const empty = (['measured_x', 'measured_y'] as const).filter((c) => cell(c).text === '');
    if (empty.length === 1) {
      add('survey/half', empty[0]!, `feature \`${id}\` has only one measured coordinate`);
    }
    const measured = empty.length === 0 ? point('measured_x', 'measured_y') : null;
    if (nominal) features.push({ id, nominal, measured });
  }
  return { survey: diagnostics.length > 0 ? null : { file: name, features }, diagnostics };
}
