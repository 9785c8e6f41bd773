import type { Bound, StackInput } from '../model.ts';
import { largest } from './dimension.ts';
import { radialFloat } from './growth.ts';
import { lengthTolerance } from './length-tolerance.ts';
import type { StackNumbers } from './numbers.ts';

/** A limit on the height of the pocket's floor that a screw length brings with it, and the bound that sets it. */
export interface FloorLimit {
  readonly id: string;
  readonly at: number;
}

/** Lowest floor a screw length allows: web rules, refit skin and the screw's end. */
export function lowestFloor(input: StackInput, n: StackNumbers, screwLength: number): FloorLimit {
  const u = n.floorUncertainty;
  let id = 'web-house';
  let at = input.rules.webMin + n.headBelow + u;
  const raise = (candidate: string, height: number): void => {
    if (height > at) {
      id = candidate;
      at = height;
    }
  };
  raise('web-punching', n.webPunching + n.headBelow + u);
  raise('refit-skin', input.rules.refitSkin + n.headBelow + u);
  raise('screw-end', screwLength + lengthTolerance(screwLength) - n.washerMin + u - n.endMax);
  return { id, at };
}

/** Highest floor a screw length allows: thread engagement and cover. */
export function highestFloor(input: StackInput, n: StackNumbers, screwLength: number): FloorLimit {
  const u = n.floorUncertainty;
  const engaged =
    screwLength - lengthTolerance(screwLength) - n.washerMax - n.climb - input.rules.entryLoss - n.need - u;
  const covered = input.thickness - u - n.washerMax - n.headAbove - n.climb - input.rules.coverMin;
  if (engaged < covered)
    return { id: n.need > n.needPull ? 'engagement-full' : 'engagement-pull', at: engaged };
  return { id: 'cover', at: covered };
}

/** Thread engaged at the worst of every uncertainty: screw short, floor and washer high, cone climbed. */
export function worstEngagement(
  input: StackInput,
  n: StackNumbers,
  screwLength: number,
  floor: number,
): number {
  const shallowestEnd =
    screwLength - lengthTolerance(screwLength) - floor - n.washerMax - n.climb - n.floorUncertainty;
  return Math.min(shallowestEnd, n.endMax) - input.rules.entryLoss;
}

/** Top of the head at its highest. */
export function highestHead(n: StackNumbers, floor: number): number {
  return floor + n.washerMax + n.headAbove + n.climb;
}

/** A stack at a chosen screw length and pocket floor, mm. */
interface Chosen {
  readonly input: StackInput;
  readonly n: StackNumbers;
  readonly screwLength: number;
  readonly floor: number;
}

type Entry = Omit<Bound, 'margin' | 'governs'>;

/**
 * Every inequality of the stack at a chosen screw length and floor, worst case on every uncertainty. `governs` is
 * set on the bound that keeps the floor from going deeper.
 */
export function stackBounds(
  input: StackInput,
  n: StackNumbers,
  screwLength: number,
  floor: number,
  governs: string,
): Bound[] {
  const chosen: Chosen = { input, n, screwLength, floor };
  const entries = [
    ...webBounds(chosen),
    ...threadBounds(chosen),
    ...loadBounds(chosen),
    ...boardBounds(chosen),
    ...holeBounds(chosen),
    ...boreBounds(chosen),
    ...givenBounds(chosen),
    ...reliefBounds(chosen),
  ];
  return entries.map((e) => ({
    id: e.id,
    title: e.title,
    sense: e.sense,
    value: e.value,
    limit: e.limit,
    margin: e.sense === '>=' ? e.value - e.limit : e.limit - e.value,
    unit: e.unit,
    source: e.source,
    governs: e.id === governs,
  }));
}

/** Board left under the head. */
function webBounds({ input: { rules }, n, floor }: Chosen): Entry[] {
  const web = floor - n.headBelow - n.floorUncertainty;
  return [
    {
      id: 'web-house',
      title: 'web under the head, house rule',
      sense: '>=',
      value: web,
      limit: rules.webMin,
      unit: 'mm',
      source: 'floor − cone of the head − uncertainty of the floor ≥ web_min (house rule)',
    },
    {
      id: 'web-punching',
      title: 'web against punching of the head through it',
      sense: '>=',
      value: web,
      limit: n.webPunching,
      unit: 'mm',
      source:
        'safety·pull / (π·d·τ), d bearing diameter, τ shear strength of the board (from memory 2–4 N/mm², house rule)',
    },
    {
      id: 'refit-skin',
      title: 'web above the skin that a refit leaves',
      sense: '>=',
      value: web,
      limit: rules.refitSkin,
      unit: 'mm',
      source: 'the refit hole stops refit_skin above the bed and must start in the web (house rule)',
    },
  ];
}

/** The end of the screw in the insert, and the thread engaged. */
function threadBounds({ input, n, screwLength, floor }: Chosen): Entry[] {
  const { insert, screw } = input.fixing;
  const deepestEnd = screwLength + lengthTolerance(screwLength) - floor - n.washerMin + n.floorUncertainty;
  const engagement = worstEngagement(input, n, screwLength, floor);
  const entries: Entry[] = [
    {
      id: 'screw-end',
      title: insert.through
        ? 'screw end does not pass the insert'
        : 'screw end does not bottom in the insert',
      sense: '<=',
      value: deepestEnd,
      limit: n.endMax,
      unit: 'mm',
      source: insert.through
        ? 'length + js15 − floor − washer + uncertainty ≤ insert length, and end gap above the bore bottom'
        : 'length + js15 − floor − washer + uncertainty ≤ insert length − end gap',
    },
    {
      id: 'engagement-pull',
      title: `engagement for the design pull, ${n.strips}'s thread strips first`,
      sense: '>=',
      value: engagement,
      limit: n.needPull,
      unit: 'mm',
      source: 'safety·pull / (AS·τ) with AS per mm of FED-STD-H28; screw js15 short, entry loss off',
    },
  ];
  if (screw.material === 'pa66') {
    entries.push({
      id: 'engagement-full',
      title: 'engagement at which the screw breaks before a thread strips',
      sense: '>=',
      value: engagement,
      limit: n.needFull,
      unit: 'mm',
      source: 'breaking load / (AS·τ), full-strength engagement of FED-STD-H28: the nylon screw is the fuse',
    });
  }
  return entries;
}

