import { describe, expect, test } from 'vitest';
import { solveStack } from '../stack/solve.ts';
import { INPUT } from '../testing/sample.ts';
import { type BillMachine, billOfMaterials } from './bill-of-materials.ts';

const result = solveStack(INPUT);
if (!result.feasible) throw new Error('the sample has a stack');
const { stack } = result;
const machine = (id: string, sites: number, set = 0): BillMachine => ({
  id,
  sites: Array.from({ length: sites }, (_, i) => ({ fixing: INPUT.fixing, stack, insertSet: i < set })),
  boards: [{ title: 'MDF 18 mm, 2440 × 1220', count: 1 }],
});

describe('bill of materials', () => {
  test('one machine of 12 sites, 10 % spare: 2 more of 12 small parts, none of boards', () => {
    const lines = billOfMaterials([machine('heron', 12)], 0.1);
    expect(lines.map((l) => [l.item, l.needed, l.spare, l.buy])).toEqual([
      ['insert', 12, 2, 14],
      // 12 sites × the site's volume, in whole millilitres
      [
        'adhesive',
        Number(((12 * stack.adhesiveVolume) / 1000).toFixed(3)),
        0,
        Math.ceil((12 * stack.adhesiveVolume) / 1000),
      ],
      ['screw', 12, 2, 14],
      ['washer', 12, 2, 14],
      ['board', 1, 0, 1],
    ]);
    expect(lines[2]?.description).toBe('screw M6 × 16 mm, iso4017-hex, pa66');
  });
  test('inserts already set are not bought again', () => {
    const lines = billOfMaterials([machine('heron', 12, 12)], 0.1);
    expect(lines.map((l) => l.item)).toEqual(['screw', 'washer', 'board']);
  });
  test('a fleet shares its spares', () => {
    const screws = (machines: BillMachine[]): number =>
      billOfMaterials(machines, 0.1).find((l) => l.item === 'screw')!.spare;
    expect(screws([machine('heron', 11)]) + screws([machine('egret', 11)])).toBe(4);
    expect(screws([machine('heron', 11), machine('egret', 11)])).toBe(3);
    expect(billOfMaterials([machine('heron', 1), machine('egret', 1)], 0)[0]?.machines).toEqual([
      'heron',
      'egret',
    ]);
  });
  test('nothing needed, nothing asked; a share below 0 is refused', () => {
    expect(billOfMaterials([], 0.1)).toEqual([]);
    expect(billOfMaterials([machine('heron', 3)], 0).every((l) => l.spare === 0)).toBe(true);
    expect(() => billOfMaterials([], -0.1)).toThrow(RangeError);
  });
});
