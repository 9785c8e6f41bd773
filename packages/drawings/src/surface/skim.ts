import type { NeutralProgram, WorkPlan } from '@bedledger/bedwork';
import { boardRegion } from '@bedledger/fleet';
import { difference, type Point, type Region, regionArea, sweep, union } from '@bedledger/geometry';

/** What a surfacing program does, read off its motions. Surveyed frame, mm. */
export interface Skim {
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

/** Leftovers smaller than this are rounding errors of the areas, mm². */
const LEAST_LEFT = 1;

/** What the cutter does while a program runs: its stretches at depth with their height, and where it may be taken up again. */
interface Followed {
  readonly stretches: readonly (readonly Point[])[];
  readonly lowest: number;
  /** Where it first goes down, and where it is lifted for the last time; null when it never cuts. */
  readonly ends: { readonly start: Point; readonly end: Point } | null;
  readonly restarts: Skim['restarts'];
}

function follow({ moves }: NeutralProgram): Followed {
  let [x, y] = [Number.NaN, Number.NaN];
  let stretch: Point[] = [];
  let waiting: string | null = null;
  let lowest = Number.POSITIVE_INFINITY;
  let start: Point | null = null;
  let end: Point | null = null;
  const stretches: Point[][] = [];
  const restarts: { title: string; at: Point }[] = [];
  const lift = (): void => {
    if (stretch.length > 1) stretches.push(stretch);
    stretch = [];
  };
  for (const move of moves) {
    switch (move.kind) {
      case 'rapid-xy':
        lift();
        [x, y] = [move.x, move.y];
        if (waiting !== null) restarts.push({ title: waiting, at: [x, y] });
        waiting = null;
        break;
      case 'rapid-z':
        if (stretch.length > 0) end = [x, y];
        lift();
        break;
      case 'feed':
        start ??= [x, y];
        if (stretch.length === 0) stretch.push([x, y]);
        if (move.x !== x || move.y !== y) stretch.push([move.x, move.y]);
        [x, y] = [move.x, move.y];
        lowest = Math.min(lowest, move.z);
        break;
      case 'section':
        if (move.restart) waiting = move.title;
        break;
      // A skim is straight rows: nothing else of it moves the cutter.
      case 'arc':
      case 'drill':
        throw new RangeError(`a skim has no ${move.kind} moves`);
      case 'dwell':
      case 'stop':
      case 'spindle':
      case 'spindle-off':
      case 'auxiliary':
        break;
      default:
        throw new RangeError(`unknown move ${JSON.stringify(move satisfies never)}`);
    }
  }
  lift();
  return { stretches, lowest, ends: start && { start, end: end ?? [x, y] }, restarts };
}

/** The skim of the board's top that the plan issues, or null when it issues none. */
export function skimOf(plan: WorkPlan): Skim | null {
  const program = plan.programs.find((p) => p.operation === 'surface');
  if (program === undefined || program.header.cutter === null) return null;
  const { diameter } = program.header.cutter;
  const { stretches, lowest, ends, restarts } = follow(program);
  if (ends === null) return null;
  const times = new Map<string, number>();
  const runs = stretches.filter((points) => {
    const key = points.map((p) => `${p[0].toFixed(3)},${p[1].toFixed(3)}`).join(' ');
    const seen = (times.get(key) ?? 0) + 1;
    times.set(key, seen);
    return seen === 1;
  });
  const covered = union(...runs.map((points) => sweep(points, diameter / 2, { side: 'outside' })));
  const left = difference(boardRegion(plan.record.machine), covered).filter(
    (polygon) => regionArea([polygon]) > LEAST_LEFT,
  );
  const passes = Math.max(1, ...times.values());
  return { diameter, lowest, runs, passes, ...ends, restarts, left };
}
