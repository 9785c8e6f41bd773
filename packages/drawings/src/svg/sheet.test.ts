import { describe, expect, it } from 'vitest';
import { fitScale, sheetSizes } from './sheet.ts';

describe('sheets and scales', () => {
  // ISO 5455: 1:2, 1:5 and 1:10 with their powers of ten for reduction; 2:1, 5:1, 10:1 for enlargement.
  it('picks the largest standard scale that fits', () => {
    expect(fitScale(1250, 2470, 180, 300).text).toBe('1:10');
    expect(fitScale(1250, 2470, 125, 247).text).toBe('1:10');
    expect(fitScale(1250, 2470, 124.9, 247).text).toBe('1:20');
    expect(fitScale(60, 45, 150, 120).text).toBe('2:1');
    expect(fitScale(600, 900, 150, 300).text).toBe('1:5');
    expect(fitScale(1e6, 10, 100, 100).ratio).toBeLessThanOrEqual(1e-4);
  });

  // ISO 216: A3 and A4; ASME Y14.1: 8.5 × 11 in and 11 × 17 in.
  it('knows the paper of both worlds', () => {
    expect(sheetSizes('mm').map((s) => [s.width, s.height])).toEqual([
      [210, 297],
      [297, 210],
      [297, 420],
      [420, 297],
    ]);
    expect(sheetSizes('in').map((s) => [s.width, s.height].map((v) => v / 25.4))).toEqual([
      [8.5, 11],
      [11, 8.5],
      [11, 17],
      [17, 11],
    ]);
  });
});
