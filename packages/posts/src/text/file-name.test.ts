import { type Form, OPERATION_NAMES, type OperationName } from '@bedledger/fleet';
import { expect, test } from 'vitest';
import { NGC } from '../testing/controllers.ts';
import { programOf } from '../testing/programs.ts';
import { fileName } from './file-name.ts';

/** Every program that a machine may have: an operation of two forms has both, never the plain name beside them. */
const FORMS: Readonly<Partial<Record<OperationName, readonly Form[]>>> = {
  'clearance-holes': ['first-fit', 'refit'],
  'rim-break': ['top', 'underside'],
};

const PROGRAMS = OPERATION_NAMES.flatMap((operation) =>
  (FORMS[operation] ?? [null]).flatMap((form) =>
    ['', '-2', '-9'].map((tail) =>
      programOf([], { operation, form, name: `${operation}${form === null ? '' : `-${form}`}${tail}` }),
    ),
  ),
);

test('8.3 names are eight and three letters or digits, and tell a machine’s programs and parts apart', () => {
  const controller = { ...NGC, fileName: { form: '8.3' as const, extension: '.nc', upper: true } };
  const names = new Set<string>();
  let count = 0;
  for (const program of PROGRAMS) {
    for (const [part, parts] of [
      [1, 1],
      [1, 12],
      [9, 12],
      [12, 12],
    ] as const) {
      const name = fileName(program, controller, { part, parts });
      expect(name).toMatch(/^[A-Z0-9]{1,8}\.NC$/);
      names.add(name);
      count++;
    }
  }
  expect(names.size).toBe(count);
});

test('names of digits are numbers of their own', () => {
  const controller = {
    ...NGC,
    fileName: { form: 'digits' as const, extension: 'cnc', upper: false },
    start: { ...NGC.start, programNumber: 0 },
  };
  const names = new Set<string>();
  let count = 0;
  for (const program of PROGRAMS) {
    for (const [part, parts] of [
      [1, 1],
      [1, 3],
      [3, 3],
    ] as const) {
      const name = fileName(program, controller, { part, parts });
      expect(name).toMatch(/^\d{4}\.cnc$/);
      names.add(name);
      count++;
    }
  }
  expect(names.size).toBe(count);
});

test('free names are the program’s, with the part behind', () => {
  const program = programOf([], { name: 'clearance-holes-first-fit' });
  expect(fileName(program, NGC, { part: 1, parts: 1 })).toBe('clearance-holes-first-fit.ngc');
  expect(fileName(program, NGC, { part: 2, parts: 3 })).toBe('clearance-holes-first-fit-p2.ngc');
  expect(() => fileName({ ...program, name: '../x' }, NGC, { part: 1, parts: 1 })).toThrow(/file name/);
});
