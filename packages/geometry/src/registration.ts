import { hypotenuse } from './numbers.ts';
import type { Fit } from './registration-fit.ts';
import { fitModel, PARAMETERS } from './registration-fit.ts';
import type { PointPair, Registration, RegistrationModel, ScaleSlip, Shape } from './registration-model.ts';
import { unseenSpread } from './registration-unseen.ts';
import { chiSquareTail, fTail } from './statistics.ts';
import { applyTransform } from './transform.ts';
import type { Point } from './types.ts';

/** Level of every test: one survey in a hundred is called bad although it is as good as stated. */
const LEVEL = 0.01;
/** What a parameter of a richer model must explain to be worth having: χ²(1) exceeds it once in 370. */
const PRICE = 9;
/** The same for the two parameters that set one mark aside: χ²(2) exceeds it once in 400. */
const PRICE_OF_A_MARK = 12;
/** Marks from which on a suspect has to stand out from the scatter of the others. */
const ENOUGH_TO_TELL = 5;
/** How near the scale of the fit must come to a mistake's own, as a share. */
const NEAR_A_SLIP = 0.02;

/**
 * Fits measured points (`to`) onto nominal ones (`from`) by least squares.
 *
 * Formulas: with both sets centred, A = Σ(x·u + y·v), B = Σ(x·v − y·u), V = Σ(x² + y²): rigid cosine and sine
 * are A and B over √(A² + B²), similarity a = A/V, b = B/V; affine by the normal equations of the centred
 * set, scaled to its own spread. A mirrored map is never returned.
 *
 * With `auto` the model is translation for one place, rigid for more; a scale or a full affine map is taken
 * only where the rigid residuals contradict the stated sigma (chi-square, 1 %), the richer model explains
 * them (chi-square or F test, 1 %), and at least one (affine: two) measured coordinates are left over to
 * contradict it. No mark is suspected where a richer model within `most` explains all of them. A set with an
 * oddity is fitted rigidly, so that its residuals show.
 *
 * @param options.sigma standard deviation of one measured coordinate, mm
 * @param options.slips mistakes of scale to look for before anything else; default none
 * @param options.most how far the shape of the set may differ from the nominal one. With it the uncertainty counts what
 *   the chosen model cannot see, and a map beyond it is the last explanation tried; without, the model is taken as true
 * @throws RangeError for no pairs, coordinates that are not finite, a sigma that is not positive, a repeated
 *   id, or a model that the points cannot determine
 */
export function register<Slip extends string = never>(
  pairs: readonly PointPair[],
  options: {
    readonly sigma: number;
    readonly model?: RegistrationModel | 'auto';
    readonly slips?: readonly ScaleSlip<Slip>[];
    readonly most?: Shape;
  },
): Registration<Slip> {
  check(pairs, options.sigma);
  const { sigma } = options;
  const wanted = options.model ?? 'auto';
  const oddity = findOddity(pairs, sigma, options.slips ?? []);
  const choice = chooseAmong(
    pairs,
    { sigma, most: options.most ?? null },
    wanted !== 'auto' ? [wanted] : oddity !== 'none' ? [simplest(pairs)] : candidates(pairs),
  );
  const { model, fit } = choice;
  const residuals = pairs.map((pair) => {
    const [x, y] = applyTransform(fit.transform, pair.from);
    const dx = pair.to[0] - x;
    const dy = pair.to[1] - y;
    return { id: pair.id, dx, dy, length: hypotenuse(dx, dy) };
  });
  const redundancy = 2 * pairs.length - PARAMETERS[model];
  const sigmaFound = redundancy > 0 ? Math.sqrt(fit.squares / redundancy) : null;
  const contradicted = redundancy > 0 && chiSquareTail(fit.squares / (sigma * sigma), redundancy) < LEVEL;
  const sigmaUsed = contradicted && sigmaFound !== null ? Math.max(sigma, sigmaFound) : sigma;
  const shape = shapeOf(fit);
  const spreadAt =
    options.most === undefined || model === 'affine'
      ? (p: Point) => sigmaUsed * sigmaUsed * fit.spreadAt(p)
      : unseenSpread(pairs, { fit, turned: model !== 'translation', sigma: sigmaUsed, most: options.most });
  return {
    model,
    transform: fit.transform,
    residuals,
    redundancy,
    sigmaStated: sigma,
    sigmaFound,
    rotation: Math.atan2(fit.transform.d, fit.transform.a),
    ...shape,
    skew: model === 'affine' ? shape.skew : 0,
    suspect: oddity === 'none' && choice.suspect !== null ? pairs[choice.suspect.mark]!.id : null,
    suspectIsSure: oddity === 'none' && choice.suspect !== null && choice.suspect.sure,
    contradicted,
    oddity,
    uncertaintyAt: (p) => 2 * Math.sqrt(spreadAt(p)),
  };
}

