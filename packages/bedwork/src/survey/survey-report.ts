import {
  type Diagnostic,
  fineLength,
  lengthText,
  perLengthText,
  placeText,
  raised,
  type Units,
} from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import {
  distance,
  type Point,
  type PointPair,
  type RegistrationModel,
  residualSurface,
  skewFromDiagonals,
} from '@bedledger/geometry';
import { boardBox, boxCorners } from '../base/board.ts';
import { surveyPlace } from '../base/places.ts';
import { type BedFit, fitBed, measuredPairs } from './bed-fit.ts';
import { checksItself } from './mark-fit.ts';
import { misfitAlone, worstResidual } from './survey-findings.ts';

/** One mark of a survey, as a table or a drawing shows it. Lengths mm. */
export interface SurveyedMark {
  readonly id: string;
  readonly nominal: Point;
  /** Null until somebody has measured it. */
  readonly measured: Point | null;
  /** Where the fit puts the nominal position; null without a fit. */
  readonly fitted: Point | null;
  /** Measured minus fitted; null without a fit or a measurement. */
  readonly residual: { readonly dx: number; readonly dy: number; readonly length: number } | null;
  /** Position uncertainty of the fit at the mark, k = 2. */
  readonly uncertainty: number;
  readonly suspect: boolean;
  /** How far it is from where the fit of all other marks puts it; null with fewer than three marks. */
  readonly misfitAlone: number | null;
}

/** What a survey says about a bed, ready to print and to draw. */
export interface SurveyReport {
  readonly machine: string;
  readonly file: string | null;
  readonly marks: readonly SurveyedMark[];
  /** `none`: nothing measured. `refused`: nothing may be issued on it. `unchecked`: it cannot check itself. */
  readonly verdict: 'none' | 'trusted' | 'unchecked' | 'refused';
  readonly model: RegistrationModel | null;
  /** Why this model, one sentence. */
  readonly why: string;
  /** Coordinates left over to contradict the fit. */
  readonly redundancy: number;
  readonly sigmaStated: number;
  readonly sigmaFound: number | null;
  /** Greatest residual the house allows, mm. */
  readonly limit: number;
  readonly worst: { readonly id: string; readonly length: number } | null;
  /** The one mark to visit again, if any. */
  readonly measureAgain: string | null;
  readonly shift: Point;
  /** Radians, counter-clockwise from the drawing to the machine. */
  readonly rotation: number;
  /** Parts per million over the drawing, along X and along Y; null where the model has none. */
  readonly scalePpm: readonly [number, number] | null;
  /** Deviation from a right angle, radians: from the fit when it is affine, else from the diagonals of four corner marks. */
  readonly squareness: {
    readonly skew: number;
    readonly from: 'fit' | 'diagonals';
    readonly diagonals: readonly [number, number] | null;
    /** mm over 1000 mm. */
    readonly perMetre: number;
  } | null;
  /** Where on the board the fit is least certain, k = 2. */
  readonly worstUncertainty: { readonly at: Point; readonly value: number };
  /** What is left after the fit, interpolated over the bed: shown and drawn, never applied. */
  readonly leftover: {
    readonly kind: 'none' | 'thin-plate';
    readonly helps: boolean;
    readonly leaveOneOutRms: number;
    readonly planeRms: number;
    /** Correction at a nominal point, mm. */
    readonly at: (p: Point) => Point;
  } | null;
  /** The account as sentences, the verdict first. */
  readonly lines: readonly string[];
  readonly findings: readonly Diagnostic[];
}

