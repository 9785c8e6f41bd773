import { describe, expect, it } from 'vitest';
import type { Fact } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import type { Survey } from '../model/record.ts';
import { inForce } from './datum.ts';

// Only the datum of a profile, and what lies on its bed, is asked for here.
const machine = {
  id: 'knot',
  datum: { mark: [0, 0], second: [1000, 0] },
  board: { at: [0, 0], size: [400, 200], patch: null },
  clamps: [{ id: 'front', shape: { kind: 'circle', at: [100, 0], diameter: 20 }, height: 30 }],
} as unknown as Machine;
const insert = (site: string, at: readonly [number, number]): Fact => ({
  fact: 'insert',
  date: '2026-01-02',
  site,
  at,
  insert: 'bush',
});

/** Closed form of the case: turned by θ with tan θ = 3/4 about the datum mark, then shifted. cos 4/5, sin 3/5. */
const turned = ([x, y]: readonly [number, number], tx = 10, ty = -5): [number, number] => [
  0.8 * x - 0.6 * y + tx,
  0.6 * x + 0.8 * y + ty,
];
const datum: Fact = { fact: 'datum', date: '2026-02-01', mark: turned([0, 0]), second: turned([1000, 0]) };
const at = (facts: readonly Fact[], i: number): readonly number[] =>
  (facts[i] as { at: readonly number[] }).at;

describe('a machine that was moved', () => {
  it('changes nothing while no datum was measured anew', () => {
    const ledger = { facts: [insert('A1', [100, 200])] };
    const same = inForce(ledger, null, machine, 0.5);
    expect(same).toMatchObject({ ledger, survey: null, diagnostics: [] });
    expect(same.machine).toBe(machine);
  });

  it('maps what was recorded before, and only that, by the rigid map of the two marks (derived)', () => {
    const { ledger, diagnostics } = inForce(
      { facts: [insert('A1', [100, 200]), datum, insert('A2', [300, 400])] },
      null,
      machine,
      0.5,
    );
    expect(diagnostics).toEqual([]);
    const [x, y] = turned([100, 200]);
    expect(at(ledger.facts, 0)[0]).toBeCloseTo(x, 9);
    expect(at(ledger.facts, 0)[1]).toBeCloseTo(y, 9);
    expect(at(ledger.facts, 2)).toEqual([300, 400]);
  });

  it('follows every move: there and back again is where it was', () => {
    const back: Fact = { fact: 'datum', date: '2026-03-01', mark: [0, 0], second: [1000, 0] };
    const { ledger } = inForce({ facts: [insert('A1', [100, 200]), datum, back] }, null, machine, 0.5);
    expect(at(ledger.facts, 0)[0]).toBeCloseTo(100, 9);
    expect(at(ledger.facts, 0)[1]).toBeCloseTo(200, 9);
  });

  it('moves an earlier survey along, and leaves a later one as it was read', () => {
    const survey: Survey = {
      file: 'survey.csv',
      features: [{ id: 'port', nominal: [500, 0], measured: [500.2, 0.1] }],
    };
    const dated: Fact = { fact: 'survey', date: '2026-01-01', file: 'survey.csv' };
    const early = inForce({ facts: [dated, datum] }, survey, machine, 0.5).survey?.features[0]?.measured;
    const [x, y] = turned([500.2, 0.1]);
    expect(early?.[0]).toBeCloseTo(x, 9);
    expect(early?.[1]).toBeCloseTo(y, 9);
    expect(inForce({ facts: [datum, dated] }, survey, machine, 0.5).survey?.features[0]?.measured).toEqual([
      500.2, 0.1,
    ]);
  });

  it('takes the marks, the board that is laid by them and what is clamped to the bed along (closed form)', () => {
    const { machine: moved } = inForce({ facts: [datum] }, null, machine, 0.5);
    expect(moved.datum).toMatchObject({ mark: turned([0, 0]), second: turned([1000, 0]) });
    expect(moved.datum.drawn).toMatchObject({ mark: [0, 0], second: [1000, 0] });
    // Corners (10, −5), (330, 235), (210, 395) and (−110, 155): the box around them, turned by atan(3/4).
    expect(moved.board).toMatchObject({ at: [-110, -5], size: [440, 400] });
    expect(moved.board.turn).toBeCloseTo(Math.atan(0.75), 9);
    expect(moved.clamps[0]?.shape).toEqual({ kind: 'circle', at: [90, 55], diameter: 20 });
    // Found a second time: from where the profile has them, not from where they were last.
    const again = inForce({ facts: [datum] }, null, moved, 0.5).machine;
    expect(again).toBe(moved);
  });

  it('takes along a height map that was read before, and leaves a later one', () => {
    const heights: Fact = { fact: 'heights', date: '2026-01-05', file: 'heights/a.csv' };
    const map = { file: 'machines/knot/heights/a.csv', points: [[100, 200, 17.5]] as const };
    const place = turned([100, 200]);
    expect(inForce({ facts: [heights, datum] }, null, machine, 0.5).heights(map).points).toEqual([
      [...place, 17.5],
    ]);
    expect(inForce({ facts: [datum, heights] }, null, machine, 0.5).heights(map)).toEqual(map);
  });

  it('without a survey the two marks are one', () => {
    expect(inForce({ facts: [datum] }, null, machine, 0.5).survey?.features).toEqual([
      { id: 'datum mark', nominal: [0, 0], measured: turned([0, 0]) },
      { id: 'second mark', nominal: [1000, 0], measured: turned([1000, 0]) },
    ]);
  });

  it('refuses marks that are not as far apart as they were: misread, exchanged units, another mark', () => {
    const wrong: Fact = { fact: 'datum', date: '2026-02-01', mark: [0, 0], second: [39.37, 0] };
    const { diagnostics, ledger } = inForce(
      { facts: [insert('A1', [100, 200]), wrong] },
      null,
      machine,
      0.5,
      (path) => ({ place: { file: path.join('.') } }),
    );
    expect(diagnostics.map((d) => [d.code, d.place?.file, d.facts?.entry])).toEqual([
      ['ledger/datum-distance', 'facts.1.second', 2],
    ]);
    expect(at(ledger.facts, 0)).toEqual([100, 200]);
    const same: Fact = { fact: 'datum', date: '2026-02-01', mark: [5, 5], second: [5, 5] };
    expect(inForce({ facts: [same] }, null, machine, 0.5).diagnostics).toHaveLength(1);
  });
});
