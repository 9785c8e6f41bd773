import type { NeutralProgram } from '@bedledger/bedwork';
import type { Controller, Form, OperationName } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';
import { refusal } from '../report.ts';

/**
 * Up to five letters and a number for each operation, for controllers with short names. An operation of one form leaves
 * the upper half of its thousand free: the rims take the first two of those.
 */
const SHORT: Readonly<Record<OperationName, { readonly letters: string; readonly code: number }>> = {
  'survey-visit': { letters: 'survy', code: 1000 },
  'air-pass': { letters: 'airps', code: 2000 },
  'datum-mark': { letters: 'datum', code: 3000 },
  'bed-mark': { letters: 'bedmk', code: 4000 },
  'underside-skim': { letters: 'under', code: 5000 },
  'socket-pockets': { letters: 'pockt', code: 6000 },
  'clearance-holes': { letters: 'holes', code: 7000 },
  'rim-break': { letters: 'rimbk', code: 1500 },
  surface: { letters: 'surfc', code: 8000 },
  trim: { letters: 'trim', code: 9000 },
  patch: { letters: 'patch', code: 4500 },
};

/** What each form adds to the code, and the letters of its short names where they are not the operation's. */
const FORM: Readonly<Record<Form, { readonly code: number; readonly letters: string | null }>> = {
  'first-fit': { code: 0, letters: null },
  refit: { code: 500, letters: 'refit' },
  top: { code: 0, letters: null },
  underside: { code: 1000, letters: 'rimun' },
};

/** Parts that two digits of a program number tell apart. */
const MOST_PARTS = 49;

function formOf({ form }: NeutralProgram): (typeof FORM)[Form] | null {
  return form === null ? null : entryOf(FORM, form, 'form of an operation');
}

/** 32-bit FNV-1a of a name: tells names apart that would be shortened to the same letters. */
function nameHash(name: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193) >>> 0;
  return hash;
}

/** The trailing `-3` of `surface-3`; null when the name is not made of operation, form and number. */
function indexOf(program: NeutralProgram): number | null {
  let rest = program.name;
  if (!rest.startsWith(program.operation)) return null;
  rest = rest.slice(program.operation.length);
  if (program.form !== null && rest.startsWith(`-${program.form}`))
    rest = rest.slice(program.form.length + 1);
  if (rest === '') return 0;
  return /^-[1-9]$/.test(rest) ? Number(rest.slice(1)) : null;
}

/** Which part of how many a file is; 1 of 1 for a program in one piece. */
export interface PartNumber {
  readonly part: number;
  readonly parts: number;
}

/**
 * Four digits that tell the programs of one machine apart: operation, then form and number, then part
 * (`operation + form + number·50 + part`). A name that is not made of operation, form and number takes a digit from
 * its hash in place of the number.
 */
export function programCode(program: NeutralProgram, { part, parts }: PartNumber): number {
  if (parts > MOST_PARTS) {
    throw refusal({
      code: 'post/too-many-parts',
      message: `${program.name} needs ${parts} parts, and program numbers tell only ${MOST_PARTS} apart`,
    });
  }
  const { code } = entryOf(SHORT, program.operation, 'operation');
  const form = formOf(program)?.code ?? 0;
  const index = indexOf(program) ?? nameHash(program.name) % 10;
  return code + form + index * 50 + (parts > 1 ? part : 0);
}

function extensionOf({ fileName: { form, extension } }: Controller): string {
  const plain = extension.replace(/^\./, '');
  if (!/^[A-Za-z0-9]*$/.test(plain) || (form === '8.3' && (plain.length > 3 || plain.length === 0))) {
    throw new RangeError(
      `file extension ${JSON.stringify(plain)} is not ${form === '8.3' ? 'one to three' : ''} letters or digits`,
    );
  }
  return plain;
}

function freeName(program: NeutralProgram, suffix: string): string {
  if (!/^[A-Za-z0-9][A-Za-z0-9._-]*$/.test(program.name)) {
    throw new RangeError(
      `program name ${JSON.stringify(program.name)} is not a file name of letters, digits, dots, dashes and underscores`,
    );
  }
  return program.name + (suffix === '' ? '' : `-${suffix}`);
}

function shortName(program: NeutralProgram, suffix: string): string {
  const plain = program.name.replace(/[^A-Za-z0-9]/g, '');
  const room = 8 - suffix.length;
  if (plain.length === program.name.length && plain.length > 0 && plain.length <= room) return plain + suffix;
  const { letters } = entryOf(SHORT, program.operation, 'operation');
  const index = indexOf(program);
  if (index === null) {
    const hash = nameHash(program.name).toString(36).padStart(7, '0').slice(-3);
    return letters.slice(0, room - 3) + hash + suffix;
  }
  const mark = formOf(program)?.letters ?? letters;
  const number = index === 0 ? '' : String(index);
  return mark.slice(0, room - number.length) + number + suffix;
}

/**
 * File name of one part. Form `free`: the program's name, `-p1`… for parts. `8.3`: at most eight letters and digits and
 * a three-letter extension. `digits`: the four-digit code (plus the profile's program number).
 */
export function fileName(program: NeutralProgram, controller: Controller, at: PartNumber): string {
  const { form, upper } = controller.fileName;
  const extension = extensionOf(controller);
  const suffix = at.parts > 1 ? `p${at.part}` : '';
  const base = entryOf(
    {
      free: () => freeName(program, suffix),
      '8.3': () => shortName(program, suffix),
      digits: () => String((controller.start.programNumber ?? 0) + programCode(program, at)),
    },
    form,
    'form of file names',
  )();
  const name = extension === '' ? base : `${base}.${extension}`;
  return upper ? name.toUpperCase() : name;
}
