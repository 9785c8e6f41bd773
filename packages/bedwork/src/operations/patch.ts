import { lengthText } from '@bedledger/diagnostics';
import type { Cutter, Machine } from '@bedledger/fleet';
import { distance, nearestPointIn, type Point, rectangleRing, regionFromRing } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { inTravel } from '../base/safe-heights.ts';
import { cuttingFor } from '../feeds/cutting.ts';
import { APPROACH, type MotionWriter } from '../motion/motion-writer.ts';
import { addFinding, type WorkContext } from '../work/context.ts';
import { CAUTIONS } from './cautions.ts';
import { isPocketed, noBoard, screwsOnRecord, touchOffOnBoard } from './conditions.ts';
import { type CuttingJob, cut, type Refusal } from './descriptor.ts';
import { rampAlong } from './moves.ts';

/** Laps overlap by half of the cutter: no scallop stands between two of them (common practice, no source). */
const STEPOVER = 0.5;

/** A lap of the cutter's centre, counter-clockwise, so that a clockwise spindle climbs. Four corners. */
type Lap = readonly [Point, Point, Point, Point];

type Patch = NonNullable<Machine['board']['patch']>;

interface PatchJob extends CuttingJob {
  readonly patch: Patch;
  /** From the inside outwards. */
  readonly laps: readonly Lap[];
  /** Top of the stock, mm, and the number of levels from there down. */
  readonly top: number;
  readonly levels: number;
}

/** Cuts a stated rectangle of the board down to a flat floor: to skim damage away there alone, or to let an inlay in. */
export const PATCH = cut<PatchJob>({
  name: 'patch',
  on: () => 'board',
  notAsked: ({ machine }) =>
    machine.board.patch === null ? 'the profile asks for no patch (`board.patch`)' : null,
  forbidden: (context) => {
    const unmeasured = noBoard(context);
    if (unmeasured !== null) return unmeasured;
    return isPocketed(context)
      ? screwsOnRecord(context)
      : 'the board is not recorded as pocketed: a patch is let into a board that is in use';
  },
  outputs: ['extraction', 'vacuum'],
  decide: decidePatch,
  write: writePatch,
  header: (context, { patch, cutting: _, laps, floor }) => {
    const length = (mm: number): string => lengthText(mm, context.machine.units);
    const radius = length(cornerRadius(laps, patch));
    return {
      title: `Patch of ${length(patch.size[0])} × ${length(patch.size[1])}, ${length(patch.depth)} deep`,
      before: ['every screw is driven with the vacuum on', touchOffOnBoard(context)],
      after: [
        `an inlay needs corners rounded by ${radius}; glue it in so that it stands proud, let it cure, then take \`board.patch\` out of the profile and skim the board`,
        `without an inlay the floor stays at ${length(floor)}: no sheet lies there, and none is held there`,
      ],
      cautions: [CAUTIONS.dust, CAUTIONS.body, CAUTIONS.fire, CAUTIONS.vacuum, CAUTIONS.metal],
    };
  },
});

function decidePatch(context: WorkContext, _: unknown, cutter: Cutter): PatchJob | Refusal {
  const { machine, house, record } = context;
  const { patch } = machine.board;
  const { board } = record.state;
  if (patch === null || board === null) throw new RangeError('a patch is asked for on a board');
  if (cutter.pointAngle < 180 || cutter.kind === 'ball' || cutter.kind === 'drill') {
    return { refused: `cutter ${cutter.id} leaves no flat floor: name an end mill for the duty pocket` };
  }
  const floor = board.thinnest - patch.depth;
  const refused = placeRefused(context, patch, cutter) ?? floorRefused(context, patch, floor);
  if (refused !== null) return { refused };
  const top = context.overBoard.stockTop;
  const levels = Math.max(1, Math.ceil((top - floor) / cutter.diameter - 1e-9));
  const cutting = cuttingFor(
    cutter,
    record.stock.material,
    { width: cutter.diameter, depth: (top - floor) / levels },
    machine,
    house,
  );
  reportPatch(context, patch);
  return {
    sites: [],
    floor,
    cutting,
    fluteDepth: top - floor,
    patch,
    laps: lapsOf(patch, cutter.diameter),
    top,
    levels,
  };
}

