import type { Layout } from '@bedledger/bedwork';
import { bedFeatures, bedRegion, type MachineRecord } from '@bedledger/fleet';
import { containsPoint, type Point, type Region } from '@bedledger/geometry';
import { fitBed } from '../../packages/bedwork/src/survey/bed-fit.ts';

const PLAY = 2e-3;

/** Distance from a point to a segment, school geometry. */
function toSegment(p: Point, a: Point, b: Point): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const l2 = dx * dx + dy * dy;
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / l2));
  return apart(p, [a[0] + t * dx, a[1] + t * dy]);
}

function apart(p: Point, q: Point): number {
  return Math.sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]));
}

/** Distance to the outline of a region, negative inside; every edge looked at. */
function toRegion(p: Point, region: Region): number {
  let least = Number.POSITIVE_INFINITY;
  let inside = false;
  for (const polygon of region) {
    for (const ring of [polygon.outer, ...polygon.holes]) {
      for (const [i, b] of ring.entries()) {
        const a = ring[(i + ring.length - 1) % ring.length] as Point;
        least = Math.min(least, toSegment(p, a, b));
        if (a[1] > p[1] !== b[1] > p[1] && p[0] < a[0] + ((p[1] - a[1]) / (b[1] - a[1])) * (b[0] - a[0]))
          inside = !inside;
      }
    }
  }
  return inside ? -least : least;
}

function mapped(region: Region, f: (p: Point) => Point): Region {
  return region.map((q) => ({ outer: q.outer.map(f), holes: q.holes.map((h) => h.map(f)) }));
}

/** Farthest of a lattice of board points from its nearest site: never more than the real coverage radius. */
export function sampledRadius(record: MachineRecord, sites: readonly Point[], step: number): number {
  const { at, size } = record.machine.board;
  let worst = 0;
  const nx = Math.ceil(size[0] / step);
  const ny = Math.ceil(size[1] / step);
  for (let i = 0; i <= nx; i++) {
    for (let j = 0; j <= ny; j++) {
      const p: Point = [at[0] + (size[0] * i) / nx, at[1] + (size[1] * j) / ny];
      let near = Number.POSITIVE_INFINITY;
      for (const s of sites)
        near = Math.min(near, (s[0] - p[0]) * (s[0] - p[0]) + (s[1] - p[1]) * (s[1] - p[1]));
      worst = Math.max(worst, near);
    }
  }
  return Math.sqrt(worst);
}

/** Everything that a layout without a stop promises and does not keep; empty when it keeps all of it. */
export function brokenPromises(record: MachineRecord, layout: Layout): string[] {
  const out: string[] = [];
  const { machine } = record;
  const fit = fitBed(record);
  const { needs } = layout;
  const { at, size } = machine.board;
  const features = bedFeatures(machine).map((f) => ({
    name: f.name,
    region: mapped(f.region, fit.toActual),
  }));
  const bed = mapped(bedRegion(machine), fit.toActual);
  for (const s of layout.sites) {
    const p = s.actual;
    const u = s.uncertainty;
    const need = (name: string, found: number, wanted: number): void => {
      if (found < wanted - PLAY)
        out.push(`clearance: ${s.id} is ${found.toFixed(3)} from ${name}, needs ${wanted.toFixed(3)}`);
    };
    for (const f of features) need(f.name, toRegion(p, f.region), needs.bed + u);
    need('the edge of the bed', -toRegion(p, bed), needs.bed + u);
    const edge = Math.min(p[0] - at[0], p[1] - at[1], at[0] + size[0] - p[0], at[1] + size[1] - p[1]);
    need('the edge of the board', edge, needs.boardEdge + u);
    for (const c of cornersOf(at, size)) need('a corner of the board', apart(p, c), needs.boardCorner + u);
    const { x, y } = machine.travel;
    need(
      'the end of the travel',
      Math.min(p[0] - x[0], x[1] - p[0], p[1] - y[0], y[1] - p[1]),
      needs.overhang,
    );
    for (const o of layout.sites) {
      if (o !== s && apart(o.actual, p) < needs.between + u - PLAY)
        out.push(
          `distance: ${s.id} and ${o.id} are ${apart(o.actual, p).toFixed(2)} apart, need ${needs.between + u}`,
        );
    }
    for (const n of s.nudges) {
      const by = apart(n.by, [0, 0]);
      if (n.why === 'layout' && by > machine.fixing.layout.nudgeMax + PLAY)
        out.push(`nudge: ${s.id} is nudged by ${by}`);
    }
  }
  const radius = sampledRadius(
    record,
    layout.sites.map((s) => s.actual),
    9,
  );
  if (radius > layout.coverage.radius + PLAY)
    out.push(`coverage: told ${layout.coverage.radius}, sampled ${radius}`);
  const told = layout.findings.some((f) => f.code === 'layout/coverage');
  if (radius > layout.coverage.allowed + 0.01 && !told)
    out.push(`coverage: ${radius} of ${layout.coverage.allowed} and nothing said`);
  out.push(...brokenLines(layout), ...brokenSymmetry(record, layout), ...brokenBound(layout));
  return out;
}