/** Scales and deviation from a right angle of a fitted map. */
function shapeOf({ transform: { a, b, d, e } }: Fit): { scaleX: number; scaleY: number; skew: number } {
  const scaleX = hypotenuse(a, d);
  const scaleY = hypotenuse(b, e);
  return { scaleX, scaleY, skew: Math.asin(clamp((a * b + d * e) / (scaleX * scaleY))) };
}

/** Whether a bed can have the shape that a fit gives it: twice the most, because a fit has the scatter of its readings. */
function within(fit: Fit, most: Shape | null): boolean {
  if (most === null) return true;
  const { scaleX, scaleY, skew } = shapeOf(fit);
  return (
    Math.abs(scaleX - 1) <= 2 * most.stretch &&
    Math.abs(scaleY - 1) <= 2 * most.stretch &&
    Math.abs(skew) <= 2 * most.skew
  );
}

/**
 * Deviation of a bed's corner from a right angle, from its sides and diagonals (law of cosines):
 * asin((d1² − d2²)/(4·width·height)), radians. Positive when d1, the diagonal from the origin, is the
 * longer: the angle at the origin is then less than 90°.
 * @throws RangeError when a length is not positive or no such quadrilateral exists
 */
export function skewFromDiagonals(width: number, height: number, d1: number, d2: number): number {
  for (const length of [width, height, d1, d2]) {
    if (!(length > 0 && length < Infinity)) throw new RangeError(`length ${length} mm: expected more than 0`);
  }
  const sine = ((d1 - d2) * (d1 + d2)) / (4 * width * height);
  if (!(Math.abs(sine) <= 1)) {
    throw new RangeError(
      `diagonals ${d1} and ${d2} mm do not belong to sides of ${width} and ${height} mm: measure them again`,
    );
  }
  return Math.asin(sine);
}

interface Choice {
  readonly model: RegistrationModel;
  readonly fit: Fit;
  readonly suspect: { readonly mark: number; readonly sure: boolean } | null;
}

function check(pairs: readonly PointPair[], sigma: number): void {
  if (pairs.length === 0) throw new RangeError('registration of no points: expected at least one pair');
  if (!(sigma > 0 && sigma < Infinity)) throw new RangeError(`sigma ${sigma} mm: expected more than 0`);
  const seen = new Set<string>();
  for (const { id, from, to } of pairs) {
    if (![from[0], from[1], to[0], to[1]].every(Number.isFinite)) {
      throw new RangeError(`point ${id}: expected four finite coordinates, found [${from}] → [${to}]`);
    }
    if (seen.has(id)) throw new RangeError(`point ${id} is listed twice: expected every id once`);
    seen.add(id);
  }
}

function simplest(pairs: readonly PointPair[]): RegistrationModel {
  return fitModel(pairs, 'rigid') === null ? 'translation' : 'rigid';
}

/** Models in order of richness that the number and the places of the points allow to be contradicted. */
function candidates(pairs: readonly PointPair[]): RegistrationModel[] {
  const base = simplest(pairs);
  if (base === 'translation') return [base];
  const models: RegistrationModel[] = [base];
  if (pairs.length >= 3) models.push('similarity');
  if (pairs.length >= 4) models.push('affine');
  return models;
}

