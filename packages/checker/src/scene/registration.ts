import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import {
  IDENTITY,
  type Point,
  type PointPair,
  type Registration,
  register,
  type Transform,
} from '@bedledger/geometry';

/** A survey in the wrong unit, or with a point one place off, is not taken for a bed of another size. */
const UNIT_SLIPS = [
  { name: 'inches', factor: 1 / MM_PER_INCH },
  { name: 'millimetres', factor: MM_PER_INCH },
  { name: 'point to the left', factor: 0.1 },
  { name: 'point to the right', factor: 10 },
] as const;

/** Where the drawing of the bed lies in the machine's own frame, as the survey has it. */
export interface BedPlacement {
  readonly transform: Transform;
  /** Position uncertainty (k = 2) of a nominal point once it is mapped, mm. */
  readonly uncertaintyAt: (nominal: Point) => number;
  readonly surveyed: boolean;
  /** Measured well enough to find a misread mark, or vouched for by the owner: the bed may be cut. */
  readonly known: boolean;
}

/**
 * Fits the surveyed features, on its own account. Without a usable survey the drawing is taken as it stands, with
 * twice the house's survey sigma as the uncertainty, or with the deviation that the owner vouches for where that is more.
 */
export function placeBed(record: MachineRecord): BedPlacement {
  const { sigma, stretch, skew } = record.house.survey;
  const word = record.state.vouched;
  const atLeast = word ?? 0;
  const pairs: PointPair[] = [];
  for (const feature of record.survey?.features ?? []) {
    if (feature.measured) pairs.push({ id: feature.id, from: feature.nominal, to: feature.measured });
  }
  if (pairs.length === 0) {
    const uncertainty = Math.max(2 * sigma, atLeast);
    return {
      transform: IDENTITY,
      uncertaintyAt: () => uncertainty,
      surveyed: false,
      known: word !== null,
    };
  }
  const fit = register(pairs, { sigma, model: 'auto', slips: UNIT_SLIPS, most: { stretch, skew } });
  if (findsAMisreadMark(fit, { stretch, skew })) {
    return { transform: fit.transform, uncertaintyAt: fit.uncertaintyAt, surveyed: true, known: true };
  }
  return {
    transform: fit.transform,
    uncertaintyAt: (nominal) => Math.max(fit.uncertaintyAt(nominal), atLeast),
    surveyed: true,
    known: word !== null,
  };
}

/**
 * With fewer than two coordinates left over a misread mark goes through unseen; with two scales and a skew in the fit two
 * marks misread alike do so up to five marks, and a bed of a shape that no machine has is such a mistake. The word of the
 * owner counts then.
 */
function findsAMisreadMark(
  fit: Registration,
  most: { readonly stretch: number; readonly skew: number },
): boolean {
  if (fit.oddity !== 'none') return false;
  if (fit.model === 'translation' || fit.model === 'rigid') return fit.redundancy >= 2;
  const shaped =
    Math.abs(fit.scaleX - 1) <= most.stretch &&
    Math.abs(fit.scaleY - 1) <= most.stretch &&
    Math.abs(fit.skew) <= most.skew;
  return shaped && fit.residuals.length >= (fit.model === 'affine' ? 6 : 4);
}
