import { join } from 'node:path';
import { checkIssued } from '@bedledger/checker';
import { describe, expect, it } from 'vitest';
import { issuedFleet } from './mutation/issued-fleet.ts';

const sets = issuedFleet(join(import.meta.dirname, '..'));

interface Change {
  /** Rule that must be raised. */
  readonly code: string;
  readonly what: string;
  readonly machine: string;
  /** Part of the path of the file that is changed. */
  readonly file: string;
  readonly from: string | RegExp;
  readonly to: string;
}

/** What stands on paper is changed, one word at a time; the rule that must say so is named. */
const CHANGES: readonly Change[] = [
  {
    code: 'documents/touch-off',
    what: 'board for bed',
    machine: 'egret',
    file: 'DATUM',
    from: 'TOUCH OFF ON THE BED',
    to: 'TOUCH OFF ON THE BOARD',
  },
  {
    code: 'documents/touch-off',
    what: 'bed for board',
    machine: 'heron',
    file: 'socket-pockets',
    from: 'TOUCH OFF ON THE BOARD',
    to: 'TOUCH OFF ON THE BED',
  },
  {
    code: 'documents/touch-off',
    what: 'the other meaning of Z 0',
    machine: 'plover',
    file: 'surface',
    from: "Z 0 IS THE BOARD'S TOP",
    to: 'Z 0 IS THE BED SURFACE',
  },
  {
    code: 'documents/touch-off',
    what: 'no word of it',
    machine: 'heron',
    file: 'clearance-holes',
    from: /\(BEFORE: TOUCH OFF[^)]*\)\n\([^)]*\)\n/,
    to: '',
  },
  {
    code: 'documents/touch-off',
    what: 'the key-in left out',
    machine: 'heron',
    file: 'socket-pockets',
    from: 'AND KEY IN THE MEASURED THICKNESS',
    to: '',
  },
  {
    code: 'documents/touch-off',
    what: 'on the sheet',
    machine: 'heron',
    file: 'run-sheet',
    from: /Touch off on the board/g,
    to: 'Touch off on the bed',
  },
  {
    code: 'documents/touch-off',
    what: 'on the sheet of a machine without comments',
    machine: 'avocet',
    file: 'run-sheet',
    from: /Touch off on the board/g,
    to: 'Touch off on the bed',
  },
  {
    code: 'documents/spindle-words',
    what: 'spindle on where it is off',
    machine: 'heron',
    file: 'air-pass',
    from: 'SPINDLE OFF FOR',
    to: 'SPINDLE ON FOR',
  },
  {
    code: 'documents/spindle-words',
    what: 'spindle off where it turns',
    machine: 'heron',
    file: 'socket-pockets',
    from: '(BEFORE: TOUCH',
    to: '(BEFORE: SPINDLE OFF)\n(BEFORE: TOUCH',
  },
  {
    code: 'documents/spindle-words',
    what: 'on the sheet',
    machine: 'heron',
    file: 'run-sheet',
    from: /[Ss]pindle off/g,
    to: 'spindle on',
  },
  {
    code: 'documents/caution',
    what: 'eyes and ears',
    machine: 'plover',
    file: 'surface',
    from: 'EYES AND EARS PROTECTED',
    to: 'GLASSES',
  },
  {
    code: 'documents/caution',
    what: 'the gantry',
    machine: 'heron',
    file: 'air-pass',
    from: 'THE GANTRY MOVES',
    to: 'WATCH',
  },
  {
    code: 'documents/caution',
    what: 'inserts in the bed',
    machine: 'plover',
    file: 'surface',
    from: /\(CAUTION: INSERTS[^)]*\)\n/,
    to: '',
  },
  {
    code: 'documents/caution',
    what: 'dust, on the sheet',
    machine: 'heron',
    file: 'run-sheet',
    from: /dust/gi,
    to: 'sand',
  },
  {
    code: 'documents/repeated-field',
    what: 'two key-ins',
    machine: 'heron',
    file: 'socket-pockets',
    from: '(KEY IN: 17.766 MM)',
    to: '(KEY IN: 17.766 MM)\n(KEY IN: 19.000 MM)',
  },
  {
    code: 'documents/program-number',
    what: 'another program’s number',
    machine: 'egret',
    file: 'DATUM',
    from: ':3001',
    to: ':2001',
  },
  {
    code: 'documents/hand-drill',
    what: 'deeper',
    machine: 'curlew',
    file: 'run-sheet',
    from: /full depth of 15\.52 mm/g,
    to: 'full depth of 16.52 mm',
  },
  {
    code: 'documents/hand-drill',
    what: 'shallower, in inches',
    machine: 'egret',
    file: 'run-sheet',
    from: /full depth of 0\.599 in/,
    to: 'full depth of 0.499 in',
  },
];

function codesOf(set: (typeof sets)[number], issued: (typeof sets)[number]['issued']): string[] {
  return checkIssued(set.record, issued)
    .findings.filter((f) => f.severity === 'stop')
    .map((f) => f.code);
}

describe('words for people', () => {
  it.each(sets.map((set) => [set.record.machine.id, set] as const))(
    'of %s, as issued, are right',
    (_id, set) => {
      expect(codesOf(set, set.issued)).toEqual([]);
    },
  );

  it.each(CHANGES.map((change) => [change.code, change.what, change] as const))(
    '%s: %s',
    (code, _what, change) => {
      const set = sets.find((s) => s.record.machine.id === change.machine)!;
      const swap = <T extends { path: string; text: string }>(file: T): T =>
        file.path.includes(change.file) ? { ...file, text: file.text.replace(change.from, change.to) } : file;
      const issued = {
        ...set.issued,
        programs: set.issued.programs.map(swap),
        runSheet: swap(set.issued.runSheet),
      };
      const changed = [...issued.programs, issued.runSheet].filter(
        (file, k) => file.text !== [...set.issued.programs, set.issued.runSheet][k]!.text,
      );
      expect(changed).toHaveLength(1);
      expect(codesOf(set, issued)).toContain(code);
    },
  );

  it.each([
    ['work/rapid-to-top', 'a rapid to the measured top', 'Y2424.660\nZ19.850\n', 'Y2424.660\nZ17.766\n'],
    ['work/rapid-to-top', 'a rapid to 0.3 above it', 'Y2424.660\nZ19.850\n', 'Y2424.660\nZ18.066\n'],
    [
      'work/above-board',
      'a feed 0.1 above it',
      'G1 Z18.350 F3150\n',
      'G1 Z17.866 F3150\nX453.790\nX451.790\n',
    ],
  ])('%s: %s', (code, _what, from, to) => {
    const set = sets.find((s) => s.record.machine.id === 'heron')!;
    const file = set.issued.programs.find((f) => f.path.includes('socket-pockets'))!;
    expect(file.text).toContain(from);
    const programs = set.issued.programs.map((f) =>
      f === file ? { ...f, text: f.text.replace(from, to) } : f,
    );
    expect(codesOf(set, { ...set.issued, programs })).toContain(code);
  });

  it('steps in another order', () => {
    const set = sets.find((s) => s.record.machine.id === 'heron')!;
    const { text } = set.issued.runSheet;
    const swapped = text
      .replaceAll('programs/socket-pockets.ngc', 'programs/held.ngc')
      .replaceAll('programs/rim-break-top.ngc', 'programs/socket-pockets.ngc')
      .replaceAll('programs/held.ngc', 'programs/rim-break-top.ngc');
    expect(swapped).not.toBe(text);
    const issued = { ...set.issued, runSheet: { ...set.issued.runSheet, text: swapped } };
    expect(codesOf(set, issued)).toContain('documents/step-order');
  });
});
