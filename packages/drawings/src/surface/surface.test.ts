import { planMachine } from '@bedledger/bedwork';
import { regionArea } from '@bedledger/geometry';
import { describe, expect, it } from 'vitest';
import { demoRecord, withMachine } from '../../../../test/support/demo-records.ts';
import { readDrawing } from '../testing/drawing-facts.ts';
import { findAll } from '../testing/strict-xml.ts';
import { skimOf } from './skim.ts';
import { surfaceDrawing } from './surface-drawing.ts';

describe.each(['avocet', 'plover'])('%s', (id) => {
  const plan = planMachine(demoRecord(id));
  const skim = skimOf(plan)!;

  it('the whole board is reached, and the picture says so', () => {
    // The plan's own proof of coverage, made another way from the same path.
    expect(plan.findings.some((f) => f.code === 'surfacing/strip')).toBe(false);
    expect(skim.left).toEqual([]);
    const facts = readDrawing(surfaceDrawing(plan) as string);
    expect(facts.texts.some((t) => t.startsWith('the whole of the board is reached'))).toBe(true);
    expect(facts.texts).toContain('start');
  });

  it('the lowest height is the one that the account names', () => {
    const target = plan.accounts.surfacing.find((l) => l.label === 'Target');
    expect(target?.value).toBe(`${skim.lowest.toFixed(2)} mm`);
  });

  it('every shape is inside the frame', () => {
    const facts = readDrawing(surfaceDrawing(plan) as string);
    for (const [x, y] of facts.points) {
      expect(x).toBeGreaterThan(7.5);
      expect(x).toBeLessThan(facts.width - 7.5);
      expect(y).toBeGreaterThan(7.5);
      expect(y).toBeLessThan(facts.height - 7.5);
    }
  });
});

describe('a strip that the travel does not reach', () => {
  it('is hatched, and its width is travel and cutter against the edge', () => {
    const avocet = demoRecord('avocet');
    const { machine } = avocet;
    // The front of the travel ends 60 mm behind the board's front edge.
    const front = machine.board.at[1] + 60;
    const plan = planMachine(
      withMachine(avocet, { travel: { ...machine.travel, y: [front, machine.travel.y[1]] } }),
    );
    const skim = skimOf(plan);
    expect(skim).not.toBeNull();
    // Derived: the rim reaches one radius beyond the middle.
    const width = 60 - skim!.diameter / 2;
    const area = regionArea(skim!.left);
    expect(area).toBeGreaterThan(width * machine.board.size[0] * 0.99);
    expect(area).toBeLessThan(width * machine.board.size[0] * 1.05);
    const facts = readDrawing(surfaceDrawing(plan) as string);
    expect(findAll(facts.root, (e) => e.attributes['data-left'] !== undefined)).toHaveLength(1);
    const said = facts.texts.find((t) => t.startsWith('not surfaced: '));
    expect(Number(/[\d.]+/.exec(said ?? '')?.[0])).toBeCloseTo(width, 1);
  });
});

it('no program, no picture', () => {
  expect(surfaceDrawing(planMachine(demoRecord('egret')))).toBeNull();
});
