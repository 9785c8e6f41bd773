/** Usual point angle of a jobber drill, degrees. */
export const JOBBER_POINT = 118;

/** Length of a drill's point, mm: (D/2)/tan(angle/2): 0.30043·D at 118°, 0.20711·D at 135°. Angle in degrees, full. */
export function drillPointLength(diameter: number, angle: number = JOBBER_POINT): number {
  if (!(angle > 0 && angle <= 180))
    throw new RangeError(`a drill's point angle is above 0° and at most 180°, not ${angle}°`);
  if (angle === 180) return 0;
  return diameter / 2 / Math.tan((angle * Math.PI) / 360);
}
