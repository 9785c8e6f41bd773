import { fromUnits } from '@bedledger/diagnostics';
import type { Controller, Cutter, Machine, MachineRecord } from '@bedledger/fleet';
import type { ProgramFile } from '../model.ts';
import type { ReadOptions } from '../reader/index.ts';
import type { Scene } from '../scene/scene.ts';
import { shapeOf } from '../simulation/cutter-shape.ts';
import type { SimulatedCutter, Simulation } from '../simulation/simulate.ts';
import type { Trace } from '../trace.ts';

/** One program with everything that rules look at. */
export interface Case {
  readonly record: MachineRecord;
  readonly file: ProgramFile;
  readonly trace: Trace;
  readonly scene: Scene;
  readonly simulation: Simulation;
  /** Null: nothing in the spindle, or a cutter that the shared list does not have. */
  readonly cutter: Cutter | null;
  /** Height of the program's Z 0 above the bed, mm. */
  readonly zeroHeight: number;
}

/** Air that a rapid across keeps above everything that stands on the bed, mm (common practice, no source). */
export const RAPID_AIR = 1;

/** Smallest step of a coordinate on this controller, mm. */
export function gridStep(controller: Controller): number {
  let step = fromUnits(1, controller.units);
  for (let k = 0; k < controller.numbers.xyz.decimals; k++) step /= 10;
  return step;
}

/**
 * Where the tip stands at home, for the reader; undefined where the profile does not say.
 * @param zeroHeight height of the program's Z 0 above the bed, mm
 */
export function homeInProgram({ home, datum }: Machine, zeroHeight: number): ReadOptions['home'] {
  if (home === null) return undefined;
  const [x, y] = home.at ?? [Number.NaN, Number.NaN];
  return { x, y, z: home.z - zeroHeight, workOffset: datum.workOffset };
}

/** A limit may be missed by the rounding of the text, no more: three quarters of a step covers half a step and noise. */
export function roundingOf(controller: Controller): number {
  return 0.75 * gridStep(controller) + 1e-6;
}

/** A cutter of the list with its shank, and the spindle's collet nut and nose where their places are known. */
export function simulatedCutter(record: MachineRecord, cutter: Cutter): SimulatedCutter {
  const { spindle } = record.machine;
  const stickOut = cutter.stickOut;
  const parts = [
    { name: 'cutter', radius: cutter.diameter / 2, from: 0, to: cutter.cuttingLength },
    {
      name: 'shank',
      radius: cutter.shankDiameter / 2,
      from: cutter.cuttingLength,
      to: Math.max(cutter.cuttingLength, stickOut ?? cutter.cuttingLength),
    },
  ];
  if (stickOut !== null) {
    let at = stickOut;
    for (const [name, part] of [
      ['collet nut', spindle.collet],
      ['spindle nose', spindle.nose],
    ] as const) {
      if (!part) continue;
      parts.push({ name, radius: part.diameter / 2, from: at, to: at + part.length });
      at += part.length;
    }
  }
  return { shape: shapeOf(cutter), parts };
}
