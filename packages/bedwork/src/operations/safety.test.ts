import type { Cutter, Fact, Machine, MachineRecord } from '@bedledger/fleet';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { NeutralProgram } from '../motion/program.ts';
import { planMachine } from '../plan/plan-machine.ts';
import { board, bores, inserts, screws } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { CUTTERS, machineOf, recordOf } from '../testing/records.ts';

type P3 = readonly [number, number, number];

/** Thousands of moves are judged: a plain check, and one error that says what was broken. */
function must(holds: unknown, what = 'a limit is passed'): void {
  if (!holds) throw new Error(what);
}

/**
 * Walks a program move by move, with nothing of the generator's: straight pieces of everything that feeds, every rapid,
 * every restart point. Independent reading of what the moves mean.
 */
function walk(
  program: NeutralProgram,
  visit: {
    readonly rapid: (from: P3, to: P3) => void;
    readonly feed: (from: P3, to: P3, feed: number, vertical: number) => void;
    readonly restart: (at: P3, following: readonly string[]) => void;
  },
): P3 {
  let at: P3 = [program.park[0], program.park[1], program.clearHeight];
  let turning = false;
  program.moves.forEach((move, index) => {
    const to = (x: number, y: number, z: number): P3 => [x, y, z];
    switch (move.kind) {
      case 'rapid-xy': {
        const next = to(move.x, move.y, at[2]);
        visit.rapid(at, next);
        at = next;
        break;
      }
      case 'rapid-z': {
        const next = to(at[0], at[1], move.z);
        visit.rapid(at, next);
        at = next;
        break;
      }
      case 'feed': {
        must(turning, 'a cut with the spindle off');
        const next = to(move.x, move.y, move.z);
        const d = [next[0] - at[0], next[1] - at[1], next[2] - at[2]] as const;
        const length = Math.hypot(...d);
        must(length > 0);
        visit.feed(at, next, move.feed, (move.feed * Math.abs(d[2])) / length);
        at = next;
        break;
      }
      case 'arc': {
        must(turning, 'a cut with the spindle off');
        const r0 = Math.hypot(at[0] - move.cx, at[1] - move.cy);
        const r1 = Math.hypot(move.x - move.cx, move.y - move.cy);
        must(Math.abs(r0 - r1) < 2e-3);
        must(r0 > 1e-3);
        let a0 = Math.atan2(at[1] - move.cy, at[0] - move.cx);
        let a1 = Math.atan2(move.y - move.cy, move.x - move.cx);
        if (move.clockwise) while (a1 >= a0 - 1e-12) a1 -= 2 * Math.PI;
        else while (a1 <= a0 + 1e-12) a1 += 2 * Math.PI;
        const n = 48;
        const turn = a1 - a0;
        const flat = Math.abs(turn) * r0;
        const vertical = (move.feed * Math.abs(move.z - at[2])) / Math.hypot(flat, move.z - at[2]);
        for (let k = 1; k <= n; k += 1) {
          a0 += turn / n;
          const next: P3 =
            k === n
              ? [move.x, move.y, move.z]
              : [
                  move.cx + r0 * Math.cos(a0),
                  move.cy + r0 * Math.sin(a0),
                  at[2] + (move.z - at[2]) / (n - k + 1),
                ];
          visit.feed(at, next, move.feed, vertical);
          at = next;
        }
        break;
      }
      case 'drill': {
        must(turning, 'a cut with the spindle off');
        for (const next of [
          to(at[0], at[1], move.link),
          to(move.x, move.y, move.link),
          to(move.x, move.y, move.above),
        ]) {
          visit.rapid(at, next);
          at = next;
        }
        visit.feed(at, [move.x, move.y, move.bottom], move.feed, move.feed);
        at = [move.x, move.y, move.link];
        break;
      }
      case 'spindle':
        must(move.rpm > 0);
        turning = true;
        break;
      case 'spindle-off':
        turning = false;
        break;
      case 'section':
        if (move.restart)
          visit.restart(
            at,
            program.moves.slice(index + 1, index + 6).map((m) => m.kind),
          );
        break;
      default:
        break;
    }
  });
  return at;
}

interface Scene {
  readonly record: MachineRecord;
  readonly bored: ReadonlySet<string>;
}

