import type { Machine, OutputName } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';
import { inTravel } from '../base/safe-heights.ts';
import type { Cutting } from '../feeds/cutting.ts';
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

/**
 * Down along the side from `start` to `end` and back to `start`, in as many strokes as the ramp angle asks for.
 *
 * @param side - its two ends, apart, mm
 * @param ramp - `from` and `to`: heights of the tip before and after, mm; `angle`: of the ramp, rad
 */
export function rampAlong(
  writer: MotionWriter,
  [start, end]: readonly [Point, Point, ...Point[]],
  ramp: { readonly from: number; readonly to: number; readonly angle: number; readonly cutting: Cutting },
): void {
  const { from, to, angle, cutting } = ramp;
  const length = distance(start, end);
  const slope = Math.tan(angle);
  const run = Math.min((from - to) / slope, length);
  const strokes = Math.max(1, Math.ceil((from - to) / (slope * run) - 1e-9));
  const rampFeed = Math.min(cutting.feed, cutting.plungeFeed / Math.sin(angle));
  const [x, y] = [0, 1].map((k) => start[k]! + (run * (end[k]! - start[k]!)) / length) as [number, number];
  for (let i = 1; i <= strokes; i++) {
    const down = i === strokes ? to : from - ((from - to) * i) / strokes;
    writer.feed(x, y, down, rampFeed);
    writer.feed(start[0], start[1], down, cutting.feed);
  }
}
