import { describe, expect, it } from 'vitest';
import { caseOf, recordOf, START } from '../testing/case-of.ts';
import { checkPlaces } from './places.ts';
import { checkRapids } from './rapids.ts';
import { checkBesideBed, checkSolids } from './travel.ts';

/** A post of 100 mm in the middle of the bed, and a rapid that passes it on a diagonal far away. */
const CLAMP = { id: 'post', shape: { kind: 'circle', at: [500, 100], diameter: 40 }, height: 100 } as const;

const PASS = `${START}G0 Z60\nX50 Y50\nX580 Y480\nM2\n`;

describe('rapids of controllers that move each axis for itself', () => {
  const record = (path: 'straight' | 'per-axis' | 'unknown') =>
    recordOf('gannet', { clamps: [CLAMP], controller: { rapids: { path } } });

  it.each(['per-axis', 'unknown'] as const)('%s: may meet a clamp beside the straight line', (path) => {
    expect(checkSolids(caseOf(record(path), PASS)).map((f) => f.facts?.solid)).toEqual(['clamp post']);
  });

  it('straight: pass it', () => {
    expect(checkSolids(caseOf(record('straight'), PASS))).toEqual([]);
  });

  it('along one axis they are straight everywhere', () => {
    const text = `${START}G0 Z60\nX50 Y300\nX580\nY480\nM2\n`;
    expect(checkSolids(caseOf(record('unknown'), text))).toEqual([]);
  });

  it('of X and Z together are unsure over material, as of X and Y', () => {
    const text = `${START}G0 Z60\nX50 Y250\nX80 Z20\nX120 Z17.5\nM2\n`;
    const codes = checkRapids(caseOf(record('per-axis'), text)).map((f) => f.code);
    expect(codes).toContain('program/rapid-unsure');
  });
});

describe('the way from a place that is not known', () => {
  it('is above the highest clamp, not above the board', () => {
    const text = (z: number) => `${START}G0 Z${z}\nX50 Y50\nG0 Z${z}\nX300 Y600\nM2\n`;
    const codes = (z: number) =>
      checkPlaces(caseOf(recordOf('gannet', { clamps: [CLAMP] }), text(z))).map((f) => f.code);
    expect(codes(60)).toContain('program/unknown-place');
    expect(codes(101)).not.toContain('program/unknown-place');
  });
});

describe('beside the bed', () => {
  const text = (z: number) => `${START}G0 Z60\nX660 Y250\nZ${z}\nG0 Z60\nM2\n`;
  it('nothing goes below its surface', () => {
    expect(checkBesideBed(caseOf(recordOf('gannet'), text(-1))).map((f) => f.code)).toEqual([
      'program/beside-bed',
    ]);
    expect(checkBesideBed(caseOf(recordOf('gannet'), text(1)))).toEqual([]);
  });
});
