/** Viscosity of air, Pa·s. */
export const AIR_VISCOSITY = 1.81e-5;
/** Published range of MDF's permeability, m² (J. Wood & Forest Sci. Tech.). */
export const MDF_PERMEABILITY: readonly [number, number] = [0.38e-13, 6.26e-13];
/** Density of air at 20 °C and 1 atm, kg/m³, and the flow coefficient of a plain hole (from memory). */
const AIR_DENSITY = 1.204;
const HOLE_COEFFICIENT = 0.62;

/**
 * Free air drawn through a board, m³/h: Q = k·A·(p1² − p2²)/(2·μ·t·p1) (compressible Darcy).
 *
 * @param area - mm²
 * @param thickness - mm
 * @param permeability - m²
 * @param above - absolute pressure above the board, Pa
 * @param below - absolute pressure below it, Pa
 */
export function boardLeak(
  area: number,
  thickness: number,
  permeability: number,
  above: number,
  below: number,
): number {
  if (!(thickness > 0) || !(above > 0) || !(below >= 0) || below > above) {
    throw new RangeError(
      `thickness > 0 and 0 ≤ p2 ≤ p1 are needed, found ${thickness} mm, ${above} and ${below} Pa`,
    );
  }
  const perSecond =
    (permeability * (area / 1e6) * (above * above - below * below)) /
    (2 * AIR_VISCOSITY * (thickness / 1000) * above);
  return perSecond * 3600;
}

/**
 * Free air drawn through a plain hole into the plenum, m³/h: C·A·√(2·Δp/ρ), choked at 0.472 of the pressure above
 * (from memory: an order of magnitude, enough to see that one open hole outweighs a square metre of board).
 */
export function holeLeak(diameter: number, above: number, below: number): number {
  const area = (Math.PI / 4) * (diameter / 1000) * (diameter / 1000);
  const drop = Math.min(above - below, 0.472 * above);
  return HOLE_COEFFICIENT * area * Math.sqrt((2 * drop) / AIR_DENSITY) * 3600;
}

/**
 * Permeability of the board on the bed from two gauge readings, m²; null when the readings cannot say.
 *
 * Covered with film the pump meets only leaks that are there anyway; uncovered the board adds its flow. The pump's flow
 * is taken as linear in absolute pressure between open intake and its covered reading (from memory), so the flow that
 * the board adds is the pump's at the uncovered reading.
 */
export function calibratePermeability(input: {
  readonly covered: number;
  readonly uncovered: number;
  readonly pumpFlow: number;
  readonly pumpGauge: number;
  readonly area: number;
  readonly thickness: number;
  readonly atmosphere: number;
}): number | null {
  const { covered, uncovered, pumpFlow, pumpGauge, area, thickness, atmosphere } = input;
  if (!(covered > uncovered) || !(uncovered > 0) || !(pumpFlow > 0) || covered >= atmosphere) return null;
  if (!(pumpGauge < covered)) return null;
  // Free-air flow falls from the stated point to nothing more than the leaks at the covered reading.
  const added = (pumpFlow * (covered - uncovered)) / (covered - pumpGauge);
  const perUnit = boardLeak(area, thickness, 1, atmosphere, atmosphere - uncovered);
  return perUnit > 0 ? added / perUnit : null;
}