/**
 * The first model unless its residuals contradict sigma. Then the richer model that explains all marks, where the bed can
 * have its shape; then the best explanation among richer models and single misread marks: the least of what is left over
 * plus a price for every parameter (the idea of Akaike 1974, who takes 2; `PRICE` is dearer, because a wrong scale moves
 * every hole).
 */
function chooseAmong(
  pairs: readonly PointPair[],
  { sigma, most }: { readonly sigma: number; readonly most: Shape | null },
  models: readonly RegistrationModel[],
): Choice {
  const base = models[0]!;
  const fit = fitModel(pairs, base);
  if (fit === null) {
    throw new RangeError(
      `${pairs.length} point${pairs.length === 1 ? '' : 's'} cannot determine a ${base} map: expected ${
        base === 'affine' ? 'three places that are not on one line' : 'two different places'
      }`,
    );
  }
  const variance = sigma * sigma;
  const leftOver = (model: RegistrationModel): number => 2 * pairs.length - PARAMETERS[model];
  const explains = (squares: number, left: number): boolean =>
    left > 0 && chiSquareTail(squares / variance, left) >= LEVEL;
  const plain: Choice = { model: base, fit, suspect: null };
  const freedom = leftOver(base);
  if (freedom <= 0 || explains(fit.squares, freedom)) return plain;

  const whole = models.flatMap((model) => {
    const all = fitModel(pairs, model);
    if (all === null) return [];
    return [
      { model, fit: all, left: leftOver(model), score: all.squares / variance + PRICE * PARAMETERS[model] },
    ];
  });
  const sound = whole.filter((w) => explains(w.fit.squares, w.left) && within(w.fit, most));
  if (sound.length > 0) {
    const { model, fit: all } = sound.reduce((best, one) => (one.score < best.score ? one : best));
    return { model, fit: all, suspect: null };
  }

  const justified = (squares: number, left: number): boolean => {
    if (left <= 0) return false;
    if (explains(squares, left)) return true;
    const spent = freedom - left;
    return fTail((fit.squares - squares) / spent / (squares / left), spent, left) < LEVEL;
  };
  let best = plain;
  let bestScore = whole[0]!.score;
  for (const { model, fit: all, left, score } of whole) {
    // A shape that no bed has is taken only where no misread mark explains the set.
    const dear = within(all, most) ? 0 : 2 * PRICE_OF_A_MARK;
    if (model !== base && score + dear < bestScore && justified(all.squares, left)) {
      best = { model, fit: all, suspect: null };
      bestScore = score + dear;
    }
    for (const { mark, sure, agrees, squares } of suspects(pairs, model, all, { variance, most })) {
      if (model !== base && !agrees && !justified(all.squares, left)) continue;
      const spent = squares / variance + PRICE * PARAMETERS[model] + PRICE_OF_A_MARK;
      if (spent >= bestScore) continue;
      // The mark is named, never dropped: the fit stays the one over all marks.
      best = { model, fit: all, suspect: { mark, sure } };
      bestScore = spent;
    }
  }
  return best;
}

/**
 * The marks without which the others agree: as well as stated, or far better with each other than with it (every mark could
 * have been the odd one, so that the level is divided by their number). With enough marks a misread one must stand out from
 * the scatter of the others, because the stated deviation may be what is wrong.
 */
function* suspects(
  pairs: readonly PointPair[],
  model: RegistrationModel,
  all: Fit,
  { variance, most }: { readonly variance: number; readonly most: Shape | null },
): Generator<{
  readonly mark: number;
  readonly sure: boolean;
  readonly agrees: boolean;
  readonly squares: number;
}> {
  const left = 2 * (pairs.length - 1) - PARAMETERS[model];
  if (left <= 0) return;
  for (let mark = 0; mark < pairs.length; mark++) {
    const others = fitModel(
      pairs.filter((_, i) => i !== mark),
      model,
    );
    if (others === null || !within(others, most)) continue;
    const { squares } = others;
    const agrees = chiSquareTail(squares / variance, left) >= LEVEL;
    const chance = fTail((all.squares - squares) / 2 / (squares / left), 2, left);
    const sure = pairs.length > 3 && chance < LEVEL / pairs.length;
    if (!agrees && !sure) continue;
    if (sure || pairs.length < ENOUGH_TO_TELL) yield { mark, sure, agrees, squares };
  }
}

