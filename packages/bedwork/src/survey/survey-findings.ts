import {
  type Diagnostic,
  fineLength,
  lengthText,
  type Place,
  perLengthText,
  rounded,
} from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, distance, type PointPair, type Registration } from '@bedledger/geometry';
import { boardBox, boxCorners } from '../base/board.ts';
import { surveyPlace } from '../base/places.ts';
import { report } from '../report.ts';
import { checksItself, fitMarks } from './mark-fit.ts';
import type { UnitSlip } from './scale-slips.ts';

/** Everything about a fitted survey that a person must know before trusting it. The most serious first. */
export function surveyFindings(
  record: MachineRecord,
  pairs: readonly PointPair[],
  registration: Registration<UnitSlip>,
): Diagnostic[] {
  const place = surveyPlace(record) ?? undefined;
  const odd = oddityFinding(place, record.machine.units === 'mm', registration);
  if (odd !== null) return [odd];
  const out = [
    ...bedPlaceFindings(record, place, registration),
    ...shapeFindings(record, place, pairs, registration),
    // A deviation that is stated too small is said before a mark is accused of not keeping it.
    ...spreadFindings(record, place, registration),
    ...residualFindings(record, place, pairs, registration),
    ...redundancyFindings(place, pairs.length, registration),
  ];
  return out;
}

