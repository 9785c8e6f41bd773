import type { Diagnostic, Severity } from './diagnostic.ts';
import { visible } from './escape.ts';
import { type Told, unfolded } from './fold.ts';
import { sortDiagnostics } from './order.ts';
import { summarise } from './render-text.ts';

const LEVEL: Readonly<Record<Severity, string>> = { stop: 'error', warn: 'warning', note: 'notice' };

function escapeData(text: string): string {
  return text.replace(/%/g, '%25').replace(/\r/g, '%0D').replace(/\n/g, '%0A');
}

function escapeProperty(text: string): string {
  return escapeData(text).replace(/:/g, '%3A').replace(/,/g, '%2C');
}

/**
 * Workflow commands, one line a finding, which continuous integration shows beside the changed line:
 * `::error file=…,line=…,col=…,title=…::message`. Empty string for none.
 */
export function renderDiagnosticsCi(list: readonly Diagnostic[]): string {
  return sortDiagnostics(list)
    .map((d) => {
      const properties: string[] = [];
      if (d.place) {
        properties.push(`file=${escapeProperty(visible(d.place.file))}`);
        if (d.place.line !== undefined) properties.push(`line=${d.place.line}`);
        if (d.place.column !== undefined) properties.push(`col=${d.place.column}`);
        if (d.place.endColumn !== undefined) properties.push(`endColumn=${d.place.endColumn}`);
      }
      properties.push(`title=${escapeProperty(d.code)}`);
      const text = d.help === undefined ? d.message : `${d.message}\nhelp: ${d.help}`;
      return `::${LEVEL[d.severity]} ${properties.join(',')}::${escapeData(text.split('\n').map(visible).join('\n'))}\n`;
    })
    .join('');
}

/**
 * The same of what a person is told: an annotation for each cause at each of its places, which says how much hangs on it.
 *
 * @param all - every finding, at its own place
 */
export function renderToldCi(told: readonly Told[], all = false): string {
  if (all) return renderDiagnosticsCi(unfolded(told));
  return renderDiagnosticsCi(
    told.flatMap(({ finding, also, likewise, hanging }) => {
      const more = [
        ...(likewise.length > 0 ? [`likewise ${likewise.map((d) => d.each).join(', ')}`] : []),
        ...(hanging.length > 0 ? [`${summarise(hanging)} hang on it`] : []),
      ];
      const message = [finding.message, ...more].join('; ');
      return [finding, ...also.map((place) => ({ ...finding, place }))].map((d) => ({ ...d, message }));
    }),
  );
}