/** Mistakes that leave a pattern: another scale, a mirrored axis, two marks exchanged. */
function findOddity<Slip extends string>(
  pairs: readonly PointPair[],
  sigma: number,
  slips: readonly ScaleSlip<Slip>[],
): Registration<Slip>['oddity'] {
  const rigid = fitModel(pairs, 'rigid');
  const similar = fitModel(pairs, 'similarity');
  if (rigid === null || similar === null) return 'none';
  const n = pairs.length;
  const spread = spreadOf(pairs.map((p) => p.from));
  // A hundredth of the set's extent (squared here) is far beyond any survey and far below what these mistakes do.
  const gross = (squares: number): boolean =>
    squares > 1e-4 * spread && chiSquareTail(squares / (sigma * sigma), Math.max(1, 2 * n - 3)) < LEVEL;
  const scale = hypotenuse(similar.transform.a, similar.transform.d);
  if (gross(rigid.squares) && similar.squares < 1e-3 * scale * scale * spread) {
    const slip = slips.find(({ factor }) => Math.abs(scale / factor - 1) < NEAR_A_SLIP);
    if (slip !== undefined) return slip.name;
  }
  // Two points always fit; exchanged they come out turned by half a turn.
  const turnedOver = n === 2 && rigid.transform.a < -0.9;
  if (!turnedOver && !gross(rigid.squares)) return 'none';
  const explains = (squares: number): boolean =>
    turnedOver || (!gross(squares) && squares < rigid.squares / 100);
  const swap = likeliestSwap(pairs, explains);
  // A bed is never turned far, so an exchange that leaves it nearly straight wins over a mirror image.
  if (swap !== null && swap.fit.transform.a > 0.9) return { swapped: swap.ids };
  const mirrored = fitModel(
    pairs.map((p) => ({ ...p, from: [-p.from[0], p.from[1]] as const })),
    'rigid',
  );
  if (n >= 3 && mirrored !== null && explains(mirrored.squares)) return 'mirrored';
  return swap === null ? 'none' : { swapped: swap.ids };
}

/** Of the exchanges of two readings that explain the set, the one that turns the bed least; null when there is none. */
function likeliestSwap(
  pairs: readonly PointPair[],
  explains: (squares: number) => boolean,
): { readonly ids: readonly [string, string]; readonly fit: Fit } | null {
  let likeliest: { readonly ids: readonly [string, string]; readonly fit: Fit } | null = null;
  for (let i = 0; i < pairs.length; i++) {
    for (let j = i + 1; j < pairs.length; j++) {
      const [p, q] = [pairs[i]!, pairs[j]!];
      const exchanged = pairs.map((pair, k) =>
        k === i ? { ...pair, to: q.to } : k === j ? { ...pair, to: p.to } : pair,
      );
      const fit = fitModel(exchanged, 'rigid');
      if (fit === null || !explains(fit.squares)) continue;
      const turned = likeliest === null ? -Infinity : likeliest.fit.transform.a;
      const straighter = fit.transform.a > turned + 1e-6;
      const asStraight = fit.transform.a > turned - 1e-6;
      if (straighter || (asStraight && fit.squares < likeliest!.fit.squares))
        likeliest = { ids: [p.id, q.id], fit };
    }
  }
  return likeliest;
}

function spreadOf(points: readonly Point[]): number {
  const n = points.length;
  const x = points.reduce((sum, p) => sum + p[0], 0) / n;
  const y = points.reduce((sum, p) => sum + p[1], 0) / n;
  return points.reduce((sum, p) => sum + (p[0] - x) * (p[0] - x) + (p[1] - y) * (p[1] - y), 0);
}

function clamp(sine: number): number {
  return Math.max(-1, Math.min(1, sine));
}