/** Every invariant of motion that has to hold whatever the machine. */
function judge(program: NeutralProgram, { record, bored }: Scene, webs: ReadonlyMap<string, number>): void {
  const { machine, house, state } = record;
  const { cutter: used, form } = { cutter: program.header.cutter, form: program.form };
  const cutter: Cutter | null = used ? record.cutters.get(used.id)! : null;
  const onBoard =
    !['bed-mark', 'datum-mark', 'survey-visit'].includes(program.operation) && state.board !== null;
  const boardTop = state.board ? Math.max(state.board.thickness, state.board.thinnest) : 0;
  const standing = Math.max(
    onBoard ? boardTop : 0,
    ...machine.bed.keepOuts.map((k) => k.height ?? 0),
    ...(onBoard ? machine.clamps.map((c) => c.height) : []),
  );
  const [bx, by] = machine.board.at;
  const [bw, bh] = machine.board.size;
  const gapToBoard = (x: number, y: number): number =>
    Math.hypot(Math.max(bx - x, 0, x - bx - bw), Math.max(by - y, 0, y - by - bh));
  const inside = (p: P3): void => {
    must(p[0] >= machine.travel.x[0] - 1e-3);
    must(p[0] <= machine.travel.x[1] + 1e-3);
    must(p[1] >= machine.travel.y[0] - 1e-3);
    must(p[1] <= machine.travel.y[1] + 1e-3);
    must(p[2] >= machine.travel.z[0] - 1e-9);
    must(p[2] <= machine.travel.z[1] + 1e-9);
  };
  let first = true;
  const ramp = Math.tan(house.feed.rampAngle) + 1e-3;
  const last = walk(program, {
    rapid: (from, to) => {
      // The place before the first move is not known; after it every rapid is judged.
      if (!first) inside(from);
      first = false;
      inside(to);
      const across = from[0] !== to[0] || from[1] !== to[1];
      if (across) {
        must(from[2] >= program.clearHeight, 'a rapid across below the clear height');
        must(from[2] > standing);
        expect(to[2]).toBe(from[2]);
      } else if (to[2] < from[2]) {
        must(to[2] > (onBoard ? boardTop : 0), 'a rapid down into the board');
      }
    },
    feed: (from, to, feed, vertical) => {
      inside(to);
      must(feed <= machine.motion.maxFeed.xy + 1e-9);
      must(vertical <= machine.motion.maxFeed.z + 1);
      const z = Math.min(from[2], to[2]);
      switch (program.operation) {
        case 'bed-mark':
        case 'datum-mark':
          must(z >= house.zZeroError + house.bedUnevenness - machine.bed.cutLimit - 1e-9);
          break;
        case 'clearance-holes':
          if (form === 'refit') must(z >= house.stack.refitSkin - 1e-9);
          else if (z < 0) {
            must(z >= house.zZeroError + house.bedUnevenness - machine.bed.cutLimit - 1e-9);
            const near = [...state.sites].find(([, s]) => Math.hypot(s.at[0] - to[0], s.at[1] - to[1]) < 8);
            must(near && bored.has(near[0]), 'below the bed surface where nothing is bored');
          }
          break;
        case 'socket-pockets':
          must(z >= Math.min(...webs.values()) - 1e-3);
          break;
        case 'surface':
        case 'underside-skim':
          must(z >= machine.board.leastThickness - 1e-9);
          break;
        default:
          must(z >= 0);
      }
      // Only a cutter that can plunge goes down steeply where there is board.
      const drop = from[2] - to[2];
      const run = Math.hypot(to[0] - from[0], to[1] - from[1]);
      if (cutter && !cutter.canPlunge && onBoard && drop > 1e-9 && to[2] < boardTop - 1e-9) {
        const clear = gapToBoard(to[0], to[1]) > cutter.diameter / 2;
        if (!clear) must(drop / run <= ramp, 'a plunge by a cutter that cannot');
      }
      // Nothing runs along at depth beside the board: at most the last stretch of an entry.
      if (cutter && onBoard && program.operation !== 'trim' && from[2] < boardTop && to[2] < boardTop) {
        const gap = Math.min(gapToBoard(from[0], from[1]), gapToBoard(to[0], to[1])) - cutter.diameter / 2;
        must(gap <= 1, 'at depth beside the board');
      }
    },
    restart: (at, following) => {
      expect(at[2]).toBe(program.clearHeight);
      expect(following[0]).toBe('spindle');
      expect(following.find((k) => k !== 'spindle' && k !== 'auxiliary')).toMatch(/rapid-xy|drill/);
    },
  });
  expect(last[2]).toBe(program.clearHeight);
}

