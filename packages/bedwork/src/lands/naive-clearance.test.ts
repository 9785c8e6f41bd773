import { solveStack } from '@bedledger/fasteners';
import type { MachineRecord, Zone } from '@bedledger/fleet';
import { containsPoint, type Point, seededRandom } from '@bedledger/geometry';
import { describe, expect, test } from 'vitest';
import { bare, demoRecord, demoRecords } from '../../../../test/support/demo-records.ts';
import { holdOf } from '../base/hold.ts';
import { stackInput } from '../base/stack-input.ts';
import { planLayout } from '../layout/plan-layout.ts';
import { fitBed } from '../survey/bed-fit.ts';
import { computeLands } from './lands.ts';

/** Distance from a point to a rectangle; 0 inside. */
function toRect(p: Point, x0: number, y0: number, x1: number, y1: number): number {
  const dx = Math.max(x0 - p[0], 0, p[0] - x1);
  const dy = Math.max(y0 - p[1], 0, p[1] - y1);
  return Math.sqrt(dx * dx + dy * dy);
}

function between(p: Point, q: Point): number {
  return Math.sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]));
}

/** Grooves of a rectangular zone, from the rule alone: as many lines as fit, centred, each ending at the outermost wall. */
function toGrooves(p: Point, zone: Zone): number {
  if (zone.grooves.kind !== 'grid' || zone.shape.kind !== 'rect') return Number.POSITIVE_INFINITY;
  const g = zone.grooves;
  const [ax, ay] = zone.shape.at;
  const [w, h] = zone.shape.size;
  const nx = Math.max(1, Math.floor(w / g.pitch[0] + 1e-9));
  const ny = Math.max(1, Math.floor(h / g.pitch[1] + 1e-9));
  const x0 = ax + (g.offset ? g.offset[0] : (w - g.pitch[0] * (nx - 1)) / 2);
  const y0 = ay + (g.offset ? g.offset[1] : (h - g.pitch[1] * (ny - 1)) / 2);
  const x1 = x0 + g.pitch[0] * (nx - 1);
  const y1 = y0 + g.pitch[1] * (ny - 1);
  const half = g.width / 2;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < nx; i++) {
    const x = x0 + i * g.pitch[0];
    least = Math.min(least, toRect(p, x - half, y0 - half, x + half, y1 + half));
  }
  for (let j = 0; j < ny; j++) {
    const y = y0 + j * g.pitch[1];
    least = Math.min(least, toRect(p, x0 - half, y - half, x1 + half, y + half));
  }
  return least;
}

/** Everything a site needs, told from the profile with school geometry: negative where something is too near. */
function naiveSpare(
  record: MachineRecord,
  p: Point,
  needs: { bed: number; overhang: number; boardEdge: number; boardCorner: number },
): number {
  const { machine } = record;
  const { outline } = machine.bed;
  if (outline.kind !== 'rect') throw new Error('only for beds with a rectangular outline');
  let spare =
    Math.min(
      p[0] - outline.at[0],
      p[1] - outline.at[1],
      outline.at[0] + outline.size[0] - p[0],
      outline.at[1] + outline.size[1] - p[1],
    ) - needs.bed;
  for (const zone of machine.bed.zones) {
    spare = Math.min(spare, toGrooves(p, zone) - needs.bed);
    for (const port of zone.ports)
      spare = Math.min(spare, between(p, port.at) - port.diameter / 2 - needs.bed);
    if (zone.gasket && zone.shape.kind === 'rect' && !zone.gasket.path) {
      const k = zone.gasket.inset;
      const half = zone.gasket.width / 2;
      const [ax, ay] = zone.shape.at;
      const [w, h] = zone.shape.size;
      // Four sides of the channel's frame, sharp outer corners: never farther than the real one.
      for (const [x0, y0, x1, y1] of [
        [ax + k, ay + k, ax + w - k, ay + k],
        [ax + k, ay + h - k, ax + w - k, ay + h - k],
        [ax + k, ay + k, ax + k, ay + h - k],
        [ax + w - k, ay + k, ax + w - k, ay + h - k],
      ] as const) {
        spare = Math.min(spare, toRect(p, x0 - half, y0 - half, x1 + half, y1 + half) - needs.bed);
      }
    }
  }
  for (const keep of machine.bed.keepOuts) {
    if (keep.shape.kind === 'circle')
      spare = Math.min(spare, between(p, keep.shape.at) - keep.shape.diameter / 2 - needs.bed);
    if (keep.shape.kind === 'rect') {
      const [x, y] = keep.shape.at;
      spare = Math.min(spare, toRect(p, x, y, x + keep.shape.size[0], y + keep.shape.size[1]) - needs.bed);
    }
  }
  for (const hole of machine.bed.holes)
    spare = Math.min(spare, between(p, hole.at) - hole.diameter / 2 - needs.bed);
  const { at, size } = machine.board;
  const [x1, y1] = [at[0] + size[0], at[1] + size[1]];
  spare = Math.min(
    spare,
    p[0] - at[0] - needs.boardEdge,
    p[1] - at[1] - needs.boardEdge,
    x1 - p[0] - needs.boardEdge,
    y1 - p[1] - needs.boardEdge,
  );
  for (const c of [at, [x1, at[1]], [at[0], y1], [x1, y1]] as Point[])
    spare = Math.min(spare, between(p, c) - needs.boardCorner);
  const { x, y } = machine.travel;
  spare = Math.min(
    spare,
    p[0] - x[0] - needs.overhang,
    x[1] - p[0] - needs.overhang,
    p[1] - y[0] - needs.overhang,
    y[1] - p[1] - needs.overhang,
  );
  return spare;
}

