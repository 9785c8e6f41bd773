import { InputError } from '@bedledger/diagnostics';
import { solveStack } from '@bedledger/fasteners';
import type { MachineRecord, OperationName } from '@bedledger/fleet';
import { hypotenuse } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { OPERATION_FACTS, OPERATIONS_IN_ORDER, type SiteCuts } from '../base/operation-facts.ts';
import { stackInput } from '../base/stack-input.ts';

/** Room that one site takes, mm. */
export interface SiteNeeds {
  /** Radius of the bore in the bed: half of the insert's largest outside plus the glue gap. */
  readonly boreRadius: number;
  /** Wall of bed that must stay around the bore. */
  readonly wall: number;
  readonly margin: number;
  /** Bore, wall and margin: the least distance of an axis from anything in the bed, before uncertainty. */
  readonly bed: number;
  /** Radius of the socket pocket in the board. */
  readonly pocketRadius: number;
  /** Least distance of an axis from the board's edge and from its corners. */
  readonly boardEdge: number;
  readonly boardCorner: number;
  /** Least distance between two axes, so that neither bores nor pockets run into each other. */
  readonly between: number;
  /** How far the spindle's centre goes to either side of the axis, and the operation that asks for it. */
  readonly overhang: number;
  readonly overhangBy: OperationName | null;
}

/** Face screws in MDF: at least this far from the edge and from a corner (Australian industry guide to particleboard and MDF). */
export const BOARD_EDGE = 12;
export const BOARD_CORNER = 25;

/** Added to every growth so that rounding to the micrometre never eats a clearance, mm. */
export const SLACK = 0.004;

/**
 * Room that a site of this record needs. Figures come from the fixing (published or measured) and the house rules.
 * @param uncertainty largest position uncertainty on the bed, k = 2, mm
 * @param reach distance of the site from the one that holds the board; null: as far as a site of this board may be
 */
export function siteNeeds(
  record: MachineRecord,
  uncertainty: number,
  reach: number | null = null,
): SiteNeeds {
  const { planned: fixing, house } = record;
  const rules = house.stack;
  const insert = fixing.insert.outside;
  const boreRadius = (insert.value + insert.uncertainty + rules.adhesiveGap) / 2;
  const wall = house.insertWall * insert.value;
  const margin = house.landMargin;
  const widest = Math.max(
    fixing.socket.outside.value + fixing.socket.outside.uncertainty,
    fixing.screw.headDiameter.value + fixing.screw.headDiameter.uncertainty,
    fixing.washer ? fixing.washer.outside.value + fixing.washer.outside.uncertainty : 0,
  );
  // The pocket grows with the distance from where the board is held; the widest one on this board counts everywhere.
  const far = stackAt(record, reach ?? longestReach(record), uncertainty);
  const pocketRadius = Math.max(widest + rules.pocketClearance, far?.pocket ?? 0) / 2;
  const bed = boreRadius + wall + margin;

  // A clearance hole grows likewise, but head or washer must still bear around it.
  const bearing = fixing.washer?.outside ?? fixing.screw.headDiameter;
  const holeRadius = far ? far.hole / 2 : bearing.value / 2 - rules.bearingMin;
  const cuts: SiteCuts = { bore: boreRadius, pocket: pocketRadius, hole: holeRadius };

  return {
    boreRadius,
    wall,
    margin,
    bed,
    pocketRadius,
    boardEdge: Math.max(BOARD_EDGE, pocketRadius + margin),
    boardCorner: BOARD_CORNER,
    between: Math.max(2 * boreRadius + wall, 2 * pocketRadius + margin),
    ...overhangOf(record, cuts),
  };
}

/** How far the spindle's centre circles a site's axis at most: where a cut is wider than the cutter that makes it. */
function overhangOf(
  { machine, cutters }: MachineRecord,
  cuts: SiteCuts,
): Pick<SiteNeeds, 'overhang' | 'overhangBy'> {
  let overhang = 0;
  let overhangBy: OperationName | null = null;
  for (const operation of OPERATIONS_IN_ORDER) {
    const { cutsAtSite, duty } = OPERATION_FACTS[operation];
    if (cutsAtSite === null) continue;
    const cutterOf = duty(machine);
    const id = cutterOf === null ? null : machine.cutters[cutterOf];
    const cutter = id === null ? undefined : cutters.get(id);
    // A pointed cutter only spots: it goes round nothing.
    if (cutter?.kind === 'v-point') continue;
    const over = cutter ? cuts[cutsAtSite] - cutter.diameter / 2 : cuts[cutsAtSite];
    if (over > overhang) {
      overhang = over;
      overhangBy = operation;
    }
  }
  return { overhang, overhangBy };
}

/**
 * As far as a site can be from the one that holds the board, before either is placed: from corner to corner where the profile
 * names the holding site, else from a corner to the middle and on to a site that is a pitch from it in either direction.
 */
function longestReach({ machine }: MachineRecord): number {
  const { minX, minY, maxX, maxY } = boardBox(machine);
  const across = hypotenuse(maxX - minX, maxY - minY);
  const { held, layout } = machine.fixing;
  if (held !== null || layout.pitchMax === null) return across;
  const pitch = layout.pitchMax + layout.nudgeMax;
  return Math.min(across, across / 2 + hypotenuse(pitch, pitch) / 2);
}

/**
 * Pocket and hole of a site; null when no stack is possible there, which is for the stack itself to tell. The stock as
 * sold, so that a layout does not change with a measurement.
 */
function stackAt(
  record: MachineRecord,
  reach: number,
  uncertainty: number,
): { readonly pocket: number; readonly hole: number } | null {
  try {
    const place = { uncertainty, reach, held: false };
    const result = solveStack(stackInput(record, place, record.planned, null));
    return result.feasible
      ? { pocket: result.stack.pocketDiameter, hole: result.stack.clearanceDiameter }
      : null;
  } catch (error) {
    // Figures that make no stack at all are reported where the stacks are solved.
    if (error instanceof InputError) return null;
    throw error;
  }
}
