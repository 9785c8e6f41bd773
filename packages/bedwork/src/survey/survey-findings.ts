import { type Diagnostic, fineLength, type Place, rounded } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, distance, type PointPair, type Registration, register } from '@bedledger/geometry';
import { boardBox, boxCorners } from '../base/board.ts';
import { surveyPlace } from '../base/places.ts';
import { report } from '../report.ts';
import { UNIT_SLIPS, type UnitSlip } from './scale-slips.ts';

/** Everything about a fitted survey that a person must know before trusting it. The most serious first. */
export function surveyFindings(
  record: MachineRecord,
  pairs: readonly PointPair[],
  registration: Registration<UnitSlip>,
): Diagnostic[] {
  const place = surveyPlace(record) ?? undefined;
  const odd = oddityFinding(place, registration);
  if (odd !== null) return [odd];
  const out = [
    ...bedPlaceFindings(record, place, registration),
    ...residualFindings(record, place, pairs, registration),
    ...redundancyFindings(place, pairs.length, registration),
  ];
  if (!out.some((d) => d.severity === 'stop')) out.push(...spreadFindings(record, place, registration));
  return out;
}

/** What no bed can be: other units, a mirror image, two marks exchanged. Null when the set is a plain one. */
function oddityFinding(
  place: Place | undefined,
  { oddity, scaleX }: Registration<UnitSlip>,
): Diagnostic | null {
  switch (oddity) {
    case 'none':
      return null;
    case 'inch-for-mm':
      return report({
        place,
        code: 'survey/units',
        message:
          'the measured positions are 25.4 times smaller than the drawing: inches were written where millimetres are expected',
        facts: { scale: scaleX },
        help: 'state `in` as the unit of the measured columns, or write the readings in millimetres',
      });
    case 'mm-for-inch':
      return report({
        place,
        code: 'survey/units',
        message:
          'the measured positions are 25.4 times larger than the drawing: millimetres were written where inches are expected',
        facts: { scale: scaleX },
        help: 'state `mm` as the unit of the measured columns, or write the readings in inches',
      });
    case 'mirrored':
      return report({
        place,
        code: 'survey/mirrored',
        message:
          'the measured positions are a mirror image of the drawing: an axis counts the wrong way, or two marks or two columns are exchanged',
      });
    default: {
      const [a, b] = oddity.swapped;
      return report({
        place,
        code: 'survey/swapped',
        message: `the readings of ${a} and ${b} are exchanged: with the two swapped back the set fits`,
        facts: { first: a, second: b },
        help: `exchange the measured values of ${a} and ${b}, or visit both marks again`,
      });
    }
  }
}

/** Marks that do not fit, or fit worse than the others. */
function residualFindings(
  record: MachineRecord,
  place: Place | undefined,
  pairs: readonly PointPair[],
  registration: Registration,
): Diagnostic[] {
  const { limit, sigma } = record.house.survey;
  const length = (mm: number): string => fineLength(mm, record.machine.units);
  const { suspect } = registration;
  const worst = worstResidual(registration);
  const alone = suspect === null ? null : misfitAlone(pairs, suspect, sigma);
  const apart = alone === null ? '' : `, ${length(alone)} from where the others put it`;
  if (worst !== null && worst.length > limit) {
    const few = pairs.length <= 3 ? ` (with ${pairs.length} marks no fit can tell which one is wrong)` : '';
    return [
      report({
        place,
        code: 'survey/residual',
        message:
          suspect !== null
            ? `${suspect} does not fit the other marks${apart}: the largest residual of all is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and without ${suspect} the others agree`
            : `the marks do not fit the drawing: the largest residual is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and no single mark explains it${few}`,
        facts: { mark: suspect ?? worst.id, residual: rounded(worst.length, 3), limit },
        help:
          suspect !== null
            ? `measure ${suspect} again`
            : `measure ${worst.id} again, then the mark farthest from it`,
      }),
    ];
  }
  if (suspect === null) return [];
  const residual = registration.residuals.find((r) => r.id === suspect)?.length ?? 0;
  return [
    report({
      place,
      code: 'survey/suspect',
      message: `${suspect} fits worse than the other marks${apart} (residual ${length(residual)}, within the house limit of ${length(limit)})`,
      facts: { mark: suspect, residual: rounded(residual, 3), limit },
      help: `measure ${suspect} again before the bed is marked`,
    }),
  ];
}