/** The rectangle lies on the board, is wider than the cutter, and the spindle reaches its corners. */
function placeRefused({ machine }: WorkContext, { at, size }: Patch, cutter: Cutter): string | null {
  const { units } = machine;
  const { minX, minY, maxX, maxY } = boardBox(machine);
  const e = 1e-6;
  if (at[0] < minX - e || at[1] < minY - e || at[0] + size[0] > maxX + e || at[1] + size[1] > maxY + e) {
    return 'the patch reaches beyond the board: make `board.patch` smaller, or move it';
  }
  // The ramp down wants a straight piece as long as the cutter is wide.
  const least = 2 * cutter.diameter;
  if (Math.min(...size) < least) {
    return `the patch is ${lengthText(Math.min(...size), units)} wide, and ${cutter.id} needs ${lengthText(least, units)}: make it wider, or name a smaller end mill for the duty pocket`;
  }
  const r = cutter.diameter / 2;
  const beyond = rectangleRing([at[0] + r, at[1] + r], [size[0] - 2 * r, size[1] - 2 * r]).some(
    ([x, y]) => !inTravel(machine, x, y),
  );
  return beyond ? 'the spindle does not reach every corner of the patch' : null;
}

/** The floor keeps the board's least thickness, and the house's cover over every head that stands under it. */
function floorRefused(context: WorkContext, { at, size }: Patch, floor: number): string | null {
  const { machine, layout, stacks, house } = context;
  const length = (mm: number): string => lengthText(mm, machine.units);
  if (floor < machine.board.leastThickness - 1e-9) {
    return `the patch would leave ${length(Math.max(0, floor))} of board, the profile keeps ${length(machine.board.leastThickness)} (\`board.least_thickness\`)`;
  }
  const region = regionFromRing(rectangleRing(at, size));
  for (const site of layout.sites) {
    const stack = stacks.get(site.id);
    if (!stack) continue;
    const beside = distance(site.actual, nearestPointIn(region, site.actual)!);
    if (beside > stack.pocketDiameter / 2) continue;
    const needed = stack.headTop + house.stack.coverMin;
    if (floor >= needed - 1e-9) continue;
    return `the patch would leave ${length(floor - stack.headTop)} over the head at ${site.id}, the house keeps ${length(house.stack.coverMin)}: leave out ${site.id}, or make it shallower`;
  }
  return null;
}

/** What the patch does to the sheets that lie over it. */
function reportPatch(context: WorkContext, { at, size, depth }: Patch): void {
  const { units } = context.machine;
  const length = (mm: number): string => lengthText(mm, units);
  addFinding(context, {
    code: 'surfacing/patch',
    message: `patch: until an inlay stands there and is skimmed, ${length(size[0])} × ${length(size[1])} from X ${length(at[0])} Y ${length(at[1])} lie ${length(depth)} below the rest: a sheet over it bridges the gap, leaks at its rim and gives under a cutter`,
    facts: { depth },
  });
}

/** Laps from the inside outwards, the last one along the rim. */
function lapsOf({ at, size }: Patch, diameter: number): Lap[] {
  const widest = Math.min(...size) / 2 - diameter / 2;
  const count = Math.max(1, Math.ceil(widest / (STEPOVER * diameter) - 1e-9));
  return Array.from({ length: count }, (_, i): Lap => {
    const inset = diameter / 2 + (widest * (count - 1 - i)) / count;
    const [x0, y0] = [at[0] + inset, at[1] + inset];
    const [x1, y1] = [at[0] + size[0] - inset, at[1] + size[1] - inset];
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]; // biome-ignore format: one line
  });
}

/** The cutter's radius, as the outermost lap stands in from the rim. */
function cornerRadius(laps: readonly Lap[], { at }: Patch): number {
  return laps.at(-1)![0][0] - at[0];
}

function writePatch(writer: MotionWriter, { house }: WorkContext, job: PatchJob): void {
  const { laps, top, floor, levels, cutting } = job;
  const [inner] = laps as readonly [Lap, ...Lap[]];
  let z = top;
  for (let level = 1; level <= levels; level++) {
    const target = level === levels ? floor : top - ((top - floor) * level) / levels;
    writer.restart(levels > 1 ? `level ${level}` : 'patch');
    writer.over(inner[0][0], inner[0][1]);
    writer.lower(top + APPROACH);
    writer.feed(inner[0][0], inner[0][1], z, cutting.plungeFeed);
    rampAlong(writer, inner, { from: z, to: target, angle: house.feed.rampAngle, cutting });
    z = target;
    for (const [start, ...others] of laps) {
      for (const [x, y] of [start, ...others, start]) writer.feed(x, y, z, cutting.feed);
    }
    writer.retract();
  }
}
