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
}

/**
 * Fits the surveyed features, on its own account. Without a usable survey the drawing is taken as it stands, with
 * twice the house's survey sigma as the uncertainty.
 */
export function placeBed(record: MachineRecord): BedPlacement {
  const sigma = record.house.survey.sigma;
  const pairs: PointPair[] = [];
  for (const feature of record.survey?.features ?? []) {
    if (feature.measured) pairs.push({ id: feature.id, from: feature.nominal, to: feature.measured });
  }
  if (pairs.length === 0) {
    return { transform: IDENTITY, uncertaintyAt: () => 2 * sigma, surveyed: false };
  }
  const fit = register(pairs, { sigma, model: 'auto', slips: UNIT_SLIPS });
  return { transform: fit.transform, uncertaintyAt: fit.uncertaintyAt, surveyed: true };
}
