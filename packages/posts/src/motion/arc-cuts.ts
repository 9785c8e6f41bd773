import type { ArcChoices } from '../choices.ts';
import type { Arc } from './arc-geometry.ts';
import { directionOf, HALF_PI, PI, TWO_PI } from './trig.ts';

/** Near 180° the radius form loses its centre (a chord error of 0.0005 mm moves it by 0.16 mm), so arcs stop well short of it. */
const RADIUS_FORM_SWEEP = (150 / 180) * PI;
/** Greatest angle of one chord when an arc becomes lines. */
const CHORD_SWEEP = PI / 4;
/** Angles this close to an end do not make a piece of their own. */
const SLIVER = 1e-7;

function equalCuts(sweep: number, pieces: number): number[] {
  const cuts: number[] = [];
  for (let i = 1; i < pieces; i++) cuts.push((sweep * i) / pieces);
  return cuts;
}

/** Angles travelled from the start at which the arc crosses the axes of its centre. */
function quadrantCuts(arc: Arc): number[] {
  const cuts: number[] = [];
  const past = arc.from - HALF_PI * Math.floor(arc.from / HALF_PI);
  for (let cut = arc.clockwise ? past : HALF_PI - past; cut < arc.sweep - SLIVER; cut += HALF_PI) {
    if (cut > SLIVER) cuts.push(cut);
  }
  return cuts;
}

/**
 * Where an arc must be cut into several blocks, as angles travelled from its start, ascending; empty for one block.
 * `closed`: its rounded ends are one point, so that one block would be a full circle.
 */
export function arcCuts(arc: Arc, choices: ArcChoices, closed: boolean): readonly number[] {
  if (choices.oneQuadrant) return quadrantCuts(arc);
  const full = closed || arc.sweep > TWO_PI - SLIVER;
  const pieces = full ? choices.fullCircle : 1;
  const least = choices.centre === 'by-radius' ? Math.ceil(arc.sweep / RADIUS_FORM_SWEEP - SLIVER) : 1;
  return equalCuts(arc.sweep, Math.max(pieces, least));
}

/** Cuts for chords whose greatest distance from the arc is `tolerance`: half a chord's angle is arccos(1 − t/r). */
export function chordCuts(arc: Arc, tolerance: number): readonly number[] {
  let step = CHORD_SWEEP;
  if (tolerance < arc.radius) {
    const share = tolerance / arc.radius;
    step = Math.min(step, 2 * directionOf(1 - share, Math.sqrt(share * (2 - share))));
  }
  return equalCuts(arc.sweep, Math.max(1, Math.ceil(arc.sweep / step - SLIVER)));
}
