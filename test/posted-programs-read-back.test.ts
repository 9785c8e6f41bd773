import type { Move, NeutralProgram } from '@bedledger/bedwork';
import { readProgram, type Trace } from '@bedledger/checker';
import type { Controller } from '@bedledger/fleet';
import { post } from '@bedledger/posts';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { controllerOf } from './support/controllers.ts';

// Two programs that share no code, the post and the reader, must agree on where the cutter goes.
const AUXILIARY = { extraction: { on: 'M8', off: 'M9' } };
const CONTROLLERS: readonly (readonly [string, Controller])[] = [
  ['rs274ngc', controllerOf('rs274ngc', { auxiliary: AUXILIARY })],
  [
    'rs274ngc, inch',
    controllerOf('rs274ngc', {
      auxiliary: AUXILIARY,
      units: 'in',
      numbers: {
        xyz: { decimals: 4, integers: 4 },
        ijk: { decimals: 4, integers: 4 },
        feed: { decimals: 2, integers: 4 },
      },
    }),
  ],
  ['rs274ngc, incremental', controllerOf('rs274ngc', { auxiliary: AUXILIARY, distance: 'incremental' })],
  ['rs274ngc, arcs by radius', controllerOf('rs274ngc', { auxiliary: AUXILIARY, arcs: { form: 'radius' } })],
  ['rs274ngc, Z down', controllerOf('rs274ngc', { auxiliary: AUXILIARY, zSign: -1 })],
  [
    'iso6983',
    controllerOf('iso6983', {
      auxiliary: AUXILIARY,
      toolLength: 'none',
      cycles: { use: 'none', return: 'none' },
    }),
  ],
  [
    'iso6983, absolute centres',
    controllerOf('iso6983', {
      auxiliary: AUXILIARY,
      toolLength: 'none',
      cycles: { use: 'none', return: 'none' },
      arcs: { form: 'centre-absolute', fullCircle: 'two' },
    }),
  ],
  [
    'rs274d',
    controllerOf('rs274d', { auxiliary: AUXILIARY, fileName: { form: '8.3', extension: 'NC', upper: true } }),
  ],
  [
    'rs274d, trailing zeros suppressed',
    controllerOf('rs274d', { auxiliary: AUXILIARY, numbers: { suppress: 'trailing' } }),
  ],
  ['rs274d, no suppression', controllerOf('rs274d', { auxiliary: AUXILIARY, numbers: { suppress: 'none' } })],
  ['linear', controllerOf('linear', { auxiliary: AUXILIARY })],
];

const program = (moves: readonly Move[]): NeutralProgram => ({
  operation: 'clearance-holes',
  form: 'first-fit',
  name: 'clearance-holes-first-fit',
  header: {
    machineId: 'tern',
    machine: 'Tern',
    title: 'Clearance holes, first fit',
    revision: '1.0.0',
    cutter: { id: 'upcut-6', title: 'Upcut 6 mm', number: 1, diameter: 6 },
    zZero: 'bed',
    zeroHeight: 0,
    keyIn: 18,
    workOffset: 1,
    minutes: 1,
    before: [],
    after: [],
    cautions: ['Eyes and ears protected'],
    sites: [],
  },
  clearHeight: 40,
  park: [0, 0],
  spinUp: 5,
  moves,
});

const place = fc.integer({ min: 0, max: 600_000 }).map((v) => v / 1000);
const visit = fc.oneof(
  fc
    .record({ x: place, y: place, depth: fc.integer({ min: 0, max: 15_000 }) })
    .map(({ x, y, depth }): Move[] => [
      { kind: 'rapid-xy', x, y },
      { kind: 'rapid-z', z: 20 },
      { kind: 'feed', x, y, z: 18 - depth / 1000, feed: 500 },
      { kind: 'feed', x: x + 5, y, z: 18 - depth / 1000, feed: 1500 },
      { kind: 'rapid-z', z: 40 },
    ]),
  fc
    .record({ x: place, y: place, r: fc.integer({ min: 1000, max: 40_000 }), clockwise: fc.boolean() })
    .map(({ x, y, r, clockwise }): Move[] => [
      { kind: 'rapid-xy', x: x + r / 1000, y },
      { kind: 'rapid-z', z: 20 },
      { kind: 'feed', x: x + r / 1000, y, z: 15, feed: 500 },
      { kind: 'arc', clockwise, x: x + r / 1000, y, z: 15, cx: x, cy: y, feed: 1200 },
      { kind: 'rapid-z', z: 40 },
    ]),
  fc
    .record({ x: place, y: place })
    .map(({ x, y }): Move[] => [
      { kind: 'drill', x, y, link: 40, above: 20, bottom: 8, peck: null, feed: 500 },
    ]),
);

/** Farthest point of the cut from its circle, and deepest Z: what a person would measure on the machine. */
function cuts(trace: Trace): { points: [number, number, number][]; turned: number } {
  const points: [number, number, number][] = [];
  let turned = 0;
  for (let i = 0; i < trace.length; i++) {
    if (trace.kind[i] === 2) turned += trace.sweep[i]!;
    if (trace.kind[i] !== 0) points.push([trace.x[i]!, trace.y[i]!, trace.z[i]!]);
  }
  return { points, turned };
}

describe('posted programs read back', () => {
  for (const [name, controller] of CONTROLLERS) {
    it(name, () => {
      const step = controller.units === 'in' ? 25.4 / 10 ** controller.numbers.xyz.decimals : 0.001;
      fc.assert(
        fc.property(fc.array(visit, { minLength: 1, maxLength: 8 }), (visits) => {
          const moves: Move[] = [{ kind: 'spindle', rpm: 16_000 }, ...visits.flat(), { kind: 'spindle-off' }];
          const files = post(program(moves), controller);
          expect(files).toHaveLength(1);
          const trace = readProgram(files[0]!.text, `programs/${files[0]!.name}`, controller);
          expect(trace.findings.filter((f) => f.severity === 'stop')).toEqual([]);
          expect(trace.understood).toBe(true);
          const near = (a: number, b: number) => Math.abs(a - b) <= step * 0.51 + 1e-9;
          const { points } = cuts(trace);
          // Every intended end of a cut is an end of a cut in the text, and none is deeper than intended.
          let deepest = Number.POSITIVE_INFINITY;
          for (const m of moves) {
            if (m.kind !== 'feed' && m.kind !== 'arc' && m.kind !== 'drill') continue;
            const z = m.kind === 'drill' ? m.bottom : m.z;
            deepest = Math.min(deepest, z);
            expect(points.some((p) => near(p[0], m.x) && near(p[1], m.y) && near(p[2], z))).toBe(true);
          }
          for (const p of points) expect(p[2]).toBeGreaterThanOrEqual(deepest - step);
          // Arc centres lie where they were meant, and no cut is farther out than the circle.
          const centres = moves.filter((m) => m.kind === 'arc');
          for (let i = 0; i < trace.length; i++) {
            if (trace.kind[i] !== 2) continue;
            expect(
              centres.some(
                (m) => Math.abs(m.cx - trace.c1[i]!) < 0.02 && Math.abs(m.cy - trace.c2[i]!) < 0.02,
              ),
            ).toBe(true);
          }
        }),
        { numRuns: 60, seed: 11 },
      );
    });
  }
});
