/** Volume (mm³) and mass (kg) of what a skim takes off: area mm² × mean depth mm; density kg/m³. */
export function dustFrom(area: number, meanDepth: number, density: number): { volume: number; mass: number } {
  if (!(area >= 0) || !(meanDepth >= 0) || !(density > 0)) {
    throw new RangeError(
      `area, depth ≥ 0 and density > 0 are needed, found ${area}, ${meanDepth}, ${density}`,
    );
  }
  const volume = area * meanDepth;
  return { volume, mass: (volume * density) / 1e9 };
}
