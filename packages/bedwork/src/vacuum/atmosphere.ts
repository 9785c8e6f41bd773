/** Standard atmosphere, Pa, exact. */
export const STANDARD_ATMOSPHERE = 101_325;
/** Radius used for geopotential height, m: ISO 2533. */
const EARTH = 6_356_766;

/**
 * Atmospheric pressure below 11 km, Pa: 101325·(1 − 0.0065·H/288.15)^5.25588, H = r·Z/(r + Z)
 * (ISO 2533 / US Standard Atmosphere 1976).
 *
 * @param altitude - geometric, m, −1000 … 11 000
 */
export function atmosphericPressure(altitude: number): number {
  if (!(altitude >= -1000 && altitude <= 11_000)) {
    throw new RangeError(`the altitude must be within −1000 … 11 000 m, found ${altitude}`);
  }
  const h = (EARTH * altitude) / (EARTH + altitude);
  // exp and log instead of a power: a power of a fraction differs between versions of the engine.
  return STANDARD_ATMOSPHERE * Math.exp(5.25588 * Math.log(1 - (0.0065 * h) / 288.15));
}

/** True when a gauge cannot read this much where the machine stands. */
export function beyondAtmosphere(gauge: number, altitude: number): boolean {
  return gauge > atmosphericPressure(altitude);
}
