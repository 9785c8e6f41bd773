/**
 * How far the board moves at a distance from the point it is held at, mm: share per percentage point × swing ×
 * reach [published: mdf-info.eu, 0.05 % per 1 % moisture]. 1364 mm at 3 points: 2.046 mm.
 */
export function boardGrowth(reach: number, moistureSwing: number, growthPerPercent: number): number {
  return growthPerPercent * moistureSwing * reach;
}

/** Room a hole leaves a centred screw on each side, mm: (d_hole − d_screw)/2. 17/64 in on 1/4 in: 0.198 mm. */
export function radialFloat(hole: number, screw: number): number {
  return (hole - screw) / 2;
}
