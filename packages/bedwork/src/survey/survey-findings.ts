import type { Diagnostic } from '@bedledger/diagnostics';
import { fineLength } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, type PointPair, type Registration, register } from '@bedledger/geometry';
import { surveyPlace } from '../base/places.ts';
import { report } from '../report.ts';

/** Everything about a fitted survey that a person must know before trusting it. The most serious first. */
export function surveyFindings(
  record: MachineRecord,
  pairs: readonly PointPair[],
  registration: Registration,
): Diagnostic[] {
  const file = surveyPlace(record);
  const place = file ? { place: file } : {};
  const limit = record.house.survey.limit;
  const length = (v: number): string => fineLength(v, record.machine.units);
  const out: Diagnostic[] = [];
  const { oddity } = registration;
  if (oddity === 'inch-for-mm') {
    out.push(
      report({
        ...place,
        code: 'survey/units',
        message:
          'the measured positions are 25.4 times smaller than the drawing: inches were written where millimetres are expected',
        facts: { scale: registration.scaleX },
        help: 'state `in` as the unit of the measured columns, or write the readings in millimetres',
      }),
    );
    return out;
  }
  if (oddity === 'mm-for-inch') {
    out.push(
      report({
        ...place,
        code: 'survey/units',
        message:
          'the measured positions are 25.4 times larger than the drawing: millimetres were written where inches are expected',
        facts: { scale: registration.scaleX },
        help: 'state `mm` as the unit of the measured columns, or write the readings in inches',
      }),
    );
    return out;
  }
  if (oddity === 'mirrored') {
    out.push(
      report({
        ...place,
        code: 'survey/mirrored',
        message:
          'the measured positions are a mirror image of the drawing: an axis counts the wrong way, or two marks or two columns are exchanged',
      }),
    );
    return out;
  }
  if (oddity !== 'none') {
    const [a, b] = oddity.swapped;
    out.push(
      report({
        ...place,
        code: 'survey/swapped',
        message: `the readings of ${a} and ${b} are exchanged: with the two swapped back the set fits`,
        facts: { first: a, second: b },
        help: `exchange the measured values of ${a} and ${b}, or visit both marks again`,
      }),
    );
    return out;
  }
  out.push(...placeFindings(record, registration).map((d) => ({ ...place, ...d })));
  const worst = worstResidual(registration);
  const n = pairs.length;
  const { suspect } = registration;
  const alone = suspect === null ? null : misfitAlone(pairs, suspect, record.house.survey.sigma);
  const apart = alone === null ? '' : `, ${length(alone)} from where the others put it`;
  if (worst !== null && worst.length > limit) {
    out.push(
      report({
        ...place,
        code: 'survey/residual',
        message:
          suspect !== null
            ? `${suspect} does not fit the other marks${apart}: the largest residual of all is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and without ${suspect} the others agree`
            : `the marks do not fit the drawing: the largest residual is ${length(worst.length)} at ${worst.id}, the house allows ${length(limit)}, and no single mark explains it${n <= 3 ? ` (with ${n} marks no fit can tell which one is wrong)` : ''}`,
        facts: { mark: suspect ?? worst.id, residual: round(worst.length), limit },
        help:
          suspect !== null
            ? `measure ${suspect} again`
            : `measure ${worst.id} again, then the mark farthest from it`,
      }),
    );
  } else if (suspect !== null) {
    const r = registration.residuals.find((x) => x.id === suspect);
    out.push(
      report({
        ...place,
        code: 'survey/suspect',
        message: `${suspect} fits worse than the other marks${apart} (residual ${length(r?.length ?? 0)}, within the house limit of ${length(limit)})`,
        facts: { mark: suspect, residual: round(r?.length ?? 0), limit },
        help: `measure ${suspect} again before the bed is marked`,
      }),
    );
  }
  if (registration.redundancy === 0) {
    out.push(
      report({
        ...place,
        code: 'survey/not-checkable',
        message: `${n === 1 ? 'one mark gives' : `${n} marks give`} a position without any check: a misread mark would not show`,
        facts: { marks: n },
      }),
    );
  } else if (n === 2 && registration.model === 'rigid') {
    out.push(
      report({
        ...place,
        code: 'survey/little-check',
        message: 'two marks check each other by their distance only: a mark misread sideways would not show',
        facts: { marks: n },
      }),
    );
  }
  if (
    registration.sigmaFound !== null &&
    registration.redundancy >= 3 &&
    registration.sigmaFound > 3 * registration.sigmaStated &&
    !out.some((d) => d.severity === 'stop')
  ) {
    out.push(
      report({
        ...place,
        code: 'survey/spread',
        message: `the marks scatter by ${length(registration.sigmaFound)} (1σ) though the house reckons with ${length(registration.sigmaStated)}`,
        facts: { found: round(registration.sigmaFound), stated: registration.sigmaStated },
      }),
    );
  }
  return out;
}

