import type { NeutralProgram, WorkPlan } from '@bedledger/bedwork';
import { boardRegion } from '@bedledger/fleet';
import { difference, type Point, type Region, regionArea, sweep, union } from '@bedledger/geometry';

/** What a surfacing program does, read off its motions. Surveyed frame, mm. */
export interface Skim {
  readonly program: NeutralProgram;
  readonly diameter: number;
  /** Lowest height above the bed that is commanded. */
  readonly lowest: number;
  /** Runs of the cutter at depth, of the last pass where several passes follow the same lines. */
  readonly runs: readonly (readonly Point[])[];
  readonly passes: number;
  /** Where the cutter first goes down. */
  readonly start: Point;
  /** Where it is lifted for the last time. */
  readonly end: Point;
  /** Places from which the program may be taken up again, in order. */
  readonly restarts: readonly { readonly title: string; readonly at: Point }[];
  /** Parts of the board that no run covers. */
  readonly left: Region;
}

/** Smaller leftovers than this are the corners of the arithmetic, mm². */
const LEAST_LEFT = 1;

/** The skim of the board's top that the plan issues, or null when it issues none. */
export function skimOf(plan: WorkPlan): Skim | null {
  const program = plan.programs.find((p) => p.operation === 'surface');
  if (program === undefined || program.header.cutter === null) return null;
  const diameter = program.header.cutter.diameter;
  let [x, y, z] = [Number.NaN, Number.NaN, program.clearHeight];
  let run: Point[] = [];
  let waiting: string | null = null;
  const all: { points: Point[]; z: number }[] = [];
  const restarts: { title: string; at: Point }[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  let start: Point | null = null;
  let end: Point | null = null;
  const lift = (): void => {
    if (run.length > 1) all.push({ points: run, z });
    run = [];
  };
  for (const move of program.moves) {
    switch (move.kind) {
      case 'rapid-xy':
        lift();
        [x, y] = [move.x, move.y];
        if (waiting !== null) restarts.push({ title: waiting, at: [x, y] });
        waiting = null;
        break;
      case 'rapid-z':
        if (run.length > 0) end = [x, y];
        lift();
        z = move.z;
        break;
      case 'feed':
        start ??= [x, y];
        if (run.length === 0) run.push([x, y]);
        if (move.x !== x || move.y !== y) run.push([move.x, move.y]);
        [x, y, z] = [move.x, move.y, move.z];
        lowest = Math.min(lowest, z);
        break;
      case 'section':
        if (move.restart) waiting = move.title;
        break;
      default:
        break;
    }
  }
  lift();
  if (start === null) return null;
  const runs: (readonly Point[])[] = [];
  const seen = new Map<string, number>();
  for (const { points } of all) {
    const key = points.map((p) => `${p[0].toFixed(3)},${p[1].toFixed(3)}`).join(' ');
    const times = (seen.get(key) ?? 0) + 1;
    seen.set(key, times);
    if (times === 1) runs.push(points);
  }
  const covered = union(...runs.map((points) => sweep(points, diameter / 2, { side: 'outside' })));
  const left = difference(boardRegion(plan.record.machine), covered).filter(
    (polygon) => regionArea([polygon]) > LEAST_LEFT,
  );
  return {
    program,
    diameter,
    lowest,
    runs,
    passes: Math.max(1, ...seen.values()),
    start,
    end: end ?? [x, y],
    restarts,
    left,
  };
}