/** Too few marks to notice a misread one. */
function redundancyFindings(
  place: Place | undefined,
  marks: number,
  { redundancy, model }: Registration,
): Diagnostic[] {
  if (redundancy === 0) {
    return [
      report({
        place,
        code: 'survey/not-checkable',
        message: `${marks === 1 ? 'one mark gives' : `${marks} marks give`} a position without any check: a misread mark would not show`,
        facts: { marks },
      }),
    ];
  }
  if (marks !== 2 || model !== 'rigid') return [];
  return [
    report({
      place,
      code: 'survey/little-check',
      message: 'two marks check each other by their distance only: a mark misread sideways would not show',
      facts: { marks },
    }),
  ];
}

/** Readings that scatter by more than three times what the house reckons with. */
function spreadFindings(
  record: MachineRecord,
  place: Place | undefined,
  { sigmaFound, sigmaStated, redundancy }: Registration,
): Diagnostic[] {
  if (sigmaFound === null || redundancy < 3 || sigmaFound <= 3 * sigmaStated) return [];
  const length = (mm: number): string => fineLength(mm, record.machine.units);
  return [
    report({
      place,
      code: 'survey/spread',
      message: `the marks scatter by ${length(sigmaFound)} (1σ) though the house reckons with ${length(sigmaStated)}`,
      facts: { found: rounded(sigmaFound, 3), stated: sigmaStated },
    }),
  ];
}

/** Farther than this from the drawing a bed is not expected: features are found 2.5 to 5 mm away (common practice), mm. */
const FAR = 10;
/** A bed turned by more than this against the axes is another bed, or its marks are exchanged: 2°, rad (ours). */
const TURNED = (2 * Math.PI) / 180;

/**
 * Is the bed where a bed can be? Boards are laid and surfaced along the axes of the machine, and a site keeps its place on
 * the bed: what the fit turns or shifts, the sites move on the board.
 */
function bedPlaceFindings(
  record: MachineRecord,
  place: Place | undefined,
  registration: Registration,
): Diagnostic[] {
  const { units } = record.machine;
  const [frontLeft, frontRight] = boxCorners(boardBox(record.machine));
  const origin = applyTransform(registration.transform, frontLeft);
  const along = applyTransform(registration.transform, frontRight);
  const turn = Math.atan2(along[1] - origin[1], along[0] - origin[0]);
  const degrees = Math.round(((turn * 180) / Math.PI) * 100) / 100;
  if (Math.abs(turn) > TURNED) {
    return [
      report({
        place,
        code: 'survey/turned',
        message: `the measured marks lie turned by ${degrees}° against the drawing, expected 2° at most: on a board that lies along the axes the sites would be far from where they belong`,
        facts: { degrees },
      }),
    ];
  }
  const off = boxCorners(boardBox(record.machine)).map((corner) =>
    distance(corner, applyTransform(registration.transform, corner)),
  );
  const far = Math.max(...off);
  if (far <= FAR) return [];
  return [
    report({
      place,
      code: 'survey/far',
      message: `the bed lies up to ${fineLength(far, units)} from where the drawing has it (turned by ${degrees}°), features are usually found within ${units === 'mm' ? '5 mm' : '0.2 in'}: the sites move that far on a board that is laid by the datum mark`,
      facts: { distance: rounded(far, 3), degrees },
    }),
  ];
}

/** How far a mark is from where the fit of all the others puts it, mm; null when the others determine nothing. */
export function misfitAlone(pairs: readonly PointPair[], id: string, sigma: number): number | null {
  const mark = pairs.find((p) => p.id === id);
  const others = pairs.filter((p) => p.id !== id);
  if (!mark || others.length < 2) return null;
  const fit = register(others, { sigma, model: 'auto', slips: UNIT_SLIPS });
  return distance(applyTransform(fit.transform, mark.from), mark.to);
}

/** The mark that fits worst; null without any. */
export function worstResidual(registration: Registration): Registration['residuals'][number] | null {
  let worst: Registration['residuals'][number] | null = null;
  for (const r of registration.residuals) if (worst === null || r.length > worst.length) worst = r;
  return worst;
}
