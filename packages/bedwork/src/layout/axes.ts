import type { Diagnostic } from '@bedledger/diagnostics';
import { atLeastLength, limitLength, rounded, shortLength, shortNumber } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { bounds, type Point } from '@bedledger/geometry';
import { profilePlace } from '../base/places.ts';
import type { Interval } from '../lands/intervals.ts';
import type { Lands } from '../lands/lands.ts';
import { report } from '../report.ts';
import type { BedFit } from '../survey/bed-fit.ts';
import type { PitchRule } from './pitch.ts';
import type { StopRules } from './stops.ts';

/** The rules for the lines of one direction. */
export interface Axis {
  readonly name: 'row' | 'column';
  /** Along the drawing's axis, between the board's edges as drawn. */
  readonly rules: StopRules;
  /** How far the first and the last line had to go beyond the edge rule, mm. */
  readonly relaxed: { readonly first: number; readonly last: number };
}

/** Room for an outer line to be on a land where the lands begin beyond the edge rule, mm. */
const ROOM = 12;

/** What the edge rule and the pitch leave to the outer lines, mm from the board's edge. */
export interface EdgeRange {
  readonly least: number;
  /** The profile's, but not beyond half the pitch: from there on the edge is farther from its row than the pitch allows. */
  readonly greatest: number;
}

export function edgeRange(record: MachineRecord, pitch: PitchRule): EdgeRange {
  const [least, greatest] = record.machine.fixing.layout.edge;
  return { least, greatest: Math.min(greatest, pitch.limit / 2) };
}

/** What is wrong with the profile itself: an edge rule that contradicts the pitch. */
export function contradiction(record: MachineRecord, pitch: PitchRule): Diagnostic | null {
  const { units } = record.machine;
  const [least, greatest] = record.machine.fixing.layout.edge;
  const half = pitch.limit / 2;
  if (greatest <= half) return null;
  const impossible = least > half;
  return report({
    place: profilePlace(record),
    code: 'layout/edge-and-pitch',
    severity: impossible ? 'stop' : 'warn',
    message: `fixing.layout.edge lets the outer sites stand ${shortNumber(least, units)} to ${shortLength(greatest, units)} from the board's edge, but at a pitch of ${shortLength(pitch.limit, units)} the edge may be no farther than half of it, ${shortLength(half, units)}, from its sites`,
    facts: { least, greatest, half },
    help: impossible
      ? `lower the first figure of fixing.layout.edge to ${limitLength(half, units, false)} or less, or raise fixing.layout.pitch_max to ${atLeastLength(2 * least, units)}`
      : `lower the second figure of fixing.layout.edge to ${limitLength(half, units, false)}; the layout uses no more`,
  });
}

/**
 * Rules of one direction. The board lies along the machine's axes, the lines along the drawing's: where the survey
 * says that those differ, an outer line keeps its distance along the whole edge, give or take what a survey may be off.
 */
export function axisOf(
  name: Axis['name'],
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
): Axis {
  const k = name === 'column' ? 0 : 1;
  const { at, size } = record.machine.board;
  const [from, to] = [at[k], at[k] + size[k]];
  const box = bounds(lands.nominal);
  const land: Interval = k === 0 ? [box.minX, box.maxX] : [box.minY, box.maxY];
  const { nudgeMax } = record.machine.fixing.layout;
  const edge = edgeRange(record, pitch);
  const play = record.house.survey.limit + lands.uncertainty;
  const corners = lands.boardCorners.map(fit.toNominal);
  // How far the edge is from where it is drawn, at its two ends.
  const before = endsOf(corners, k, 'least').map((v) => v - from);
  const behind = endsOf(corners, k, 'greatest').map((v) => to - v);
  const first = range(edge, before, play, land[0] - from);
  const last = range(edge, behind, play, to - land[1]);
  return {
    name,
    relaxed: { first: first.beyond, last: last.beyond },
    rules: {
      from,
      to,
      first: first.range,
      last: last.range,
      pitch: pitch.limit,
      outerPitch: pitch.outer,
      leastGap: lands.needs.between + 2 * lands.uncertainty,
      allowed: [[land[0] - nudgeMax, land[1] + nudgeMax]],
    },
  };
}

