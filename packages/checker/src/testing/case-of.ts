import { join } from 'node:path';
import { type Controller, loadFleet, type Machine, type MachineRecord } from '@bedledger/fleet';
import { bedAsItStands } from '../issued/operations.ts';
import { type Case, homeInProgram, simulatedCutter } from '../programs/case.ts';
import { readProgram } from '../reader/index.ts';
import { sceneOf } from '../scene/scene.ts';
import { simulate } from '../simulation/simulate.ts';

const FLEET = join(import.meta.dirname, '../../../../test/fixtures/fleets/controllers');
const { machines } = loadFleet(FLEET);

/** A machine of the fleet of controllers: a bed of 620 by 520 mm with a fitted board of 18 mm. */
export function recordOf(
  id: string,
  over: Partial<Omit<Machine, 'controller'>> & { readonly controller?: Partial<Controller> } = {},
): MachineRecord {
  const record = machines.find((m) => m.id === id)?.record;
  if (!record) throw new Error(`no machine ${id}`);
  const { machine } = record;
  const controller = { ...machine.controller, ...over.controller };
  return { ...record, machine: { ...machine, ...over, controller } };
}

export const START = 'G17 G21 G40 G49 G80 G90 G94 G54 G98\n';

/** A program with Z 0 on the bed, read and run over the bed as it stands, made with a cutter of 6 mm. */
export function caseOf(record: MachineRecord, text: string): Case {
  const file = { path: 'program.ngc', text };
  const cutter = record.cutters.get('upcut-6')!;
  const scene = sceneOf(record, bedAsItStands(record));
  const home = homeInProgram(record.machine, 0);
  const { controller } = record.machine;
  const trace = readProgram(text, file.path, controller, { strict: false, ...(home ? { home } : {}) });
  const simulation = simulate(trace, scene, simulatedCutter(record, cutter), { zeroHeight: 0 });
  return { record, file, trace, scene, simulation, cutter, zeroHeight: 0 };
}
