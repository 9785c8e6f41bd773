import type { BoardState, MachineRecord, PocketFigures } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { describe, expect, test } from 'vitest';
import { machineOf, recordOf } from '../testing/records.ts';
import { holdOf } from './hold.ts';

/** Three columns and four rows on a board of 600 × 900 whose middle is at 300, 450. */
const machine = machineOf({}, [600, 900]);
const sites = [50, 320, 790, 850].flatMap((y, row) =>
  [40, 290, 560].map((x, column) => ({ id: `${'ABCD'[row]}${column + 1}`, actual: [x, y] as Point })),
);
const [left, front] = machine.board.at;
const [width, depth] = machine.board.size;

function cut(pocket: PocketFigures, held: string | null = null): MachineRecord {
  const record = recordOf(machine);
  const board: BoardState = {
    fitted: '2026-01-01',
    stock: 'mdf-18',
    thickness: 18,
    thinnest: 18,
    thicknessWhenFitted: 18,
    skims: 0,
    pocketed: true,
    skimmedPocketed: false,
    built: { everywhere: { pocket }, sites: new Map() },
    held,
    history: [],
    ordinal: 1,
  };
  return { ...record, state: { ...record.state, board } };
}

describe('a board that is to be cut', () => {
  test('is held at the site nearest its middle, and reaches count from there', () => {
    const middle: Point = [left + width / 2, front + depth / 2];
    const far = (p: Point): number => Math.sqrt((p[0] - middle[0]) ** 2 + (p[1] - middle[1]) ** 2);
    const hold = holdOf(recordOf(machine), sites);
    expect(hold.site).toBe([...sites].sort((a, b) => far(a.actual) - far(b.actual))[0]!.id);
    expect(hold.site).toBe('B2');
    // 3-4-5: 30 to the left of B2 and 40 above it
    expect(hold.reachFrom([260, 360])).toBeCloseTo(50, 12);
  });

  test('two sites as near: the first by name, whichever is listed first', () => {
    const near: readonly { id: string; actual: Point }[] = [
      { id: 'B10', actual: [left + width / 2 + 40, front + depth / 2] },
      { id: 'B9', actual: [left + width / 2 - 40, front + depth / 2] },
    ];
    expect(holdOf(recordOf(machine), near).site).toBe('B9');
    expect(holdOf(recordOf(machine), near.toReversed()).site).toBe('B9');
  });

  test('is held where the profile says, if the board has that site', () => {
    const named = (held: string): MachineRecord =>
      recordOf({ ...machine, fixing: { ...machine.fixing, held } });
    expect(holdOf(named('A3'), sites).site).toBe('A3');
    expect(holdOf(named('Z9'), sites).site).toBe('B2');
  });
});

describe('a board that is cut keeps what it has', () => {
  const holes = Object.fromEntries(sites.map(({ id }, k) => [id, 7 + k / 10]));

  test('its facts name the site, whatever the profile says now', () => {
    const record = cut({ holes }, 'C3');
    const changed = { ...record, machine: { ...machine, fixing: { ...machine.fixing, held: 'B2' } } };
    expect(holdOf(changed, sites).site).toBe('C3');
  });

  test('without a word of it, the one narrowest hole holds it', () => {
    expect(holdOf(cut({ holes }), sites).site).toBe('A1');
    expect(holdOf(cut({ holes: { ...holes, D2: 6.6 } }), sites).site).toBe('D2');
  });

  test('holes alike, or not on record: held nowhere, so the farthest other site counts', () => {
    for (const record of [cut({ holeDiameter: 8 }), cut({}), cut({ holes: { A1: 6.6 } })]) {
      const hold = holdOf(record, sites);
      expect(hold.site).toBeNull();
      // A1 (40, 50) to D3 (560, 850): 520 across, 800 along
      expect(hold.reachFrom([40, 50])).toBeCloseTo(Math.sqrt(520 ** 2 + 800 ** 2), 9);
    }
  });
});