/** Coordinates of the two corners that end the edge on one side. */
function endsOf(corners: readonly Point[], k: 0 | 1, side: 'least' | 'greatest'): number[] {
  const sorted = corners.map((p) => p[k]).sort((a, b) => a - b);
  return side === 'least' ? sorted.slice(0, 2) : sorted.slice(-2);
}

/** Distance of an outer line from the drawn edge: the edge rule, or where the lands begin if that is farther in. */
function range(
  edge: EdgeRange,
  off: readonly number[],
  play: number,
  land: number,
): { readonly range: Interval; readonly beyond: number } {
  const most = Math.max(...off);
  const least = Math.min(...off);
  // Within the play of a survey the drawn edge is as good as the real one.
  const low = edge.least + (most > play ? most - play : least < -play ? Math.min(0, most + play) : 0);
  const high = edge.greatest + (least < -play ? least + play : most > play ? Math.max(0, least - play) : 0);
  const middle = (low + high) / 2;
  const [from, to] = low <= high ? [low, high] : [middle, middle];
  const beyond = Math.max(0, land - to);
  return { range: [from, beyond > 0 ? land + ROOM : to], beyond };
}

/** Says where the outer lines stand farther from the board's edge than the profile asks for, and why. */
export function relaxFindings(record: MachineRecord, lands: Lands, a: Axis): Diagnostic[] {
  const { units } = record.machine;
  const edge = record.machine.fixing.layout.edge;
  const sides =
    a.name === 'row'
      ? ([
          ['front', a.relaxed.first, 'least Y'],
          ['back', a.relaxed.last, 'greatest Y'],
        ] as const)
      : ([
          ['left', a.relaxed.first, 'least X'],
          ['right', a.relaxed.last, 'greatest X'],
        ] as const);
  return sides.flatMap(([side, off, travel]) => {
    if (off <= 0) return [];
    const cause = reachCause(lands, side)
      ? `the spindle reaches no farther (travel limit, ${travel}${lands.needs.overhang > 0 ? `, less ${shortLength(lands.needs.overhang, units)} that ${lands.needs.overhangBy} needs` : ''})`
      : 'there is no land any nearer';
    return [
      report({
        place: profilePlace(record),
        code: 'layout/edge-out-of-reach',
        message: `the outer ${a.name} along the ${side} edge of the board stands up to ${shortLength(edge[1] + off, units)} from it, the edge rule asks for ${shortLength(edge[1], units)}: ${cause}`,
        facts: { side, beyond: rounded(off, 3) },
        help: `hold the ${side} edge down by other means or move the board; the sites move just inside`,
      }),
    ];
  });
}

/** True when it is the travel, not the bed, that ends the lands on that side. */
function reachCause(lands: Lands, side: 'front' | 'back' | 'left' | 'right'): boolean {
  if (lands.actual.length === 0) return false;
  const box = bounds(lands.actual);
  const near = 0.5;
  if (side === 'front') return box.minY - lands.reach.minY < near;
  if (side === 'back') return lands.reach.maxY - box.maxY < near;
  if (side === 'left') return box.minX - lands.reach.minX < near;
  return lands.reach.maxX - box.maxX < near;
}

/** No number of lines obeys the rules of one direction. */
export function noLines(record: MachineRecord, a: Axis): Diagnostic {
  const r = a.rules;
  const { units } = record.machine;
  const across = shortLength(r.to - r.from, units);
  const tooClose = r.pitch < r.leastGap;
  return report({
    place: profilePlace(record),
    code: 'layout/impossible',
    message: tooClose
      ? `no ${a.name}s can be placed: pockets and bores need ${shortLength(r.leastGap, units)} between sites, the pitch allows ${shortLength(r.pitch, units)}`
      : `no set of ${a.name}s obeys pitch ${shortLength(r.pitch, units)} and edge ${shortNumber(r.first[0], units)} to ${shortLength(r.first[1], units)} across ${across} of board within the lands from ${shortNumber(r.allowed[0]?.[0] ?? 0, units)} to ${shortNumber(r.allowed.at(-1)?.[1] ?? 0, units)}`,
    facts: {
      pitch: r.pitch,
      leastGap: rounded(r.leastGap, 3),
      across: rounded(r.to - r.from, 3),
    },
  });
}
