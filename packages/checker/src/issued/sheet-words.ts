import { type Diagnostic, exactLength, fromUnits, type Units } from '@bedledger/diagnostics';
import type { MachineRecord, OperationName } from '@bedledger/fleet';
import type { IssuedFiles } from '../model.ts';
import { inFile, report } from '../report.ts';
import type { CheckedProgram } from './check-program.ts';
import { readHoleTable } from './hole-table.ts';
import { isLoaded, loadsIn, pageText } from './sheet-text.ts';
import { checkWords, toldOf } from './words.ts';

/**
 * Work that must come before other work, by the trade: marks before what is measured from them, the bed before the board,
 * pockets and holes before their rims, all of them before screws are driven and the top is skimmed.
 */
const FIRST: readonly (readonly [before: OperationName, after: OperationName])[] = [
  ['survey-visit', 'bed-mark'],
  ['datum-mark', 'air-pass'],
  ['datum-mark', 'bed-mark'],
  ['air-pass', 'bed-mark'],
  ['bed-mark', 'socket-pockets'],
  ['bed-mark', 'clearance-holes'],
  ['underside-skim', 'socket-pockets'],
  ['underside-skim', 'clearance-holes'],
  ['socket-pockets', 'rim-break'],
  ['clearance-holes', 'rim-break'],
  ['socket-pockets', 'surface'],
  ['clearance-holes', 'surface'],
  ['rim-break', 'surface'],
];

/** One step of the sheet: its words, and the files that it says to load. */
interface Step {
  readonly text: string;
  readonly cautions: string;
  readonly loads: readonly string[];
}

/** The steps of the sheet, each from its heading to the next one. */
function stepsOf(html: string): Step[] {
  return html
    .split(/(?=<h[23]\b)/)
    .filter((part) => /^<h3\b/.test(part))
    .map((part) => {
      const text = pageText(part);
      return { text, cautions: text, loads: loadsIn(text).map(({ path }) => path) };
    });
}

/** Words of the run sheet: what each step says before its program, the order of the steps, and the depth of hand drilling. */
export function checkSheetWords(
  record: MachineRecord,
  issued: IssuedFiles,
  programs: readonly CheckedProgram[],
): Diagnostic[] {
  const steps = stepsOf(issued.runSheet.text);
  return [
    ...steps.flatMap((step) => checkStep(step, issued, programs)),
    ...checkOrder(steps, issued),
    ...checkHandDrill(record, issued, steps),
  ];
}

function checkStep(step: Step, issued: IssuedFiles, programs: readonly CheckedProgram[]): Diagnostic[] {
  const program = programs.find(({ entry }) => step.loads.some((path) => isLoaded(path, entry.file)));
  if (!program?.simulated) return [];
  const told = toldOf(program.simulated.c, program.entry);
  const what = `the step of ${program.entry.file}`;
  return checkWords(told, { before: step.text, cautions: step.cautions }, { file: issued.runSheet, what });
}

function checkOrder(steps: readonly Step[], issued: IssuedFiles): Diagnostic[] {
  const at = new Map<OperationName, { first: number; last: number }>();
  steps.forEach(({ loads }, k) => {
    for (const path of loads) {
      const entry = issued.manifest.programs.find(({ file }) => isLoaded(path, file));
      if (!entry) continue;
      const known = at.get(entry.operation);
      at.set(entry.operation, { first: known?.first ?? k, last: k });
    }
  });
  return FIRST.flatMap(([before, after]) => {
    const [a, b] = [at.get(before), at.get(after)];
    if (!a || !b || a.last < b.first) return [];
    const message = `the sheet has ${after} before ${before}`;
    return [report({ code: 'documents/step-order', ...inFile(issued.runSheet), message })];
  });
}

/** Half of the last digit that a sheet prints, in its unit. */
const HALF_A_DIGIT: Readonly<Record<Units, number>> = { mm: 0.0051, in: 0.00051 };

/** Every depth of a bore on the sheet is one of the hole table, which is checked against the stack. */
function checkHandDrill(record: MachineRecord, issued: IssuedFiles, steps: readonly Step[]): Diagnostic[] {
  const { units } = record.machine;
  const { rows } = readHoleTable(issued.holes, units);
  const depths = rows.map((row) => row.boreDepth).filter((depth) => depth !== null);
  const found: Diagnostic[] = [];
  for (const { text } of steps) {
    for (const [, number, unit] of text.matchAll(
      /full depth of (\d+(?:\.\d+)?) (mm|in) below the bed surface/g,
    )) {
      const written = unit as Units;
      const depth = fromUnits(Number(number), written);
      const slack = fromUnits(HALF_A_DIGIT[written], written);
      if (depths.some((one) => Math.abs(one - depth) <= slack)) continue;
      const own = [...new Set(depths.map((one) => exactLength(one, units)))].join(', ');
      const message = `the sheet has bores drilled ${number} ${unit} deep, the hole table has ${own === '' ? 'none' : own}`;
      found.push(report({ code: 'documents/hand-drill', ...inFile(issued.runSheet), message }));
    }
  }
  return found;
}