/** Fits the survey of a machine and tells what it is worth. Never throws for a bad survey: see `findings`. */
export function surveyReport(record: MachineRecord): SurveyReport {
  const fit = fitBed(record);
  const findings = raised(fit.findings, record.house.raise);
  const pairs = measuredPairs(record);
  const { registration } = fit;
  const { sigma, limit } = record.house.survey;
  const features = record.survey?.features ?? [];
  const usable = registration !== null && pairs.length >= 3;
  const marks: SurveyedMark[] = features.map((f) => {
    const r = registration?.residuals.find((x) => x.id === f.id) ?? null;
    return {
      id: f.id,
      nominal: f.nominal,
      measured: f.measured,
      fitted: registration === null ? null : fit.toActual(f.nominal),
      residual: r === null ? null : { dx: r.dx, dy: r.dy, length: r.length },
      uncertainty: fit.uncertaintyAt(f.nominal),
      suspect: registration?.suspect === f.id,
      misfitAlone: usable && f.measured !== null ? misfitAlone(record, pairs, f.id) : null,
    };
  });
  const stopped = findings.some((d) => d.severity === 'stop');
  const verdict =
    pairs.length === 0
      ? 'none'
      : stopped
        ? 'refused'
        : registration !== null && !checksItself(registration)
          ? 'unchecked'
          : 'trusted';
  const worst = registration === null ? null : worstResidual(registration);
  const named = findings.find((d) => d.code === 'survey/residual' || d.code === 'survey/suspect');
  const measureAgain = typeof named?.facts?.mark === 'string' ? named.facts.mark : null;
  const origin = fit.toActual([0, 0]);
  const scaled = registration?.model === 'similarity' || registration?.model === 'affine';
  const report = {
    machine: record.machine.id,
    file: surveyPlace(record)?.file ?? null,
    marks,
    verdict,
    model: registration?.model ?? null,
    why: whyModel(registration?.model ?? null, pairs.length),
    redundancy: registration?.redundancy ?? 0,
    sigmaStated: sigma,
    sigmaFound: registration?.sigmaFound ?? null,
    limit,
    worst: worst === null ? null : { id: worst.id, length: worst.length },
    measureAgain,
    shift: origin,
    rotation: registration?.rotation ?? 0,
    scalePpm:
      registration !== null && scaled
        ? ([(registration.scaleX - 1) * 1e6, (registration.scaleY - 1) * 1e6] as const)
        : null,
    squareness: registration === null ? null : squareness(pairs, registration.model, registration.skew),
    worstUncertainty: leastCertain(record, fit),
    leftover: registration === null || pairs.length < 6 ? null : residualSurface(pairs, registration),
    findings,
  } satisfies Omit<SurveyReport, 'lines'>;
  return { ...report, lines: linesOf(report, record.machine.units) };
}

/** The corner of the board where the fit is least certain, k = 2. */
function leastCertain(record: MachineRecord, fit: BedFit): SurveyReport['worstUncertainty'] {
  return boxCorners(boardBox(record.machine))
    .map((at) => ({ at, value: fit.uncertaintyAt(at) }))
    .reduce((worst, one) => (one.value > worst.value ? one : worst));
}

function whyModel(model: RegistrationModel | null, n: number): string {
  const marks = `${n} ${n === 1 ? 'mark' : 'marks'}`;
  switch (model) {
    case null:
      return n === 0 ? 'nothing has been measured' : 'what was measured is not a plain fit of the drawing';
    case 'translation':
      return `${marks}: only a shift can be told`;
    case 'rigid':
      return n === 2
        ? 'two marks: shift and rotation, checked by their distance only'
        : `${marks}: shift and rotation explain what was measured, nothing richer is justified`;
    case 'similarity':
      return `${marks}: shift and rotation leave more than the stated deviation, one scale explains it (1 % level)`;
    case 'affine':
      return `${marks}: shift, rotation and one scale leave more than the stated deviation, two scales and a skew explain it (1 % level)`;
  }
}

/** From an affine fit, or from the diagonals of four marks that form a rectangle on the drawing. */
function squareness(
  pairs: readonly PointPair[],
  model: RegistrationModel,
  skew: number,
): SurveyReport['squareness'] {
  const corners = cornerMarks(pairs);
  let diagonals: readonly [number, number] | null = null;
  let fromDiagonals: number | null = null;
  if (corners !== null) {
    const [a, b, c, d] = corners;
    diagonals = [distance(a, c), distance(b, d)];
    const width = (distance(a, b) + distance(d, c)) / 2;
    const height = (distance(a, d) + distance(b, c)) / 2;
    fromDiagonals = skewFromDiagonals(width, height, diagonals[0], diagonals[1]);
  }
  if (model === 'affine') {
    return { skew, from: 'fit', diagonals, perMetre: 1000 * Math.sin(skew) };
  }
  if (fromDiagonals === null) return null;
  return {
    skew: fromDiagonals,
    from: 'diagonals',
    diagonals,
    perMetre: 1000 * Math.sin(fromDiagonals),
  };
}