const plain = (id: string): MachineRecord => ({ ...bare(demoRecord(id)), survey: null });

describe('lands against school geometry', () => {
  for (const id of ['heron', 'egret', 'curlew', 'avocet']) {
    test(`${id}: exactly the points with every clearance are lands`, () => {
      const record = plain(id);
      const lands = computeLands(record, fitBed(record));
      const u = lands.uncertainty;
      const needs = {
        bed: lands.needs.bed + u,
        overhang: lands.needs.overhang,
        boardEdge: lands.needs.boardEdge + u,
        boardCorner: lands.needs.boardCorner + u,
      };
      const random = seededRandom(17);
      const { at, size } = record.machine.board;
      let inside = 0;
      for (let k = 0; k < 4000; k++) {
        const p: Point = [at[0] + random() * size[0], at[1] + random() * size[1]];
        const spare = naiveSpare(record, p, needs);
        // Within 0.02 mm of the limit the safe side of every rounding decides.
        if (Math.abs(spare) < 0.02) continue;
        const land = containsPoint(lands.actual, p);
        if (land) inside++;
        if (land !== spare > 0) expect({ p, spare, land }).toEqual({ p, spare, land: spare > 0 });
      }
      expect(inside).toBeGreaterThan(100);
    });
  }

  test('what a site needs, by hand: M6 in a 9.52 mm bush', () => {
    // derived: bore (9.52 + 0.02 + 0.4)/2 = 4.97; wall 1 × 9.52; margin 1 → 15.49 mm
    const record = plain('heron');
    const { needs, uncertainty } = computeLands(record, fitBed(record));
    expect(needs.bed).toBeCloseTo(15.49, 6);
    // The spindle circles the widest pocket with what the pocket's cutter leaves on either side.
    const { sites } = planLayout(record);
    const hold = holdOf(record, sites);
    const stacks = sites.map((s) => {
      const place = { uncertainty, reach: hold.reachFrom(s.actual), held: false };
      const solved = solveStack(stackInput(record, place, record.planned));
      if (!solved.feasible) throw new Error(`no stack at ${s.id}`);
      return solved.stack.pocketDiameter;
    });
    const cutter = record.cutters.get(record.machine.cutters.pocket)?.diameter ?? 0;
    expect(needs.overhang).toBeGreaterThanOrEqual(Math.max(...stacks) / 2 - cutter / 2);
    expect(needs.overhang).toBeLessThan(Math.max(...stacks) / 2 - cutter / 2 + 0.5);
    expect(needs.overhangBy).toBe('socket-pockets');
    // Australian industry guide to particleboard and MDF: 12 mm from the edge, 25 mm from a corner
    expect(needs.boardEdge).toBeGreaterThanOrEqual(12);
    expect(needs.boardCorner).toBe(25);
  });
});

describe('sites against school geometry', () => {
  for (const pattern of ['aligned', 'fewest'] as const) {
    for (const id of ['heron', 'egret', 'curlew', 'avocet']) {
      test(`${id}, ${pattern}: every site has every clearance`, () => {
        const base = plain(id);
        const { fixing } = base.machine;
        const record = {
          ...base,
          machine: { ...base.machine, fixing: { ...fixing, layout: { ...fixing.layout, pattern } } },
        };
        const layout = planLayout(record);
        expect(layout.findings.filter((f) => f.severity === 'stop')).toEqual([]);
        expect(layout.sites.length).toBeGreaterThan(8);
        for (const s of layout.sites) {
          const needs = {
            bed: layout.needs.bed + s.uncertainty,
            overhang: layout.needs.overhang,
            boardEdge: layout.needs.boardEdge + s.uncertainty,
            boardCorner: layout.needs.boardCorner + s.uncertainty,
          };
          expect(naiveSpare(record, s.actual, needs)).toBeGreaterThanOrEqual(0);
          for (const c of s.clearances) expect(c.distance).toBeGreaterThanOrEqual(c.needed);
        }
      });
    }
  }

  test('a surveyed bed: every clearance that a site reports holds with its uncertainty', () => {
    for (const record of demoRecords().filter((r) => r.survey !== null)) {
      for (const s of planLayout(bare(record)).sites) {
        expect(s.uncertainty).toBeGreaterThan(0);
        for (const c of s.clearances) expect(c.distance).toBeGreaterThanOrEqual(c.needed);
      }
    }
  });
});