/** What no bed can be: other units, a mirror image, two marks exchanged. Null when the set is a plain one. */
function oddityFinding(
  place: Place | undefined,
  metric: boolean,
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
        help: 'multiply the readings by 25.4, or take them again with the display in millimetres',
      });
    case 'mm-for-inch':
      return report({
        place,
        code: 'survey/units',
        message:
          'the measured positions are 25.4 times larger than the drawing: millimetres were written where inches are expected',
        facts: { scale: scaleX },
        help: 'divide the readings by 25.4, or take them again with the display in inches',
      });
    case 'tenth':
      return report({
        place,
        code: 'survey/units',
        message: `the measured positions are 10 times smaller than the drawing: ${metric ? 'centimetres were written where millimetres are expected' : 'a decimal point is one place off'}`,
        facts: { scale: scaleX },
        help: `write the readings in ${metric ? 'millimetres' : 'inches'}, as the display of the machine shows them`,
      });
    case 'tenfold':
      return report({
        place,
        code: 'survey/units',
        message:
          'the measured positions are 10 times larger than the drawing: a decimal point is one place off, or was left out',
        facts: { scale: scaleX },
        help: 'write the readings as the display of the machine shows them, point included',
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
  const { limit } = record.house.survey;
  const length = (mm: number): string => fineLength(mm, record.machine.units);
  const worst = worstResidual(registration);
  const { suspect } = registration;
  if (suspect !== null) return [suspectFinding(record, place, pairs, registration, suspect)];
  if (worst === null || worst.length <= limit) return [];
  const few = pairs.length <= 3 ? ` (with ${pairs.length} marks no fit can tell which one is wrong)` : '';
  return [
    report({
      place,
      code: 'survey/residual',
      message: `the marks do not fit the drawing: the largest residual is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and no single mark explains it${few}`,
      facts: { mark: worst.id, residual: rounded(worst.length, 3), limit },
      help: `measure ${worst.id} again, then the mark farthest from it`,
    }),
  ];
}

/** One mark that was misread, surely or probably: a stop where the residuals are beyond what the house allows. */
function suspectFinding(
  record: MachineRecord,
  place: Place | undefined,
  pairs: readonly PointPair[],
  registration: Registration,
  suspect: string,
): Diagnostic {
  const { limit } = record.house.survey;
  const length = (mm: number): string => fineLength(mm, record.machine.units);
  const alone = misfitAlone(record, pairs, suspect);
  const apart = alone === null ? '' : `, ${length(alone)} from where the others put it`;
  const sure = registration.suspectIsSure;
  const fourth = pairs.length === 3 ? ', and a fourth mark far from these, which tells them apart' : '';
  const worst = worstResidual(registration);
  if (worst !== null && worst.length > limit) {
    return report({
      place,
      code: 'survey/residual',
      message: sure
        ? `${suspect} does not fit the other marks${apart}: the largest residual of all is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and without ${suspect} the others agree`
        : `the marks do not fit the drawing, probably because of ${suspect}${apart}: the largest residual is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}`,
      facts: { mark: suspect, residual: rounded(worst.length, 3), limit },
      help: `measure ${suspect} again${fourth}`,
    });
  }
  const residual = registration.residuals.find((r) => r.id === suspect)?.length ?? 0;
  return report({
    place,
    code: 'survey/suspect',
    message: `${suspect} ${sure ? 'fits worse than the other marks' : 'probably fits worse than the other marks'}${apart} (residual ${length(residual)}, within the house limit of ${length(limit)})`,
    facts: { mark: suspect, residual: rounded(residual, 3), limit },
    help: `measure ${suspect} again before the bed is marked${fourth}`,
  });
}

/** A bed that is stretched or skewed more than a machine can be: a mistake that lies exactly on such a bed. */
function shapeFindings(
  record: MachineRecord,
  place: Place | undefined,
  pairs: readonly PointPair[],
  { model, scaleX, scaleY, skew }: Registration,
): Diagnostic[] {
  if (model !== 'similarity' && model !== 'affine') return [];
  const { stretch, skew: square } = record.house.survey;
  const { units } = record.machine;
  const said: string[] = [];
  const axes =
    model === 'similarity' ? ([['both axes', scaleX, 0]] as const) : ([['X', scaleX, 0], ['Y', scaleY, 1]] as const); // biome-ignore format: one line
  for (const [axis, scale, side] of axes) {
    if (Math.abs(scale - 1) <= stretch) continue;
    const at = pairs.map(({ from }) => from[side]);
    const span = Math.max(...at) - Math.min(...at);
    const more = scale > 1 ? 'longer' : 'shorter';
    said.push(
      `${Math.round(Math.abs(scale - 1) * 1e6)} ppm ${more} along ${axis} than its drawing (${fineLength(Math.abs(scale - 1) * span, units)} in ${lengthText(span, units)})`,
    );
  }
  if (Math.abs(skew) > square) said.push(`${perLengthText(Math.abs(skew), units)} out of square`);
  if (said.length === 0) return [];
  return [
    report({
      place,
      code: 'survey/shape',
      message: `the marks make the bed ${said.join(', and ')}: no machine is (the house believes ${Math.round(stretch * 1e6)} ppm and ${perLengthText(square, units)}), but two marks misread alike lie exactly on such a bed`,
      facts: { scaleX, scaleY, skew },
      help: `measure the marks at both ends again, and more of them (six at least, far apart); when the machine really is so, say so with \`survey.stretch\` or \`survey.skew\` in the house rules`,
    }),
  ];
}

/** Too few marks to notice a misread one. */
function redundancyFindings(
  place: Place | undefined,
  marks: number,
  registration: Registration,
): Diagnostic[] {
  const { redundancy, model } = registration;
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
  if (checksItself(registration)) return [];
  const stretched = `${model === 'affine' ? 'two scales and a skew' : 'a scale'} of the bed`;
  return [
    report({
      place,
      code: 'survey/little-check',
      message:
        model === 'similarity' || model === 'affine'
          ? `${marks} marks are explained by ${stretched}, and two marks misread alike would look the same`
          : `${marks} marks check each other by their distance only: a mark misread sideways would not show`,
      facts: { marks },
      help: `measure ${model === 'affine' ? 6 - marks : 2} more ${model === 'affine' && marks === 5 ? 'mark' : 'marks'}, far from these`,
    }),
  ];
}

/** Readings that scatter by more than the house reckons with, where no single mark stands out. */
function spreadFindings(
  record: MachineRecord,
  place: Place | undefined,
  { sigmaFound, sigmaStated, redundancy, contradicted, suspectIsSure }: Registration,
): Diagnostic[] {
  if (sigmaFound === null || redundancy < 3 || !contradicted || suspectIsSure) return [];
  const length = (mm: number): string => fineLength(mm, record.machine.units);
  return [
    report({
      place,
      code: 'survey/spread',
      message: `the marks scatter by ${length(sigmaFound)} (1σ of a coordinate) though the house reckons with ${length(sigmaStated)}: so much comes by chance in one survey of a hundred`,
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
export function misfitAlone(record: MachineRecord, pairs: readonly PointPair[], id: string): number | null {
  const mark = pairs.find((p) => p.id === id);
  const others = pairs.filter((p) => p.id !== id);
  if (!mark || others.length < 2) return null;
  return distance(applyTransform(fitMarks(record, others).transform, mark.from), mark.to);
}

/** The mark that fits worst; null without any. */
export function worstResidual(registration: Registration): Registration['residuals'][number] | null {
  let worst: Registration['residuals'][number] | null = null;
  for (const r of registration.residuals) if (worst === null || r.length > worst.length) worst = r;
  return worst;
}