/** Measured positions of the four outermost marks, counter-clockwise from the front left; null when the drawing has no such rectangle. */
function cornerMarks(pairs: readonly PointPair[]): readonly [Point, Point, Point, Point] | null {
  if (pairs.length < 4) return null;
  const xs = pairs.map((p) => p.from[0]);
  const ys = pairs.map((p) => p.from[1]);
  const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
  const size = Math.max(box[2] - box[0], box[3] - box[1]);
  const near = (x: number, y: number): Point | null =>
    pairs.find((p) => distance(p.from, [x, y]) < 0.02 * size)?.to ?? null;
  const a = near(box[0], box[1]);
  const b = near(box[2], box[1]);
  const c = near(box[2], box[3]);
  const d = near(box[0], box[3]);
  return a && b && c && d && distance(a, b) > 0 && distance(a, d) > 0 ? [a, b, c, d] : null;
}

function linesOf(r: Omit<SurveyReport, 'lines'>, units: Units): string[] {
  const length = (v: number): string => fineLength(v, units);
  const withSign = (v: number): string => `${v < 0 ? '−' : '+'}${length(Math.abs(v))}`;
  const out: string[] = [];
  switch (r.verdict) {
    case 'none':
      out.push('not surveyed: every position is taken from the drawing of the bed');
      break;
    case 'refused':
      out.push('refused: nothing may be issued on this survey');
      break;
    case 'unchecked':
      out.push('usable, but it cannot check itself');
      break;
    case 'trusted':
      out.push('trusted');
      break;
  }
  for (const d of r.findings) out.push(d.help ? `${d.message}; ${d.help}` : d.message);
  if (r.model === null) return out;
  out.push(`model ${r.model}: ${r.why}`);
  out.push(
    `drawing to machine: X ${withSign(r.shift[0])}, Y ${withSign(r.shift[1])} at the datum mark, rotation ${signed(r.rotation * 1000)} mrad`,
  );
  if (r.scalePpm !== null) {
    out.push(`scale X ${signed(r.scalePpm[0], 0)} ppm, Y ${signed(r.scalePpm[1], 0)} ppm`);
  }
  if (r.squareness !== null) {
    const d = r.squareness.diagonals;
    out.push(
      `out of square by ${r.squareness.perMetre < 0 ? '−' : '+'}${perLengthText(Math.abs(r.squareness.perMetre) / 1000, units)}, from the ${r.squareness.from}${d ? ` (${lengthText(d[0], units)} and ${lengthText(d[1], units)})` : ''}`,
    );
  }
  out.push(
    r.sigmaFound === null
      ? `no redundancy: the stated deviation of ${length(r.sigmaStated)} cannot be checked`
      : `deviation of one coordinate: stated ${length(r.sigmaStated)}, found ${length(r.sigmaFound)} with ${r.redundancy} left over`,
  );
  if (r.worst !== null) {
    out.push(
      `largest residual ${length(r.worst.length)} at ${r.worst.id}, the house allows ${length(r.limit)}`,
    );
  }
  out.push(
    `least certain at ${placeText(r.worstUncertainty.at, units)}: ±${length(r.worstUncertainty.value)} (k = 2)`,
  );
  if (r.leftover !== null) {
    out.push(
      r.leftover.helps
        ? `what is left follows the bed: interpolated, each mark is predicted from the others to ${length(r.leftover.leaveOneOutRms)} instead of ${length(r.leftover.planeRms)}`
        : `what is left does not follow the bed: interpolating it predicts no better (${length(r.leftover.leaveOneOutRms)} against ${length(r.leftover.planeRms)})`,
    );
  }
  return out;
}

function signed(v: number, digits = 3): string {
  const text = Math.abs(v).toFixed(digits);
  return Number(text) === 0 ? text : `${v < 0 ? '−' : '+'}${text}`;
}
