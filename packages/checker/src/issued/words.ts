import type { Diagnostic } from '@bedledger/diagnostics';
import type { ManifestProgram } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { OPERATION_VIEWS, worksOverBoard } from './operations.ts';

/** What people must be told before a program, computed from its text, the profile and the ledger. */
export interface Told {
  /** Where Z 0 is touched off; null where the height does not matter, because nothing turns and nothing comes near. */
  readonly touchOff: 'bed' | 'board-and-key-in' | 'board-top' | null;
  /** The spindle turns at some time. */
  readonly turns: boolean;
  /** A board is cut. */
  readonly board: boolean;
  /** Inserts stand in the bed under the board that is cut: nobody sees them. */
  readonly inserts: boolean;
}

/** What must be told of a program. */
export function toldOf({ record, trace, scene }: Case, { operation }: ManifestProgram): Told {
  const { machine, state } = record;
  const visits = OPERATION_VIEWS[operation].work(record).kind === 'visits';
  const byHand = machine.controller.spindle.start === 'manual' && !visits;
  const turns = byHand || trace.rpm.some((rpm) => rpm !== 0);
  const onBoard = worksOverBoard(operation, record);
  const bare = scene.setting.board === 'none';
  return {
    touchOff: onBoard
      ? machine.zZero === 'board-top'
        ? 'board-top'
        : 'board-and-key-in'
      : turns || !bare
        ? 'bed'
        : null,
    turns,
    board: turns && !bare,
    inserts: turns && !bare && state.inserts.length > 0,
  };
}

/** Words without case, signs and line breaks: every comment form and page leaves other signs out. */
function plain(text: string): string {
  return text
    .toUpperCase()
    .replace(/[^A-Z0-9]+/g, ' ')
    .trim();
}

const TOUCH_OFF: Readonly<Record<NonNullable<Told['touchOff']>, { yes: readonly RegExp[]; text: string }>> = {
  bed: { yes: [/TOUCH OFF ON THE BED\b/, /Z 0 IS THE BED SURFACE/], text: 'touch off on the bed' },
  'board-and-key-in': {
    yes: [/TOUCH OFF ON THE BOARD\b/, /KEY IN THE MEASURED THICKNESS/, /Z 0 IS THE BED SURFACE/],
    text: 'touch off on the board and key in its measured thickness: Z 0 is the bed surface',
  },
  'board-top': {
    yes: [/TOUCH OFF ON THE BOARD\b/, /Z 0 IS THE BOARD S TOP/],
    text: 'touch off on the board: Z 0 is the board’s top',
  },
};

/** What may not be said of a program whose Z 0 is touched off there. */
const CONTRARY: Readonly<Record<NonNullable<Told['touchOff']>, RegExp>> = {
  bed: /TOUCH OFF ON THE (?!BED\b)\w+|Z 0 IS THE (?!BED SURFACE)\w+|KEY IN THE MEASURED/,
  'board-and-key-in': /TOUCH OFF ON THE (?!BOARD\b)\w+|Z 0 IS THE (?!BED SURFACE)\w+/,
  'board-top': /TOUCH OFF ON THE (?!BOARD\b)\w+|Z 0 IS THE (?!BOARD S TOP)\w+|KEY IN THE MEASURED/,
};

/** Cautions that must stand where they apply, by a word that nobody can write them without. */
const CAUTIONS: readonly {
  readonly when: (told: Told) => boolean;
  readonly word: RegExp;
  readonly about: string;
}[] = [
  { when: (t) => !t.turns, word: /GANTRY MOVES/, about: 'the gantry that moves when start is pressed' },
  { when: (t) => t.turns, word: /EYES AND EARS/, about: 'eyes, ears and gloves' },
  { when: (t) => t.turns, word: /HANDS OUT/, about: 'hands out while the gantry moves' },
  { when: (t) => t.board, word: /DUST/, about: 'dust' },
  { when: (t) => t.inserts, word: /INSERTS ARE IN THE BED/, about: 'the inserts in the bed' },
];

/**
 * Words of one program, in its header or on its step of the run sheet, against what must be told.
 *
 * @param before what is said of the setting; `cautions` what is said of dangers
 */
export function checkWords(
  told: Told,
  words: { readonly before: string; readonly cautions: string },
  at: { readonly file: ProgramFile; readonly line?: number; readonly what: string },
): Diagnostic[] {
  const before = plain(words.before);
  const cautions = plain(words.cautions);
  const found: Diagnostic[] = [];
  const add = (code: CheckerCode, message: string): void => {
    found.push(report({ code, ...inFile(at.file, at.line), message: `${at.what}: ${message}` }));
  };
  const surface = told.touchOff ?? 'bed';
  const contrary = CONTRARY[surface].exec(before);
  if (contrary) {
    add('documents/touch-off', `says \`${contrary[0].toLowerCase()}\`, expected ${TOUCH_OFF[surface].text}`);
  } else if (told.touchOff !== null && !TOUCH_OFF[surface].yes.every((phrase) => phrase.test(before))) {
    add('documents/touch-off', `does not say to ${TOUCH_OFF[surface].text}`);
  }
  const off = /SPINDLE OFF\b/.test(before);
  if (told.turns && off) add('documents/spindle-words', 'says spindle off, and the spindle turns');
  if (!told.turns && !off) add('documents/spindle-words', 'does not say spindle off, and nothing may turn');
  for (const { when, word, about } of CAUTIONS) {
    if (when(told) && !word.test(cautions)) add('documents/caution', `no caution about ${about}`);
  }
  return found;
}

/** Header lines that may stand more than once. */
const REPEATED: ReadonlySet<string> = new Set(['BEFORE', 'AFTER', 'CAUTION']);

/** Words and fields of a program's header. Controllers without comments have none. */
export function checkHeaderWords(c: Case, entry: ManifestProgram): Diagnostic[] {
  if (c.record.machine.controller.comments === 'none') return [];
  const lines = (key: string): string =>
    c.trace.header
      .filter((h) => h.key.toUpperCase() === key)
      .map((h) => h.value)
      .join('. ');
  const found = checkWords(
    toldOf(c, entry),
    { before: lines('BEFORE'), cautions: lines('CAUTION') },
    { file: c.file, line: 1, what: 'the header' },
  );
  const seen = new Map<string, number>();
  for (const { key, line } of c.trace.header) {
    const name = key.toUpperCase();
    const first = seen.get(name);
    seen.set(name, first ?? line);
    if (first === undefined || REPEATED.has(name)) continue;
    const message = `${name} stands in line ${first} and again here`;
    found.push(report({ code: 'documents/repeated-field', ...inFile(c.file, line), message }));
  }
  return found;
}
