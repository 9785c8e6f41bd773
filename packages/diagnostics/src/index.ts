export { closest, didYouMean, editDistance } from './closest.ts';
export type { Diagnostic, Place, Severity } from './diagnostic.ts';
export { InputError } from './diagnostic.ts';
export { visible } from './escape.ts';
export { capDiagnostics, compareDiagnostics, hasStop, sortDiagnostics, worstSeverity } from './order.ts';
export { renderAnnotations } from './render-annotations.ts';
export { renderJson, toPlain } from './render-json.ts';
export type { TextOptions } from './render-text.ts';
export { formatPlace, renderOne, renderText, summarise } from './render-text.ts';
