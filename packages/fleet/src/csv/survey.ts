import type { Diagnostic } from '@bedledger/diagnostics';
import { visible } from '@bedledger/diagnostics';
import type { Survey, SurveyFeature } from '../model/record.ts';
import { NAME_PATTERN } from '../written/common.ts';
import type { Units } from '../written/quantity.ts';
import { cellNumber, readCsv } from './table.ts';

const COLUMNS = ['feature', 'nominal_x', 'nominal_y', 'measured_x', 'measured_y'] as const;

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
  const factor = units === 'in' ? 25.4 : 1;
  const features: SurveyFeature[] = [];
  const seen = new Map<string, number>();
  for (const row of table.rows) {
    const cell = (name: (typeof COLUMNS)[number]) => row.cells[table.columns.indexOf(name)]!;
    const report = (word: string, message: string, at: (typeof COLUMNS)[number], help: string) =>
      diagnostics.push({
        code: `survey/${word}`,
        severity: 'stop',
        message,
        place: cell(at).place,
        excerpt: row.excerpt,
        help,
      });
    const id = cell('feature').text;
    if (!NAME_PATTERN.test(id)) {
      report(
        'name',
        `\`${visible(id)}\` is not a name, expected a letter, then letters, digits, \`-\` or \`_\``,
        'feature',
        'rename the feature',
      );
      continue;
    }
    const earlier = seen.get(id);
    if (earlier !== undefined) {
      report(
        'repeated',
        `feature \`${id}\` is in line ${earlier} already`,
        'feature',
        'give each feature one row',
      );
      continue;
    }
    seen.set(id, row.line);
    const read = (at: (typeof COLUMNS)[number]): number | null => {
      const value = cellNumber(cell(at).text);
      if (value === null) {
        report(
          'number',
          `\`${visible(cell(at).text)}\` is not a number, expected ${units} such as ${units === 'mm' ? '1199.85' : '47.238'}`,
          at,
          'write a plain decimal number',
        );
      }
      return value === null ? null : value * factor;
    };
    const nx = read('nominal_x');
    const ny = read('nominal_y');
    const empty = (['measured_x', 'measured_y'] as const).filter((c) => cell(c).text === '');
    let measured: SurveyFeature['measured'] = null;
    if (empty.length === 1) {
      report(
        'half',
        `feature \`${id}\` has only one measured coordinate`,
        empty[0]!,
        'write both, or leave both empty',
      );
    } else if (empty.length === 0) {
      const mx = read('measured_x');
      const my = read('measured_y');
      if (mx !== null && my !== null) measured = [mx, my];
    }
    if (nx !== null && ny !== null) features.push({ id, nominal: [nx, ny], measured });
  }
  return { survey: diagnostics.length > 0 ? null : { file: name, features }, diagnostics };
}
