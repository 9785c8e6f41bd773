import { fileURLToPath } from 'node:url';
import { type LayoutRules, loadFleet, type Machine, type MachineRecord } from '@bedledger/fleet';

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
