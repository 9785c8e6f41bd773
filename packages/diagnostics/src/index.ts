export type { Diagnostic, Place, Severity } from './diagnostic.ts';
export { InputError } from './diagnostic.ts';
export { visible } from './escape.ts';
export type { Told } from './fold.ts';
export { foldFindings, foldTogether, unfolded } from './fold.ts';
export { capDiagnostics, compareDiagnostics, hasStop, sortDiagnostics, worstSeverity } from './order.ts';
export type { Units } from './quantity.ts';
export {
  accelerationText,
  altitudeText,
  areaText,
  atLeastLength,
  atmosphereText,
  drillText,
  exactLength,
  exactNumber,
  exactPlace,
  FORCE_UNIT,
  feedText,
  fineLength,
  fineNumber,
  flowText,
  forceNumber,
  forceText,
  fromUnits,
  holdText,
  inUnits,
  keyValue,
  lengthNumber,
  lengthText,
  limitLength,
  MM_PER_INCH,
  massText,
  NEWTON_PER_POUND,
  PRESSURE_UNIT,
  perLengthText,
  placeText,
  powerText,
  pressureNumber,
  pressureText,
  pushText,
  rimText,
  screwLength,
  screwName,
  shortLength,
  shortNumber,
  slopeText,
  stressText,
  tableNumber,
  tinyLength,
  torqueText,
  volumeText,
  wayText,
  wideAreaText,
  writtenLength,
  writtenNumber,
} from './quantity.ts';
export type { IdleRaise, Raise } from './raise.ts';
export { idleRaises, raised } from './raise.ts';
export { renderDiagnosticsCi, renderToldCi } from './render-annotations.ts';
export { diagnosticsJson, toPlain } from './render-json.ts';
export type { TextOptions } from './render-text.ts';
export {
  formatPlace,
  renderDiagnosticsText,
  renderOne,
  renderTold,
  renderToldOne,
  summarise,
} from './render-text.ts';
export type { Finding } from './report.ts';
export { reporter } from './report.ts';
export {
  figure,
  fixed,
  powerOfTen,
  quantise,
  quantiseDown,
  quantiseUp,
  rounded,
  trimmed,
} from './rounding.ts';
export type { Rule, RuleTable } from './rule.ts';
export { compareSeverity, heavier, mergeRules } from './rule.ts';
export { didYouMean, editDistance, suggest } from './suggest.ts';
