import { describe, expect, it } from 'vitest';
import { caseOf, recordOf, START } from '../testing/case-of.ts';
import { checkRestartPoints } from './restart-points.ts';

/** Commands of the report (NISTIR 6556): a controller with `( )` comments, and outputs of its own. */
const gannet = recordOf('gannet', { controller: { auxiliary: { extraction: { on: 'M7', off: 'M9' } } } });

/** A row, a stop for whatever reason, and a second row that may be taken up again. */
const HEAD = [
  START.trimEnd(),
  '(ROW 1)',
  'G0 Z60',
  'S12000 M3',
  'G4 P6',
  'G0 X100 Y100',
  'Z19',
  'G1 Z17.5 F600',
  'X300 F1500',
  'G0 Z60',
];
const AGAIN = [
  '(TAKE UP AGAIN HERE)',
  '(ROW 2)',
  START.trimEnd(),
  'G0 Z60',
  'S12000 M3',
  'G4 P6',
  'G0 X100 Y140',
  'Z19',
  'G1 Z17.5 F600',
  'X300 F1500',
  'G0 Z60',
];
const LINE = HEAD.length + 1;
const POINT = { line: LINE, block: null, title: 'row 2' };

const told = (again: readonly string[], points = [POINT]): string[] =>
  checkRestartPoints(caseOf(gannet, `${[...HEAD, ...again, 'M5', 'M2'].join('\n')}\n`), points).map(
    (f) => `${f.code}:${f.place?.line}: ${f.message}`,
  );
const without = (text: string, of: string): string[] =>
  AGAIN.flatMap((line) => {
    if (line !== of) return [line];
    const left = line.replace(text, '').replace(/ {2,}/g, ' ').trim();
    return left === '' ? [] : [left];
  });

describe('a place to take a program up again', () => {
  it('says again everything that its beginning says', () => {
    expect(told(AGAIN)).toEqual([]);
  });

  it.each([
    ['units', 'G21', START.trimEnd()],
    ['distance', 'G90', START.trimEnd()],
    ['plane', 'G17', START.trimEnd()],
    ['work offset', 'G54', START.trimEnd()],
    ['the height first', 'G0 Z60', 'G0 Z60'],
    ['the spindle', 'S12000 M3', 'S12000 M3'],
    ['the speed', 'S12000', 'S12000 M3'],
    ['the place', 'X100', 'G0 X100 Y140'],
    ['the feed', 'F600', 'G1 Z17.5 F600'],
  ])('without %s it is refused', (_, word, line) => {
    const found = told(without(word, line));
    expect(found.length).toBeGreaterThan(0);
    expect(found[0]).toMatch(new RegExp(`^work/restart:${LINE}: taken up again at row 2 the program `));
  });

  it('has the outputs on that the whole program has on', () => {
    const head = HEAD.flatMap((line) => (line === 'G4 P6' ? [line, 'M7'] : [line]));
    const text = (again: readonly string[]) => `${[...head, ...again, 'M5', 'M2'].join('\n')}\n`;
    const run = (again: readonly string[]): string[] =>
      checkRestartPoints(caseOf(gannet, text(again)), [{ ...POINT, line: head.length + 1 }]).map(
        (f) => f.message,
      );
    expect(run(AGAIN.flatMap((line) => (line === 'G4 P6' ? [line, 'M7'] : [line])))).toEqual([]);
    expect(run(AGAIN)).toEqual(['taken up again at row 2 the program cuts without extraction']);
  });
});

describe('what the operator reads and what the manifest has', () => {
  it('a mark that the manifest does not have is refused: nothing else looks like a place to take up again', () => {
    expect(told(AGAIN, [])).toEqual([expect.stringMatching(`^work/restart:${LINE}: a place is marked`)]);
  });
  it('a place without a mark is refused, where the controller has comments', () => {
    expect(told(AGAIN.slice(1))).toEqual([expect.stringMatching('no place is marked there')]);
    expect(told(AGAIN, [POINT, { line: 4, block: null, title: 'row 1' }])).toEqual([
      expect.stringMatching('^work/restart:4: .* no place is marked there'),
    ]);
  });
  it('a line beyond the program is refused', () => {
    expect(told(AGAIN, [POINT, { line: 900, block: null, title: 'row 9' }])).toHaveLength(1);
  });
});
