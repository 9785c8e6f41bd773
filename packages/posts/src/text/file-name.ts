import type { NeutralProgram } from '@bedledger/bedwork';
import type { Controller, OperationName } from '@bedledger/fleet';
import { fault } from '../fault.ts';

/** Five letters and one digit for each operation, for controllers with short names. */
const SHORT: Readonly<Record<OperationName, readonly [letters: string, digit: number]>> = {
  'survey-visit': ['survy', 1],
  'air-pass': ['airps', 2],
  'datum-mark': ['datum', 3],
  'bed-mark': ['bedmk', 4],
  'underside-skim': ['under', 5],
  'socket-pockets': ['pockt', 6],
  'clearance-holes': ['holes', 7],
  surface: ['surfc', 8],
  trim: ['trim', 9],
};

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

/**
 * Four digits that tell the programs of one machine apart: operation, then form and number, then part
 * (`op·1000 + form·500 + number·50 + part`). Names of another make take the last three digits from a hash of the name.
 */
export function programCode(program: NeutralProgram, part: number): number {
  const [, digit] = SHORT[program.operation];
  const index = indexOf(program);
  const form = program.form === 'refit' ? 500 : 0;
  if (part > 49) {
    throw fault(
      'too-many-parts',
      `${program.name} needs more than 49 parts, and program numbers tell only 49 apart`,
      'raise max_lines or max_bytes in the profile',
    );
  }
  return digit * 1000 + form + (index ?? nameHash(program.name) % 10) * 50 + part;
}

/**
 * File name of one part. Form `free`: the program's name, `-p1`… for parts. `8.3`: at most eight letters and digits and
 * a three-letter extension. `digits`: the four-digit code (plus the profile's program number).
 */
export function fileName(
  program: NeutralProgram,
  controller: Controller,
  part: number,
  parts: number,
): string {
  const { form, upper } = controller.fileName;
  const extension = controller.fileName.extension.replace(/^\./, '');
  if (
    !/^[A-Za-z0-9]*$/.test(extension) ||
    (form === '8.3' && (extension.length > 3 || extension.length === 0))
  ) {
    throw fault(
      'extension',
      `file extension ${JSON.stringify(extension)} is not ${form === '8.3' ? 'one to three' : ''} letters or digits`,
      'write file_name.extension in the profile as letters and digits, e.g. nc',
    );
  }
  const suffix = parts > 1 ? `p${part}` : '';
  let base: string;
  if (form === 'digits') {
    base = String((controller.start.programNumber ?? 0) + programCode(program, parts > 1 ? part : 0));
  } else if (form === '8.3') {
    const plain = program.name.replace(/[^A-Za-z0-9]/g, '');
    const room = 8 - suffix.length;
    const index = indexOf(program);
    if (plain.length === program.name.length && plain.length > 0 && plain.length <= room)
      base = plain + suffix;
    else if (index !== null) {
      const [letters] = SHORT[program.operation];
      const mark = program.form === 'refit' ? 'refit' : letters;
      base = mark.slice(0, room - (index === 0 ? 0 : 1)) + (index === 0 ? '' : String(index)) + suffix;
    } else {
      const tail = nameHash(program.name).toString(36).padStart(7, '0').slice(-3);
      base = SHORT[program.operation][0].slice(0, room - 3) + tail + suffix;
    }
  } else {
    if (!/^[A-Za-z0-9][A-Za-z0-9._-]*$/.test(program.name)) {
      throw fault(
        'program-name',
        `program name ${JSON.stringify(program.name)} is not a file name of letters, digits, dots, dashes and underscores`,
        'give the program a plain name',
      );
    }
    base = program.name + (suffix === '' ? '' : `-${suffix}`);
  }
  const name = extension === '' ? base : `${base}.${extension}`;
  return upper ? name.toUpperCase() : name;
}