/** Farther than this from the drawing a bed is not expected: features are found 2.5 to 5 mm away (common practice), mm. */
const FAR = 10;
/** A bed turned by more than this against the axes is another bed, or its marks are exchanged: 2°, rad (ours). */
const TURNED = (2 * Math.PI) / 180;

/**
 * Is the bed where a bed can be? Boards are laid and surfaced along the axes of the machine, and a site keeps its place on
 * the bed: what the fit turns or shifts, the sites move on the board.
 */
function placeFindings(
  record: MachineRecord,
  registration: Registration,
): Pick<Diagnostic, 'code' | 'severity' | 'message' | 'facts' | 'help'>[] {
  const { units } = record.machine;
  const { at, size } = record.machine.board;
  const origin = applyTransform(registration.transform, at);
  const along = applyTransform(registration.transform, [at[0] + size[0], at[1]]);
  const turn = Math.atan2(along[1] - origin[1], along[0] - origin[0]);
  const degrees = Math.round(((turn * 180) / Math.PI) * 100) / 100;
  if (Math.abs(turn) > TURNED) {
    return [
      report({
        code: 'survey/turned',
        message: `the measured marks lie turned by ${degrees}° against the drawing, expected 2° at most: on a board that lies along the axes the sites would be far from where they belong`,
        facts: { degrees },
      }),
    ];
  }
  let far = 0;
  for (const corner of [
    at,
    [at[0] + size[0], at[1]],
    [at[0], at[1] + size[1]],
    [at[0] + size[0], at[1] + size[1]],
  ] as const) {
    const [x, y] = applyTransform(registration.transform, corner);
    const dx = x - corner[0];
    const dy = y - corner[1];
    far = Math.max(far, Math.sqrt(dx * dx + dy * dy));
  }
  if (far <= FAR) return [];
  return [
    report({
      code: 'survey/far',
      message: `the bed lies up to ${fineLength(far, units)} from where the drawing has it (turned by ${degrees}°), features are usually found within ${units === 'mm' ? '5 mm' : '0.2 in'}: the sites move that far on a board that is laid by the datum mark`,
      facts: { distance: round(far), degrees },
    }),
  ];
}

/** How far a mark is from where the fit of all the others puts it, mm; null when the others determine nothing. */
export function misfitAlone(pairs: readonly PointPair[], id: string, sigma: number): number | null {
  const mark = pairs.find((p) => p.id === id);
  const others = pairs.filter((p) => p.id !== id);
  if (!mark || others.length < 2) return null;
  const fit = register(others, { sigma, model: 'auto' });
  const [x, y] = applyTransform(fit.transform, mark.from);
  const dx = mark.to[0] - x;
  const dy = mark.to[1] - y;
  return Math.sqrt(dx * dx + dy * dy);
}

/** The mark that fits worst; null without any. */
export function worstResidual(registration: Registration): Registration['residuals'][number] | null {
  let worst: Registration['residuals'][number] | null = null;
  for (const r of registration.residuals) if (worst === null || r.length > worst.length) worst = r;
  return worst;
}

function round(v: number): number {
  return Math.round(v * 1000) / 1000;
}
