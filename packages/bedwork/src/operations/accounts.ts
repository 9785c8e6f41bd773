import {
  areaText,
  feedText,
  figure,
  fineLength,
  fixed,
  fromUnits,
  lengthText,
  massText,
  powerText,
  pushText,
  rimText,
  slopeText,
  tinyLength,
  type Units,
  volumeText,
  wayText,
  writtenLength,
} from '@bedledger/diagnostics';
import type { Cutting } from '../feeds/cutting.ts';
import { FELT_RIDGE, tiltFromRidge } from '../surfacing/tram.ts';
import type { TimeCorrection } from '../time/correction.ts';
import type { TimeAccount } from '../time/motion-time.ts';
import type { AccountLine } from '../work/account-line.ts';
import type { SkimPlan } from './plan-skim.ts';

/** Length over which a dial is read when a spindle is trammed, in the machine's units (common practice, no source). */
const DIAL_BASE: Readonly<Record<Units, number>> = { mm: 200, in: 8 };

/** The account of a skim: where it starts, what it takes off, what is left. */
export function surfacingAccount(plan: SkimPlan, units: Units, rows: 'x' | 'y'): AccountLine[] {
  return [
    ...removalLines(plan, units),
    ...pathLines(plan, units),
    ...restLines(plan, units),
    ...leanLines(plan, units, rows),
  ];
}

function removalLines({ removal }: SkimPlan, units: Units): AccountLine[] {
  const { source, target } = removal;
  const length = (mm: number): string => lengthText(mm, units);
  const level = target.b === 0 && target.c === 0;
  return [
    source.kind === 'map'
      ? {
          label: 'Height map',
          value: `${source.points.length} points, ${length(removal.lowest)} to ${length(removal.highest)}`,
          note: source.file,
        }
      : {
          label: 'Stated depth',
          value: length(source.depth),
          note: `below the lowest measured thickness, ${length(removal.lowest)}`,
        },
    {
      label: 'Margin',
      value: length(removal.margin),
      note:
        source.kind === 'map'
          ? `the profile's margin and ${length(source.interpolationError)} of interpolation error`
          : 'none with a stated depth',
    },
    {
      label: 'Target',
      value: length(target.a),
      note: level
        ? 'level'
        : `plane, ${slopeText(target.b, units)} along X, ${slopeText(target.c, units)} along Y; height at X0 Y0`,
    },
    {
      label: 'Taken off',
      value: `${length(removal.most)} at most, ${length(removal.mean)} on average`,
      note: `${removal.passes} equal ${removal.passes === 1 ? 'pass' : 'passes'} of ${length(removal.perPass)}`,
    },
  ];
}

function pathLines({ path, proof, area }: SkimPlan, units: Units): AccountLine[] {
  const perStep = path.step > 0 ? `; area over stepover is ${wayText(area / path.step, units)}` : '';
  const strips = path.strips.map((s) => `${s.side} edge: ${lengthText(s.width, units)} out of reach`);
  return [
    {
      label: 'Rows',
      value: `${path.rowCount}, ${lengthText(path.step, units)} apart`,
      note: `${wayText(path.length, units)} at depth a pass${perStep}`,
    },
    {
      label: 'Coverage',
      value: proof.covered ? 'the whole board' : `${areaText(proof.leftArea, units)} left`,
      note: proof.covered
        ? 'proven by sweeping the cutter along the path'
        : strips.join('; ') || 'increase the overrun or add a perimeter pass',
    },
  ];
}

function restLines({ expected, marks, limit, dust }: SkimPlan, units: Units): AccountLine[] {
  const length = (mm: number): string => lengthText(mm, units);
  return [
    {
      label: 'Expected thickness',
      value: length(expected),
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
      value: `${volumeText(dust.volume, units)}, ${massText(dust.mass, units)}`,
      note: 'solid volume; loose dust takes several times that',
    },
  ];
}

/** What a lean of the spindle leaves, and what a ridge would say about it. */
function leanLines({ marks, path }: SkimPlan, units: Units, rows: 'x' | 'y'): AccountLine[] {
  const lines: AccountLine[] = [];
  if (marks && path.step > 0) {
    lines.push({
      label: 'Step and hollow',
      value: `${tinyLength(marks.step, units)} between rows, ${tinyLength(marks.cusp, units)} along them`,
      note: 'from the tram readings',
    });
  }
  if (path.step > 0) {
    // Dial readings are told over 200 mm or over 8 in, as the machine's people read them.
    const over = fromUnits(DIAL_BASE[units], units);
    const far = tiltFromRidge(FELT_RIDGE, path.step, rows, 'far', over);
    const near = tiltFromRidge(FELT_RIDGE, path.step, rows, 'near', over);
    lines.push({
      label: 'If a ridge shows',
      value: `${lengthText(FELT_RIDGE, units)} between rows is a lean of ${fineLength(far.shim, units)} over ${writtenLength(over, units)}`,
      note: `row by row from the first: where the later row stands higher the rim on ${far.lowSide} is low, where the earlier one does ${near.lowSide}`,
    });
  }
  return lines;
}

/** Speed, feed and load of one program, with every limit that ruled. */
export function feedLines(program: string, cutter: string, cutting: Cutting, units: Units): AccountLine[] {
  return [
    {
      label: program,
      value: `${cutting.rpm} rpm, ${feedText(cutting.feed, units)}, down ${feedText(cutting.plungeFeed, units)}`,
      note: `${cutter}: ${tinyLength(cutting.chipLoad, units)} a tooth, rim ${rimText(cutting.rimSpeed, units)}, ${powerText(cutting.power, units)} (${Math.round(cutting.powerShare * 100)} % of the spindle), ${pushText(cutting.tangentialForce, units)} at the rim`,
    },
    ...cutting.clamps.map((clamp) => ({
      label: `${program}, limit`,
      value: clampText(clamp, units),
      note: clamp.why,
    })),
  ];
}

function clampText({ on, from, to }: Cutting['clamps'][number], units: Units): string {
  if (on === 'rpm') return `speed ${figure(from)} → ${figure(to)} rpm`;
  if (on === 'feed') return `feed ${feedText(from, units)} → ${feedText(to, units)}`;
  return `chip load ${tinyLength(from, units)} → ${tinyLength(to, units)}`;
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
    correction.records === 0
      ? ''
      : `; × ${figure(correction.factor)} learned from ${correction.records} ${correction.records === 1 ? 'record' : 'records'} = ${minutes(time.total * correction.factor)}`;
  return { label: program, value: `${minutes(time.total)} min`, note: `${parts.join(', ')}${learned}` };
}
