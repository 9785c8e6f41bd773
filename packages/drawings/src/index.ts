export { bedDrawing } from './bed/bed-drawing.ts';
export type { LengthFormat } from './format-length.ts';
export { lengthFormat } from './format-length.ts';
export { holeTable } from './hole-table.ts';
export { h, page, table } from './run-sheet/page.ts';
export { runSheet } from './run-sheet/run-sheet.ts';
export { stackDrawing } from './stack/stack-drawing.ts';
export { element, escapeMarkup, fixed, num } from './svg/markup.ts';
