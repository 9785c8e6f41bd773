/** Force on a sealed area, N: Δp [Pa] × area [mm²]. */
export function holdingForce(gauge: number, area: number): number {
  if (!(gauge >= 0) || !(area >= 0))
    throw new RangeError(`gauge and area must be 0 or more, found ${gauge}, ${area}`);
  return (gauge * area) / 1e6;
}

/** Share of the friction that may be used: half (common practice). */
export const ALLOWED_SHARE = 0.5;

/** Side load that a held part may bear, N: half of μ·N. */
export function lateralHold(force: number, friction: number): number {
  return ALLOWED_SHARE * friction * force;
}

/** Smallest sealed area that holds a stated side load, mm²: F / (½·μ·Δp). */
export function smallestPart(sideLoad: number, gauge: number, friction: number): number {
  if (!(gauge > 0) || !(friction > 0)) {
    throw new RangeError(`gauge and friction must be greater than 0, found ${gauge}, ${friction}`);
  }
  return (sideLoad / (ALLOWED_SHARE * friction * gauge)) * 1e6;
}
