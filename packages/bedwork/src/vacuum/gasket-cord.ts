import { lengthText, type Units } from '@bedledger/diagnostics';

/** A cord in its channel: does it seal, or does it lift the board? Lengths mm, shares of 1. */
export interface CordFit {
  /** Cord left standing above the bed when nothing lies on it. */
  readonly standing: number;
  /** Share of its height that is squeezed out when the board lies on the bed. */
  readonly squeeze: number;
  /** Cord section over channel section. */
  readonly fill: number;
  readonly verdict: 'seals' | 'too-low' | 'lifts-board' | 'overfilled' | 'too-wide';
  readonly advice: string;
}

/** Least and greatest squeeze of a soft closed-cell cord, and greatest fill (common practice, no source). */
export const CORD_LIMITS = { squeezeLeast: 0.1, squeezeMost: 0.4, fillMost: 0.95 } as const;

/**
 * Fill, squeeze and standing height of a gasket cord.
 *
 * round: section π/4·s²; square: s². fill = section / (width·depth); standing = s − depth; squeeze = standing / s.
 */
export function cordFit(
  cord: { readonly form: 'round' | 'square'; readonly size: number },
  channel: { readonly width: number; readonly depth: number },
  units: Units = 'mm',
): CordFit {
  const { size } = cord;
  const { width, depth } = channel;
  if (!(size > 0) || !(width > 0) || !(depth > 0)) {
    throw new RangeError(`cord and channel must be greater than 0 mm, found ${size}, ${width} × ${depth}`);
  }
  const section = cord.form === 'round' ? (Math.PI / 4) * size * size : size * size;
  const fill = section / (width * depth);
  const standing = size - depth;
  const squeeze = standing / size;
  const { squeezeLeast, squeezeMost, fillMost } = CORD_LIMITS;
  const fit = (verdict: CordFit['verdict'], advice: string): CordFit => ({
    standing,
    squeeze,
    fill,
    verdict,
    advice,
  });
  if (size > width && cord.form === 'square')
    return fit(
      'too-wide',
      `a square cord of ${lengthText(size, units)} does not enter a channel ${lengthText(width, units)} wide`,
    );
  if (squeeze < squeezeLeast) {
    return fit(
      'too-low',
      `the cord stands ${lengthText(standing, units)}: at least ${lengthText(size * squeezeLeast, units)} is needed to seal`,
    );
  }
  if (fill > fillMost) {
    return fit(
      'overfilled',
      `the cord fills ${Math.round(fill * 100)} % of its channel: it cannot give way and lifts the board`,
    );
  }
  if (squeeze > squeezeMost) {
    return fit(
      'lifts-board',
      `the cord would be squeezed by ${Math.round(squeeze * 100)} %: it lifts the board`,
    );
  }
  return fit('seals', 'the cord seals and the board lies on the bed');
}
