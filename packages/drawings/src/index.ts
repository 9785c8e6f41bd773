export { type PathPicture, pathDrawing } from './bed/path-drawing.ts';
export { surveyDrawing } from './bed/survey-drawing.ts';
export { holeTable } from './hole-table.ts';
export { type MachinePicture, machinePictures } from './machine-pictures.ts';
export { runSheet } from './run-sheet/run-sheet.ts';