export function cornersOf(at: Point, size: Point): Point[] {
  return [at, [at[0] + size[0], at[1]], [at[0] + size[0], at[1] + size[1]], [at[0], at[1] + size[1]]];
}

function brokenLines(layout: Layout): string[] {
  const out: string[] = [];
  for (const [name, lines] of [
    ['rows', layout.rows],
    ['columns', layout.columns],
  ] as const) {
    for (const [i, v] of lines.entries()) {
      const gap = i > 0 ? v - (lines[i - 1] as number) : 0;
      if (gap > layout.pitch.limit + PLAY)
        out.push(`pitch: ${name} ${i} are ${gap} apart, allowed ${layout.pitch.limit}`);
    }
  }
  return out;
}

function brokenSymmetry(record: MachineRecord, layout: Layout): string[] {
  const out: string[] = [];
  const { at, size } = record.machine.board;
  const images: [boolean, (p: Point) => Point][] = [
    [
      layout.symmetric === 'both' || layout.symmetric === 'left-right',
      (p) => [2 * at[0] + size[0] - p[0], p[1]],
    ],
    [
      layout.symmetric === 'both' || layout.symmetric === 'front-back',
      (p) => [p[0], 2 * at[1] + size[1] - p[1]],
    ],
  ];
  for (const [claimed, image] of images) {
    if (!claimed) continue;
    for (const s of layout.sites) {
      const q = image(s.nominal);
      const near = Math.min(...layout.sites.map((o) => apart(o.nominal, q)));
      if (near > 0.05) {
        out.push(`symmetry: claimed ${layout.symmetric}, ${s.id} has no image within ${near.toFixed(2)}`);
        return out;
      }
    }
  }
  return out;
}

function brokenBound(layout: Layout): string[] {
  const { lower, proven } = layout.bound;
  const n = layout.sites.length;
  if (lower > n) return [`bound: at least ${lower} of ${n}`];
  if (proven && lower !== n) return [`bound: proven, but ${lower} of ${n}`];
  return [];
}

/** Finding codes that a layout repeats, and advice that contradicts the house's own rules. */
export function brokenAdvice(layout: Layout): string[] {
  const out: string[] = [];
  const counts = new Map<string, number>();
  for (const f of layout.findings) counts.set(f.code, (counts.get(f.code) ?? 0) + 1);
  for (const [code, n] of counts) if (n > 4) out.push(`repeated: ${code} ${n} times`);
  for (const f of layout.findings) {
    const nudge = /nudge_max to ([\d.]+) (mm|in)/.exec(f.help ?? '');
    if (nudge) {
      const mm = Number(nudge[1]) * (nudge[2] === 'in' ? 25.4 : 1);
      if (mm > layout.pitch.limit / 4 + 0.1) out.push(`advice: ${f.help}`);
    }
  }
  return out;
}

/**
 * Whether the lands of a bed and of its mirror image are images of each other, on a lattice of 60 × 60 over the board. Grooves are
 * laid out from one corner of their zone, so that the image of a zone need not have the image of its grooves.
 */
export function landsMirrored(
  [bed, lands]: readonly [MachineRecord, Region],
  [image, mirrorLands]: readonly [MachineRecord, Region],
): boolean {
  const { at, size } = bed.machine.board;
  const right = image.machine.board.at[0] + image.machine.board.size[0];
  for (let i = 0; i < 60; i++) {
    for (let j = 0; j < 60; j++) {
      const [dx, dy] = [(size[0] * (i + 0.5)) / 60, (size[1] * (j + 0.5)) / 60];
      const y = at[1] + dy;
      if (containsPoint(lands, [at[0] + dx, y]) !== containsPoint(mirrorLands, [right - dx, y])) return false;
    }
  }
  return true;
}
