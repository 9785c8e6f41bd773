import type { MachineRecord } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { expect, test } from 'vitest';
import { bare, demoRecord } from '../../../../test/support/demo-records.ts';
import { planLayout } from './plan-layout.ts';

/** The demo bed found turned by `turn` radians about its datum mark. */
function turned(turn: number): MachineRecord {
  const base = bare(demoRecord('heron'));
  const spots: Point[] = [
    [60, 60],
    [1180, 60],
    [60, 2400],
    [1180, 2400],
  ];
  return {
    ...base,
    survey: {
      file: 'survey.csv',
      features: spots.map((p, i) => ({
        id: `m${i}`,
        nominal: p,
        measured: [p[0] - turn * p[1], p[1] + turn * p[0]],
      })),
    },
  };
}

test('a bed that is turned does not turn the board: every distance to its edge is that of the board as laid', () => {
  for (const turn of [-0.006, 0.002, 0.006]) {
    const record = turned(turn);
    const { at, size } = record.machine.board;
    const layout = planLayout(record);
    expect(layout.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    for (const s of layout.sites) {
      const [x, y] = s.actual;
      const edge = Math.min(x - at[0], y - at[1], at[0] + size[0] - x, at[1] + size[1] - y);
      const told = s.clearances.find((c) => c.name === 'edge of the board');
      expect(told?.distance).toBeCloseTo(edge, 6);
      expect(edge).toBeGreaterThanOrEqual(layout.needs.boardEdge + s.uncertainty);
    }
    // derived: a turn of t runs t · 1240 mm over the width and −t · 2460 mm over the depth
    expect(layout.boardLie.runOut.overWidth).toBeCloseTo(turn * 1240, 1);
    expect(layout.boardLie.runOut.overDepth).toBeCloseTo(-turn * 2460, 1);
    expect(layout.boardLie.text).toContain('not along the grooves');
  }
});

test('a square bed asks for nothing but the marks', () => {
  expect(planLayout(turned(0)).boardLie.text).toBe(
    'its front edge along the line from the datum mark to the second mark at X1200 Y0',
  );
});
