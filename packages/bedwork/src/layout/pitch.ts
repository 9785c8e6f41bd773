import { shortLength, tinyLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { cornerDeflection, gridDeflection, OUTER_SHARE, platePitch } from './plate.ts';

/** NIST SP 811. */
const PASCAL_PER_PSI = 6894.757;

export interface PitchRule {
  /** Greatest gap between rows and between columns, mm. */
  readonly limit: number;
  /** Greatest first and last gap, mm. */
  readonly outer: number;
  /** Where the figure is from, one sentence. */
  readonly from: string;
  /** What the lift load of the house does to an inner panel and to a corner panel at its worst, mm. */
  readonly deflection: { readonly inner: number; readonly corner: number };
}

/**
 * The pitch of a machine: the profile's, or from the plate formula at the board's least thickness.
 * From the formula, the outer gaps are shorter by (0.0058004/0.02567)^¼, because a corner panel may deflect 4.4 times as
 * much as an inner one. A profile that states its pitch has decided: it is kept, and the deflections are told.
 */
export function pitchRule(record: MachineRecord): PitchRule {
  const { machine, plannedStock: stock, house } = record;
  const plate = {
    modulus: stock.modulus,
    poisson: stock.poisson,
    thickness: machine.board.leastThickness,
  };
  const { pressure, deflection } = house.lift;
  const formula = Math.floor(platePitch(plate, house.lift) * 10) / 10;
  const { units } = machine;
  const lift = units === 'mm' ? `${figure(pressure / 1000)} kPa` : `${figure(pressure / PASCAL_PER_PSI)} psi`;
  const told = `${tinyLength(deflection, units)} at ${lift} lift and ${shortLength(plate.thickness, units)} least thickness`;
  const stated = machine.fixing.layout.pitchMax;
  const limit = stated ?? formula;
  const outer = stated ?? Math.floor(formula * OUTER_SHARE * 10) / 10;
  const inner = gridDeflection(plate, limit, pressure);
  const corner = cornerDeflection(plate, outer, pressure);
  const from =
    stated === null
      ? `plate formula w = 0.0058004·q·a⁴/D for ${told}; outer gaps ${shortLength(outer, units)}, because a corner panel on its four corners deflects 4.4 times as much`
      : `the profile's pitch_max; the plate formula gives ${shortLength(formula, units)} for ${told}, at ${shortLength(stated, units)} an inner panel lifts ${shortLength(inner, units)}`;
  return { limit, outer, from, deflection: { inner, corner } };
}

function figure(v: number): string {
  return String(Math.round(v * 100) / 100);
}
