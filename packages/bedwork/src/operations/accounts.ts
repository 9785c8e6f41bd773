import type { Cutting } from '../feeds/cutting.ts';
import { figure } from '../feeds/figure.ts';
import type { AccountLine } from '../plan.ts';
import { fixed, lengthText } from '../run-order/units.ts';
import { tiltFromRidge } from '../surfacing/tram.ts';
import type { TimeCorrection } from '../time/correction.ts';
import type { TimeAccount } from '../time/motion-time.ts';
import type { SkimPlan } from './surface.ts';

/** Ridge for which the lean is shown, mm: what a fingernail finds (ours). */
const SHOWN_RIDGE = 0.05;

/** The account of a skim: where it starts, what it takes off, what is left. */
export function surfacingAccount(plan: SkimPlan, units: 'mm' | 'in', rows: 'x' | 'y'): AccountLine[] {
  const { removal, path, marks, limit, proof } = plan;
  const length = (v: number): string => lengthText(v, units);
  const lines: AccountLine[] = [
    removal.source.kind === 'map'
      ? {
          label: 'Height map',
          value: `${removal.source.points.length} points, ${length(removal.lowest)} to ${length(removal.highest)}`,
          note: removal.source.file,
        }
      : {
          label: 'Stated depth',
          value: length(removal.source.depth),
          note: `below the lowest measured thickness, ${length(removal.lowest)}`,
        },
    {
      label: 'Margin',
      value: length(removal.margin),
      note:
        removal.source.kind === 'map'
          ? `the profile's margin and ${length(removal.source.interpolationError)} of interpolation error`
          : 'none with a stated depth',
    },
    {
      label: 'Target',
      value: length(removal.target.a),
      note:
        removal.target.b === 0 && removal.target.c === 0
          ? 'level'
          : `plane, ${figure(removal.target.b * 1000)} mm/m along X, ${figure(removal.target.c * 1000)} mm/m along Y; height at X0 Y0`,
    },
    {
      label: 'Taken off',
      value: `${length(removal.most)} at most, ${length(removal.mean)} on average`,
      note: `${removal.passes} equal ${removal.passes === 1 ? 'pass' : 'passes'} of ${length(removal.perPass)}`,
    },
    {
      label: 'Rows',
      value: `${path.rowCount}, ${length(path.step)} apart`,
      note: `${fixed(path.length / 1000, 2)} m at depth a pass; area over stepover is ${path.step > 0 ? fixed(plan.area / path.step / 1000, 2) : '–'} m`,
    },
    {
      label: 'Coverage',
      value: proof.covered ? 'the whole board' : `${figure(proof.leftArea / 100)} cm² left`,
      note: proof.covered
        ? 'proven by sweeping the cutter along the path'
        : path.strips.length > 0
          ? path.strips.map((s) => `${s.side} edge: ${length(s.width)} out of reach`).join('; ')
          : 'increase the overrun or add a perimeter pass',
    },
    {
      label: 'Expected thickness',
      value: length(plan.expected),
      note: marks
        ? `the lean of the spindle lowers the floor by ${length(marks.drop)}`
        : 'tram never measured',
    },
    {
      label: 'Room above the limit',
      value: length(limit.room),
      note: `limit ${length(limit.height)}: ${limit.by}`,
    },
    {
      label: 'Dust',
      value: `${fixed(plan.dust.volume / 1e6, 2)} l, ${fixed(plan.dust.mass, 2)} kg`,
      note: 'solid volume; loose dust takes several times that',
    },
  ];
  if (marks) {
    lines.push({
      label: 'Step and hollow',
      value: `${figure(marks.step)} mm between rows, ${figure(marks.cusp)} mm along them`,
      note: 'from the tram readings',
    });
  }
  if (path.step > 0) {
    const far = tiltFromRidge(SHOWN_RIDGE, path.step, rows, 'far', 200);
    const near = tiltFromRidge(SHOWN_RIDGE, path.step, rows, 'near', 200);
    lines.push({
      label: 'If a ridge shows',
      value: `${SHOWN_RIDGE} mm between rows is a lean of ${figure(far.over200)} mm over 200`,
      note: `row by row from the first: where the later row stands higher the rim on ${far.lowSide} is low, where the earlier one does ${near.lowSide}`,
    });
  }
  return lines;
}

/** Speed, feed and load of one program, with every limit that ruled. */
export function feedLines(program: string, cutter: string, cutting: Cutting): AccountLine[] {
  return [
    {
      label: program,
      value: `${cutting.rpm} rpm, ${cutting.feed} mm/min, down ${cutting.plungeFeed} mm/min`,
      note: `${cutter}: ${figure(cutting.chipLoad)} mm a tooth, rim ${fixed(cutting.rimSpeed, 1)} m/s, ${fixed(cutting.power, 0)} W (${Math.round(cutting.powerShare * 100)} % of the spindle), ${fixed(cutting.tangentialForce, 1)} N at the rim`,
    },
    ...cutting.clamps.map((clamp) => ({
      label: `${program}, limit`,
      value: `${clamp.on} ${figure(clamp.from)} → ${figure(clamp.to)}`,
      note: clamp.why,
    })),
  ];
}

/** Where the minutes of one program go. */
export function timeLine(program: string, time: TimeAccount, correction: TimeCorrection): AccountLine {
  const minutes = (s: number): string => fixed(s / 60, 1);
  const parts = [
    `cutting ${minutes(time.cutting)}`,
    `rapids ${minutes(time.rapids)}`,
    ...(time.spinUp > 0 ? [`spin-up ${minutes(time.spinUp)}`] : []),
    ...(time.dwell > 0 ? [`dwell ${minutes(time.dwell)}`] : []),
    ...(time.stops > 0 ? [`${time.stopCount} stops ${minutes(time.stops)}`] : []),
  ];
  const learned =
    correction.from === 'nothing'
      ? ''
      : `; × ${figure(correction.factor)} learned from ${correction.records} ${correction.records === 1 ? 'record' : 'records'} = ${minutes(time.total * correction.factor)}`;
  return { label: program, value: `${minutes(time.total)} min`, note: `${parts.join(', ')}${learned}` };
}
