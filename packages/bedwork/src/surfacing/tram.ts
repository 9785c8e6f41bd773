import { hypotenuse } from '@bedledger/geometry';

/** Ridge that a fingernail finds, mm (ours): from here on a step between rows is told. */
export const FELT_RIDGE = 0.05;

/** What a spindle's tilt leaves on a surfaced board, mm. */
export interface TramMarks {
  /** Height of the step between neighbouring rows. */
  readonly step: number;
  /** Depth of the hollow along a row. */
  readonly cusp: number;
  /** How far the floor lies below the commanded Z. */
  readonly drop: number;
}

/**
 * Step, cusp and drop of a flat cutter that leans.
 *
 * step = s·tan φ; cusp = tan ψ·(R − √(R² − s²/4)), which is about ψ·s²/(4D); drop = (D/2)·√(tan²φ + tan²ψ): the lowest
 * point of the tilted disc's rim, whichever way it leans, cuts the floor (derived).
 *
 * @param diameter - cutter, mm
 * @param stepover - mm; 0 for a single row, which has no neighbour
 * @param across - lean across the rows (φ), rad
 * @param along - lean along the rows (ψ), rad
 */
export function tramMarks(diameter: number, stepover: number, across: number, along: number): TramMarks {
  if (!(diameter > 0) || !(stepover >= 0)) {
    throw new RangeError(
      `a diameter above 0 mm and a stepover of 0 mm or more are needed, found ${diameter}, ${stepover}`,
    );
  }
  const phi = Math.abs(Math.tan(across));
  const psi = Math.abs(Math.tan(along));
  const radius = diameter / 2;
  const inside = Math.max(0, radius * radius - (stepover * stepover) / 4);
  return {
    step: stepover * phi,
    cusp: psi * (radius - Math.sqrt(inside)),
    drop: radius * hypotenuse(phi, psi),
  };
}

/** Tilt found from a measured ridge, and what to do about it. */
export interface TiltFinding {
  /** Lean across the rows, rad: h/s. */
  readonly tilt: number;
  /** mm over 200 mm, the way a tram is read. */
  readonly over200: number;
  /** Side of the spindle that is too low, looking along `+X` or `+Y` as the rows run. */
  readonly lowSide: string;
  /** Thickness of a shim under the mount at the low side for a given base, mm. */
  readonly shim: number;
  readonly advice: string;
}

/**
 * The reverse of {@link tramMarks}: a ridge of height `h` between rows of stepover `s` means a lean φ = h/s across them.
 *
 * @param ridge - height of the step, mm (0 or more)
 * @param stepover - mm
 * @param rows - the axis the rows run along
 * @param higherSide - which side of a step stands higher, in the direction in which the rows advance (`far`) or against it (`near`)
 * @param base - distance between the mount's fixing points across the rows, mm
 */
export function tiltFromRidge(
  ridge: number,
  stepover: number,
  rows: 'x' | 'y',
  higherSide: 'near' | 'far',
  base: number,
): TiltFinding {
  if (!(ridge >= 0) || !(stepover > 0) || !(base > 0)) {
    throw new RangeError(
      `ridge ≥ 0, stepover > 0 and base > 0 mm are needed, found ${ridge}, ${stepover}, ${base}`,
    );
  }
  const slope = ridge / stepover;
  const axis = rows === 'x' ? 'Y' : 'X';
  // A low rim on the advancing side cuts ahead of the next row: the board beyond it, cut by the next row alone, stands
  // higher. A low rim on the other side cuts into what the last row left: then the near side stands higher.
  const low = higherSide === 'far' ? `the +${axis} side` : `the −${axis} side`;
  return {
    tilt: Math.atan(slope),
    over200: 200 * slope,
    lowSide: low,
    shim: base * slope,
    advice:
      ridge === 0
        ? 'no step: the spindle does not lean across these rows'
        : `the cutter's rim on ${low} is low: turn the spindle about the ${rows.toUpperCase()} axis, or shim, then cut a patch with rows along ${axis} to see the other lean`,
  };
}
