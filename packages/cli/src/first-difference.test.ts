import { describe, expect, it } from 'vitest';
import { firstDifference } from './first-difference.ts';

describe('the first difference of two texts', () => {
  it('is none for the same bytes', () => {
    expect(firstDifference('G0 X1\nM2\n', 'G0 X1\nM2\n')).toBeNull();
  });

  it('names line and column, and both lines whole', () => {
    expect(firstDifference('%\nG1 X12.300\nM2\n', '%\nG1 X12.400\nM2\n')).toEqual({
      line: 2,
      column: 8,
      committed: 'G1 X12.300',
      expected: 'G1 X12.400',
    });
  });

  it('sees a missing last line end, a missing tail and an added tail', () => {
    expect(firstDifference('M2', 'M2\n')).toMatchObject({
      line: 1,
      committed: 'M2<end of file, no line end>',
      expected: 'M2',
    });
    expect(firstDifference('A\n', 'A\nB\n')).toMatchObject({
      line: 2,
      column: 1,
      committed: null,
      expected: 'B',
    });
    expect(firstDifference('A\nB\n', 'A\n')).toMatchObject({ line: 2, committed: 'B', expected: null });
  });

  it('makes a line ending that was converted visible', () => {
    expect(firstDifference('A\r\nB\r\n', 'A\nB\n')).toMatchObject({
      line: 1,
      column: 2,
      committed: 'A<CR>',
      expected: 'A',
    });
  });
});
