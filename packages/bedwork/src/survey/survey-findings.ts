import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { PointPair, Registration } from '@bedledger/geometry';

/** Everything about a fitted survey that a person must know before trusting it. The most serious first. */
export function surveyFindings(
  record: MachineRecord,
  pairs: readonly PointPair[],
  registration: Registration,
): Diagnostic[] {
  const place = record.survey ? { place: { file: record.survey.file } } : {};
  const limit = record.house.survey.limit;
  const out: Diagnostic[] = [];
  const { oddity } = registration;
  if (oddity === 'inch-for-mm') {
    out.push({
      ...place,
      code: 'survey/units',
      severity: 'stop',
      message:
        'the measured positions are 25.4 times smaller than the drawing: inches were written where millimetres are expected',
      facts: { scale: registration.scaleX },
      help: 'state `in` as the unit of the measured columns, or write the readings in millimetres',
    });
    return out;
  }
  if (oddity === 'mm-for-inch') {
    out.push({
      ...place,
      code: 'survey/units',
      severity: 'stop',
      message:
        'the measured positions are 25.4 times larger than the drawing: millimetres were written where inches are expected',
      facts: { scale: registration.scaleX },
      help: 'state `mm` as the unit of the measured columns, or write the readings in inches',
    });
    return out;
  }
  if (oddity === 'mirrored') {
    out.push({
      ...place,
      code: 'survey/mirrored',
      severity: 'stop',
      message:
        'the measured positions are a mirror image of the drawing: an axis counts the wrong way, or two marks or two columns are exchanged',
      help: 'check the sign of X and Y on the machine and the order of the columns, then measure two marks again',
    });
    return out;
  }
  if (oddity !== 'none') {
    const [a, b] = oddity.swapped;
    out.push({
      ...place,
      code: 'survey/swapped',
      severity: 'stop',
      message: `the readings of ${a} and ${b} are exchanged: with the two swapped back the set fits`,
      facts: { first: a, second: b },
      help: `exchange the measured values of ${a} and ${b}, or visit both marks again`,
    });
    return out;
  }
  const worst = worstResidual(registration);
  const n = pairs.length;
  if (worst !== null && worst.length > limit) {
    const named = registration.suspect ?? worst.id;
    const exact = registration.suspect !== null;
    out.push({
      ...place,
      code: 'survey/residual',
      severity: 'stop',
      message: exact
        ? `${named} does not fit the other marks: the largest residual is ${mm(worst.length)} mm at ${worst.id}, the house allows ${mm(limit)} mm, and without ${named} the others agree`
        : `the marks do not fit the drawing: the largest residual is ${mm(worst.length)} mm at ${worst.id}, the house allows ${mm(limit)} mm, and no single mark explains it${n <= 3 ? ` (with ${n} marks no fit can tell which one is wrong)` : ''}`,
      facts: { mark: named, residual: round(worst.length), limit },
      help: exact ? `measure ${named} again` : `measure ${worst.id} again, then the mark farthest from it`,
    });
  } else if (registration.suspect !== null) {
    const r = registration.residuals.find((x) => x.id === registration.suspect);
    out.push({
      ...place,
      code: 'survey/suspect',
      severity: 'warn',
      message: `${registration.suspect} fits worse than its neighbours (residual ${mm(r?.length ?? 0)} mm, within the house limit of ${mm(limit)} mm)`,
      facts: { mark: registration.suspect, residual: round(r?.length ?? 0), limit },
      help: `measure ${registration.suspect} again when the machine is free`,
    });
  }
  if (registration.redundancy === 0) {
    out.push({
      ...place,
      code: 'survey/not-checkable',
      severity: 'warn',
      message: `${n === 1 ? 'one mark gives' : `${n} marks give`} a position without any check: a misread mark would not show`,
      facts: { marks: n },
      help: 'measure at least four marks, far apart, so that one misread mark can be found',
    });
  } else if (n === 2 && registration.model === 'rigid') {
    out.push({
      ...place,
      code: 'survey/little-check',
      severity: 'warn',
      message: 'two marks check each other by their distance only: a mark misread sideways would not show',
      facts: { marks: n },
      help: 'measure two more marks, far from these',
    });
  }
  if (
    registration.sigmaFound !== null &&
    registration.redundancy >= 3 &&
    registration.sigmaFound > 3 * registration.sigmaStated &&
    !out.some((d) => d.severity === 'stop')
  ) {
    out.push({
      ...place,
      code: 'survey/spread',
      severity: 'warn',
      message: `the marks scatter by ${mm(registration.sigmaFound)} mm (1σ) though the house reckons with ${mm(registration.sigmaStated)} mm`,
      facts: { found: round(registration.sigmaFound), stated: registration.sigmaStated },
      help: 'measure more carefully, or raise `survey.sigma` in the house rules so that clearances grow with it',
    });
  }
  return out;
}

/** The mark that fits worst; null without any. */
export function worstResidual(registration: Registration): Registration['residuals'][number] | null {
  let worst: Registration['residuals'][number] | null = null;
  for (const r of registration.residuals) if (worst === null || r.length > worst.length) worst = r;
  return worst;
}

function mm(v: number): string {
  return v.toFixed(3);
}

function round(v: number): number {
  return Math.round(v * 1000) / 1000;
}