const anyMachine = fc.record({
  size: fc.tuple(fc.integer({ min: 260, max: 700 }), fc.integer({ min: 260, max: 700 })),
  margin: fc.integer({ min: 0, max: 90 }),
  cutLimit: fc.double({ min: 0.2, max: 4, noNaN: true }),
  zZero: fc.constantFrom('bed' as const, 'board-top' as const),
  made: fc.constantFrom('by-hand' as const, 'cut' as const),
  clear: fc.integer({ min: 5, max: 60 }),
  style: fc.constantFrom('serpentine', 'one-way-climb', 'one-way-conventional', 'inward'),
  rows: fc.constantFrom('x' as const, 'y' as const),
  overrun: fc.integer({ min: 0, max: 20 }),
  perimeterPass: fc.boolean(),
  surfacePlunges: fc.boolean(),
  mark: fc.constantFrom('upcut-6', 'vee-90', 'drill-8'),
  drill: fc.constantFrom('upcut-6', 'drill-8', 'straight-8'),
  pocket: fc.constantFrom('upcut-6', 'straight-8'),
  clamp: fc.option(fc.integer({ min: 10, max: 50 }), { nil: null }),
  trim: fc.boolean(),
  stage: fc.constantFrom(
    'bare',
    'bare-board',
    'half-bored-board',
    'bored',
    'bored-board',
    'set',
    'set-board',
    'pocketed',
  ),
  helices: fc.boolean(),
  thickness: fc.double({ min: 15, max: 22, noNaN: true }),
});

test('no program of any machine, at any stage of its life, breaks a rule of motion', () => {
  const seen = new Map<string, number>();
  fc.assert(
    fc.property(anyMachine, (c) => {
      const base = machineOf({}, c.size);
      const machine: Machine = {
        ...base,
        travel: { x: [-c.margin, c.size[0] + c.margin], y: [-c.margin, c.size[1] + c.margin], z: [-12, 120] },
        bed: { ...base.bed, cutLimit: c.cutLimit },
        zZero: c.zZero,
        controller: { ...base.controller, arcs: { ...base.controller.arcs, helix: c.helices } },
        datum: { ...base.datum, made: c.made, second: [c.size[0] - 20, 0] },
        clearHeight: c.clear,
        park: [0, c.size[1]],
        board: { ...base.board, trim: c.trim },
        cutters: { ...base.cutters, mark: c.mark, drill: c.drill, pocket: c.pocket },
        surfacing: {
          ...base.surfacing,
          style: c.style as Machine['surfacing']['style'],
          rows: c.rows,
          overrun: c.overrun,
          perimeterPass: c.perimeterPass,
        },
        clamps:
          c.clamp === null
            ? []
            : [
                {
                  id: 'k',
                  shape: { kind: 'rect', at: [c.size[0] / 2, -60], size: [30, 40] },
                  height: c.clamp,
                },
              ],
      };
      const empty = recordOf(machine);
      const layout = gridLayout(empty, 2, 2);
      const facts: Fact[] = [];
      const all = bores(layout, '2026-01-02');
      if (c.stage === 'half-bored-board') facts.push(...all.slice(0, 2));
      else if (!c.stage.startsWith('bare')) facts.push(...all);
      if (['bare-board', 'half-bored-board', 'bored-board'].includes(c.stage))
        facts.push(board('2026-01-03', [c.thickness, c.thickness - 0.2]));
      if (c.stage.startsWith('set') || c.stage === 'pocketed') facts.push(...inserts(layout, '2026-01-04'));
      if (c.stage === 'set-board') facts.push(board('2026-01-05', [c.thickness, c.thickness + 0.1]));
      if (c.stage === 'pocketed') facts.push(board('2026-01-05', [c.thickness], true), screws('2026-01-05'));
      const flattener = CUTTERS.get('flattener-63')!;
      const record: MachineRecord = {
        ...recordOf(machine, facts),
        cutters: new Map([...CUTTERS, ['flattener-63', { ...flattener, canPlunge: c.surfacePlunges }]]),
      };
      const plan = planMachine(record, { layout: gridLayout(record, 2, 2) });
      expect(plan.findings.filter((f) => f.code === 'operations/impossible')).toEqual([]);
      const webs = new Map([...plan.stacks].map(([id, stack]) => [id, stack.web]));
      const bored = new Set([...record.state.sites].filter(([, s]) => s.state === 'bored').map(([id]) => id));
      for (const program of plan.programs) {
        seen.set(program.name, (seen.get(program.name) ?? 0) + 1);
        judge(program, { record, bored }, webs);
      }
    }),
    { numRuns: 500, seed: 41 },
  );
  // The sweep is only worth something when every kind of program was among them.
  for (const name of [
    'datum-mark',
    'air-pass',
    'bed-mark',
    'socket-pockets',
    'clearance-holes-first-fit',
    'clearance-holes-refit',
    'surface',
    'trim',
  ]) {
    expect(seen.get(name) ?? 0, name).toBeGreaterThan(5);
  }
});
