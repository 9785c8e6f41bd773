export type { Diagnostic, Place, Severity } from './diagnostic.ts';
export { InputError } from './diagnostic.ts';
export { visible } from './escape.ts';
export { capDiagnostics, compareDiagnostics, hasStop, sortDiagnostics, worstSeverity } from './order.ts';
export { renderDiagnosticsCi } from './render-annotations.ts';
export { diagnosticsJson, toPlain } from './render-json.ts';
export type { TextOptions } from './render-text.ts';
export { formatPlace, renderDiagnosticsText, renderOne, summarise } from './render-text.ts';
export { didYouMean, editDistance, suggest } from './suggest.ts';
