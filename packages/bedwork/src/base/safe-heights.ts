import type { Machine, MachineRecord } from '@bedledger/fleet';
import { boardTop } from './ledger-facts.ts';

/** What stands on the bed while an operation runs, and what rapids must stay above. */
export interface Heights {
  /** Height that no rapid across goes below: clear of board, clamps and whatever stands on the bed. */
  readonly clear: number;
  /** Highest solid, mm above the bed, and its name. */
  readonly highest: { readonly height: number; readonly name: string };
  /** Highest the board's top may be, measurement uncertainty included; 0 on the bare bed. */
  readonly stockTop: number;
  /** True when the spindle's travel does not reach the clear height. */
  readonly beyondTravel: boolean;
}

/** Least air between a rapid across and the highest solid, mm (common practice, no source). */
export const LINK_AIR = 5;

/**
 * Safe heights of an operation. The profile's clear height is kept where it is enough and raised where something
 * stands higher.
 *
 * @param on - `bed`: the bed is bare; `board`: the measured board lies on it
 */
export function safeHeights(record: MachineRecord, on: 'bed' | 'board'): Heights {
  const { machine, state, house } = record;
  let highest = { height: 0, name: 'the bed' };
  const consider = (height: number, name: string): void => {
    if (height > highest.height) highest = { height, name };
  };
  // A recorded board may still lie on a bed that is said to be bare: rapids keep above it in either case.
  const stockTop = state.board ? boardTop(record) + house.thicknessUncertainty : 0;
  if (state.board) consider(stockTop, 'the board');
  for (const keepOut of machine.bed.keepOuts) {
    if (keepOut.height !== null) consider(keepOut.height, `keep-out ${keepOut.id}`);
  }
  if (on === 'board') {
    for (const clamp of machine.clamps) consider(clamp.height, `clamp ${clamp.id}`);
  }
  // Up to a tenth, which every number format can write.
  const clear = Math.max(machine.clearHeight, Math.ceil((highest.height + LINK_AIR) * 10 - 1e-6) / 10);
  return { clear, highest, stockTop, beyondTravel: clear > machine.travel.z[1] };
}

/** True when the point can be reached by the spindle's centre. */
export function inTravel(machine: Machine, x: number, y: number): boolean {
  const { travel } = machine;
  const e = 1e-6;
  return x >= travel.x[0] - e && x <= travel.x[1] + e && y >= travel.y[0] - e && y <= travel.y[1] + e;
}
