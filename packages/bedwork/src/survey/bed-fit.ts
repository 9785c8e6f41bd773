import type { Diagnostic } from '@bedledger/diagnostics';
import { fineLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import {
  applyTransform,
  IDENTITY,
  invertTransform,
  type Point,
  type PointPair,
  type Registration,
  type Transform,
} from '@bedledger/geometry';
import { profilePlace, surveyPlace } from '../base/places.ts';
import { report } from '../report.ts';
import { checksItself, fitMarks } from './mark-fit.ts';
import type { UnitSlip } from './scale-slips.ts';
import { surveyFindings } from './survey-findings.ts';

/** How the drawing of the bed lies in the machine's own coordinates. */
export interface BedFit {
  /** Null when nothing has been measured, or when what was measured cannot be a bed. */
  readonly registration: Registration | null;
  readonly toActual: (p: Point) => Point;
  readonly toNominal: (p: Point) => Point;
  readonly transform: Transform;
  readonly inverse: Transform;
  /** Position uncertainty of a mapped nominal point, k = 2, mm. */
  readonly uncertaintyAt: (p: Point) => number;
  readonly findings: readonly Diagnostic[];
}

/** The pairs of a record's survey that somebody has measured. */
export function measuredPairs(record: MachineRecord): PointPair[] {
  const pairs: PointPair[] = [];
  for (const f of record.survey?.features ?? []) {
    if (f.measured !== null) pairs.push({ id: f.id, from: f.nominal, to: f.measured });
  }
  return pairs;
}

/**
 * Fits the survey of a record: nominal bed frame to surveyed frame.
 * Without a survey the frames coincide and a warning says so; the uncertainty is twice the house's measuring deviation, or
 * the deviation to which the owner vouches for the drawing where that is more. A survey that cannot check itself is worth
 * no more than what he vouches for either.
 * A survey that cannot be trusted leaves the frames coinciding too, with a finding that stops.
 */
export function fitBed(record: MachineRecord): BedFit {
  const pairs = measuredPairs(record);
  const sigma = record.house.survey.sigma;
  const { vouched } = record.state;
  const { units } = record.machine;
  const place = surveyPlace(record) ?? profilePlace(record);
  if (pairs.length === 0) {
    if (vouched !== null) return unfitted(Math.max(2 * sigma, vouched), [vouchedFinding(record, vouched)]);
    return unfitted(2 * sigma, [
      report({
        code: 'survey/none',
        message: `bed not surveyed: features are taken where the drawing has them, give or take ${fineLength(2 * sigma, units)}; features of real beds are found ${units === 'mm' ? '2.5 to 5 mm' : '0.1 to 0.2 in'} away from the drawing (common practice)`,
        place,
      }),
    ]);
  }
  let registration: Registration<UnitSlip>;
  try {
    registration = fitMarks(record, pairs);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return unfitted(2 * sigma, [
      report({
        code: 'survey/unusable',
        message: `the survey cannot be fitted: ${error.message}`,
        place,
      }),
    ]);
  }
  const findings = surveyFindings(record, pairs, registration);
  if (registration.oddity !== 'none') {
    return { ...unfitted(2 * sigma, findings), registration: null };
  }
  const inverse = invertTransform(registration.transform);
  return {
    registration,
    transform: registration.transform,
    inverse,
    toActual: (p) => applyTransform(registration.transform, p),
    toNominal: (p) => applyTransform(inverse, p),
    uncertaintyAt:
      vouched === null || checksItself(registration)
        ? registration.uncertaintyAt
        : (p) => Math.max(registration.uncertaintyAt(p), vouched),
    findings,
  };
}

function vouchedFinding(record: MachineRecord, deviation: number): Diagnostic {
  const { units } = record.machine;
  return report({
    code: 'survey/vouched',
    message: `bed not surveyed: its owner vouches for the drawing to ${fineLength(deviation, units)}, which counts in every clearance`,
    place: profilePlace(record),
    facts: { deviation },
  });
}

function unfitted(uncertainty: number, findings: readonly Diagnostic[]): BedFit {
  return {
    registration: null,
    transform: IDENTITY,
    inverse: IDENTITY,
    toActual: (p) => p,
    toNominal: (p) => p,
    uncertaintyAt: () => uncertainty,
    findings,
  };
}
