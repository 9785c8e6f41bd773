import { fileURLToPath } from 'node:url';
import { type LayoutRules, loadFleet, type Machine, type MachineRecord, type Shape } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';

/** The repository's own fleet. */
export const FLEET_ROOT = fileURLToPath(new URL('../../', import.meta.url));

let cached: readonly MachineRecord[] | null = null;

/** Every machine of the demo fleet; loaded once. A bundle that does not know where it is names the root. */
export function demoRecords(root = FLEET_ROOT): readonly MachineRecord[] {
  if (cached === null) {
    const { machines } = loadFleet(root);
    cached = machines.flatMap((m) => (m.record ? [m.record] : []));
  }
  return cached;
}

export function demoRecord(id: string): MachineRecord {
  const record = demoRecords().find((r) => r.machine.id === id);
  if (!record) throw new Error(`the demo fleet has no machine ${id}`);
  return record;
}

/** The record with parts of its machine replaced. */
export function withMachine(record: MachineRecord, changes: Partial<Machine>): MachineRecord {
  return { ...record, machine: { ...record.machine, ...changes } };
}

/** The record with parts of its layout rules replaced, as a bare bed: nothing in the ledger. */
export function withLayout(record: MachineRecord, changes: Partial<LayoutRules>): MachineRecord {
  const { fixing } = record.machine;
  return bare(withMachine(record, { fixing: { ...fixing, layout: { ...fixing.layout, ...changes } } }));
}

/** The record before anything was done to the bed. */
export function bare(record: MachineRecord): MachineRecord {
  return {
    ...record,
    ledger: { facts: [] },
    state: {
      ...record.state,
      sites: new Map(),
      inserts: [],
      board: null,
      latestHeights: null,
      latestSurvey: null,
    },
  };
}

/** The bed as a mirror beside it shows it: left and right exchanged about X 0, boxes kept as lower left and size. */
export function mirrored(record: MachineRecord): MachineRecord {
  const p = (q: Point): Point => [-q[0], q[1]];
  const shape = (s: Shape): Shape => {
    if (s.kind === 'rect') return { ...s, at: [-s.at[0] - s.size[0], s.at[1]] };
    if (s.kind === 'circle') return { ...s, at: p(s.at) };
    return { ...s, points: s.points.map(p).reverse() };
  };
  const m = record.machine;
  return withMachine(
    { ...record, survey: null },
    {
      travel: { ...m.travel, x: [-m.travel.x[1], -m.travel.x[0]] },
      park: p(m.park),
      bed: {
        ...m.bed,
        outline: shape(m.bed.outline),
        zones: m.bed.zones.map((z) => ({
          ...z,
          shape: shape(z.shape),
          ports: z.ports.map((q) => ({ ...q, at: p(q.at) })),
        })),
        keepOuts: m.bed.keepOuts.map((k) => ({ ...k, shape: shape(k.shape) })),
        holes: m.bed.holes.map((h) => ({ ...h, at: p(h.at) })),
        slots: m.bed.slots.map((s) => ({ ...s, from: p(s.from), to: p(s.to) })),
      },
      board: { ...m.board, at: [-m.board.at[0] - m.board.size[0], m.board.at[1]] },
      datum: { ...m.datum, mark: p(m.datum.mark), second: p(m.datum.second) },
    },
  );
}
