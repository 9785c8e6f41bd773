import type { Machine, OutputName } from '@bedledger/fleet';
import { inTravel } from '../base/safe-heights.ts';
import type { Site } from '../layout/model.ts';
import { MotionWriter } from '../motion/motion-writer.ts';
import type { WorkContext } from '../work/context.ts';

/** A writer for an operation on the bare bed or on the board. `floor`: lowest Z it may reach, mm. */
export function writerOn(context: WorkContext, on: 'bed' | 'board', floor: number): MotionWriter {
  const heights = on === 'bed' ? context.overBed : context.overBoard;
  return new MotionWriter({ clear: heights.clear, floor, stock: heights.stockTop });
}

/** Those of the named outputs that the controller has. */
export function outputsOf(context: WorkContext, names: readonly OutputName[]): OutputName[] {
  return names.filter((name) => Object.hasOwn(context.machine.controller.auxiliary, name));
}

/** True when the controller runs a helix as such; false where the post must write it as a chain of chords. */
export function hasHelices(machine: Machine): boolean {
  return machine.controller.arcs.form !== 'none' && machine.controller.arcs.helix;
}

/** Where a site's axis can be cut with a path of this radius about it, mm. */
export function reachable(context: WorkContext, site: Site, radius: number): boolean {
  const [x, y] = site.actual;
  const { machine } = context;
  return inTravel(machine, x - radius, y - radius) && inTravel(machine, x + radius, y + radius);
}

/** Sites from one restart point to the next: places from which a stopped program can be taken up again. */
const SITES_PER_RESTART = 8;

/** Starts the section of a site; every eighth one is a restart point, the first always. */
export function siteSection(writer: MotionWriter, id: string, index: number): void {
  if (index % SITES_PER_RESTART === 0) writer.restart(`site ${id}`);
  else writer.section(`site ${id}`);
}
