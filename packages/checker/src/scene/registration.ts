import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { IDENTITY, type Point, type PointPair, register, type Transform } from '@bedledger/geometry';

/** A survey in the wrong unit is not taken for a bed of another size. */
const UNIT_SLIPS = [
  { name: 'inches', factor: 1 / MM_PER_INCH },
  { name: 'millimetres', factor: MM_PER_INCH },
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
  const sigma = record.house.survey.sigma;
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
  const fit = register(pairs, { sigma, model: 'auto', slips: UNIT_SLIPS });
  // With fewer than two coordinates left over a misread mark goes through unseen: the word of the owner counts then.
  if (fit.redundancy >= 2) {
    return { transform: fit.transform, uncertaintyAt: fit.uncertaintyAt, surveyed: true, known: true };
  }
  return {
    transform: fit.transform,
    uncertaintyAt: (nominal) => Math.max(fit.uncertaintyAt(nominal), atLeast),
    surveyed: true,
    known: word !== null,
  };
}