function loadBounds({ input: { rules }, n }: Chosen): Entry[] {
  return [
    {
      id: 'tension',
      title: 'breaking load of the screw',
      sense: '>=',
      value: n.breaks,
      limit: rules.safetyFactor * rules.pull,
      unit: 'N',
      source:
        'least of published breaking load and stress area × tensile strength (ISO 898-1, ASME B1.1) ≥ safety·pull',
    },
    {
      id: 'pull',
      title: 'pull that one site must hold',
      sense: '>=',
      value: rules.pull,
      limit: rules.pull,
      unit: 'N',
      source: 'house rule',
    },
  ];
}

/** Board over the head, and the board as it is. */
function boardBounds({ input, n, floor }: Chosen): Entry[] {
  const u = n.floorUncertainty;
  return [
    {
      id: 'cover',
      title: 'cover over the head',
      sense: '>=',
      value: input.thickness - u - highestHead(n, floor),
      limit: input.rules.coverMin,
      unit: 'mm',
      source: 'thickness − uncertainty − (floor + washer + head) ≥ cover_min (house rule)',
    },
    {
      id: 'least-board',
      title: 'least thickness of the board',
      sense: '>=',
      value: input.thickness - u,
      limit: input.leastThickness,
      unit: 'mm',
      source: 'measured thickness − uncertainty ≥ least thickness of the profile',
    },
    {
      id: 'board',
      title: 'thickness of the board as measured',
      sense: '<=',
      value: input.thickness,
      limit: input.thickness,
      unit: 'mm',
      source: 'measured, or the stock’s nominal',
    },
  ];
}

/** Clearance hole, the ring that bears round it, and the pocket above it. */
function holeBounds({ input, n }: Chosen): Entry[] {
  const { screw, washer, clearanceHole, closeHole } = input.fixing;
  const held = input.held === true;
  return [
    {
      id: 'hole-standard',
      title: held ? 'close hole of the standard' : 'clearance hole of the standard',
      sense: '>=',
      value: n.hole,
      limit: n.standardHole,
      unit: 'mm',
      source: (held ? closeHole : clearanceHole).from.standard,
    },
    {
      id: 'hole-float',
      title: 'clearance hole takes growth and position error',
      sense: '>=',
      value: radialFloat(n.hole, screw.thread.majorDiameter),
      limit: n.lateral,
      unit: 'mm',
      source:
        n.restrained > 0
          ? '(d_hole − d_screw)/2 ≥ position uncertainty + the growth that is not restrained (growth: mdf-info.eu)'
          : '(d_hole − d_screw)/2 ≥ growth_per_percent·swing·reach + position uncertainty (growth: mdf-info.eu)',
    },
    {
      id: 'bearing',
      title: `${washer === undefined ? 'head' : 'washer'} still bears outside the hole`,
      sense: '>=',
      value: (n.bearing - n.hole) / 2 - n.lateral - n.washerPlay,
      limit: input.rules.bearingMin,
      unit: 'mm',
      source: '(d_bearing − d_hole)/2 − growth − position − play of the washer ≥ bearing_min (house rule)',
    },
    {
      id: 'pocket',
      title: `pocket takes the ${n.pocketGoverns}`,
      sense: '>=',
      value: n.pocket,
      limit: n.pocketNeed,
      unit: 'mm',
      source: 'largest of head, washer, socket + the larger of pocket clearance and twice the lateral total',
    },
  ];
}

/** The hand-drilled hole in the bed. */
function boreBounds({ input: { bed, fixing, rules }, n }: Chosen): Entry[] {
  return [
    {
      id: 'bore-depth',
      title: 'bore holds the insert and its reserve',
      sense: '>=',
      value: n.bore.drill.depth,
      limit: largest(fixing.insert.length) + rules.boreReserve,
      unit: 'mm',
      source: 'insert length + bore_reserve (common practice 2–3 mm)',
    },
    {
      id: 'bed-floor',
      title: 'bed left under the drill point',
      sense: '>=',
      value: bed.thickness - n.bore.drill.tipDepth,
      limit: bed.floor,
      unit: 'mm',
      source: 'bed thickness − bore − point (D/2)/tan 59° ≥ floor of the profile',
    },
  ];
}

function givenBounds({ input: { given }, floor }: Chosen): Entry[] {
  if (given?.pocketFloor === undefined) return [];
  return [
    {
      id: 'floor-given',
      title: 'pocket floor as it is cut',
      sense: '<=',
      value: floor,
      limit: given.pocketFloor,
      unit: 'mm',
      source: 'given: the board is pocketed already',
    },
  ];
}

/** The wider mouth of a tapered insert's bore, which the machine cuts. */
function reliefBounds({ input: { bed }, n }: Chosen): Entry[] {
  if (n.bore.relief === undefined) return [];
  return [
    {
      id: 'relief-depth',
      title: 'entry relief stays within the cut limit',
      sense: '<=',
      value: n.bore.relief.depth,
      limit: bed.cutLimit,
      unit: 'mm',
      source:
        'the machine cuts the relief; deepest cut in the bed (cut limit of the profile, less what Z 0 and the bed may err)',
    },
  ];
}
