/**
 * Deflection of a board on point supports, and the pitch that keeps it within a limit.
 *
 * Units here: lengths mm, pressure Pa, modulus GPa. Plate stiffness D = E·t³/(12(1−ν²)) in N·mm.
 */

/** Centre of a panel of a square grid of point supports: w = 0.0058004·q·a⁴/D. It is G/16π², G Catalan's constant; Timoshenko and Woinowsky-Krieger, flat slabs, print 0.00581. */
export const GRID_CENTRE = 0.0058004;
/** Midway between two neighbouring supports of the same grid: w = 0.0043503·q·a⁴/D. */
export const GRID_MIDPOINT = 0.0043503;
/** A square panel on its four corners only, ν 0.25: w = 0.02567·q·a⁴/D. Derived; the worst that a corner panel can be. */
export const CORNER_PANEL = 0.02567;

/** An outer gap shorter than an inner one by this factor deflects no more, even if the corner panel has no help from its neighbours: (0.0058004/0.02567)^¼. */
export const OUTER_SHARE = fourthRoot(GRID_CENTRE / CORNER_PANEL);

export interface Plate {
  /** Bending modulus, GPa. */
  readonly modulus: number;
  readonly poisson: number;
  /** mm. */
  readonly thickness: number;
}

/**
 * Plate stiffness D = E·t³/(12(1−ν²)), in N·mm (1 N·m = 1000 N·mm).
 * @throws RangeError when a figure is not positive or ν is not below 1.
 */
export function plateStiffness(plate: Plate): number {
  positive('modulus', plate.modulus);
  positive('thickness', plate.thickness);
  if (!(plate.poisson >= 0 && plate.poisson < 1)) {
    throw new RangeError(`Poisson's ratio must be in [0, 1), found ${plate.poisson}`);
  }
  const megapascal = plate.modulus * 1000;
  const t = plate.thickness;
  return (megapascal * t * t * t) / (12 * (1 - plate.poisson * plate.poisson));
}

/**
 * Deflection of an endless plate on a square grid of point supports, mm.
 * @param pitch mm @param pressure Pa
 */
export function gridDeflection(plate: Plate, pitch: number, pressure: number): number {
  return panelDeflection(GRID_CENTRE, plate, pitch, pressure);
}

/** Deflection at the centre of a square panel on its four corners only, mm: an outer corner panel at its worst. */
export function cornerDeflection(plate: Plate, pitch: number, pressure: number): number {
  return panelDeflection(CORNER_PANEL, plate, pitch, pressure);
}

function panelDeflection(share: number, plate: Plate, pitch: number, pressure: number): number {
  positive('pitch', pitch);
  const load = pressure / 1e6;
  return (share * load * pitch * pitch * pitch * pitch) / plateStiffness(plate);
}

/**
 * Greatest pitch of a square grid of sites, mm: a = (w·D / (0.0058004·q))^¼.
 * Goes with t^¾, so the least thickness of the board's life governs.
 * @param lift pressure Pa and allowed deflection mm
 * @throws RangeError when a figure is not positive.
 */
export function platePitch(
  plate: Plate,
  lift: { readonly pressure: number; readonly deflection: number },
): number {
  positive('pressure', lift.pressure);
  positive('deflection', lift.deflection);
  return fourthRoot((lift.deflection * plateStiffness(plate)) / (GRID_CENTRE * (lift.pressure / 1e6)));
}

/** Force on one inner site of a rectangular grid, N: q·a·b. */
export function sitePull(pressure: number, a: number, b: number): number {
  return (pressure / 1e6) * a * b;
}

/**
 * Deflection factor k of an endless plate on a rectangular grid of point supports: w(x,y) = k·q·a⁴/D.
 *
 * The series is Σ′[1 − cos(2πmx/a)·cos(2πny/b)] / [(2πm/a)² + (2πn/b)²]² over all whole m, n but (0,0), zero at the
 * supports. The sum over n is done in closed form (Σ cos(nθ)/(n²+c²) = π·cosh(c(π−θ))/(c·sinh(cπ)), differentiated by
 * c), which leaves a single sum whose terms fall as m⁻³; its tail is added by the integral.
 *
 * @param x,y place in the panel, as shares of a and b, 0 at a support
 * @param ratio b/a
 * @throws RangeError when ratio is not positive.
 */
export function gridFactor(x: number, y: number, ratio: number): number {
  positive('ratio', ratio);
  const share = y - Math.floor(y);
  const theta = 2 * Math.PI * share;
  const beta = (2 * Math.PI) / ratio; // a = 1
  const beta4 = beta * beta * beta * beta;
  // m = 0: 2·Σ (1 − cos nθ)/n⁴, closed form of the fourth Bernoulli polynomial.
  const t2 = theta * theta;
  const zero = 2 * ((Math.PI * Math.PI * t2) / 12 - (Math.PI * t2 * theta) / 12 + (t2 * t2) / 48);
  let sum = 0;
  const terms = 400;
  for (let m = terms; m >= 1; m--) {
    const c = m * ratio;
    sum += 2 * (squareSum(c, 0) - Math.cos(2 * Math.PI * m * x) * squareSum(c, theta));
  }
  // For large m the first part is π/(2c³) to within e^(−2πc); Σ m⁻³ beyond N is 1/(2(N+½)²) to O(N⁻⁴). The cosine
  // part dies by e^(−cθ) or, on the line θ = 0, by its oscillation.
  const tail = (2 * Math.PI) / (2 * ratio * ratio * ratio) / (2 * (terms + 0.5) * (terms + 0.5));
  const whole = x - Math.floor(x);
  const onSupportLine = theta === 0;
  return (zero + sum + (onSupportLine && whole === 0 ? 0 : tail)) / beta4;
}

/** Σ over all whole n of cos(nθ)/(n²+c²)², θ in [0, 2π). */
function squareSum(c: number, theta: number): number {
  const full = Math.exp(-2 * Math.PI * c);
  const e1 = Math.exp(-c * theta);
  const e2 = Math.exp(-c * (2 * Math.PI - theta));
  const down = 1 - full;
  const ratio = (e1 + e2) / down;
  const slope =
    ((-theta * e1 - (2 * Math.PI - theta) * e2) * down - (e1 + e2) * 2 * Math.PI * full) / (down * down);
  const derivative = (-Math.PI / (c * c)) * ratio + (Math.PI / c) * slope;
  return -derivative / (2 * c);
}

function fourthRoot(v: number): number {
  return Math.sqrt(Math.sqrt(v));
}

function positive(name: string, v: number): void {
  if (!(v > 0) || !Number.isFinite(v)) throw new RangeError(`${name} must be a positive number, found ${v}`);
}
