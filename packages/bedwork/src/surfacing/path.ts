import { shortLength, type Units } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';

export interface SurfacingRules {
  /** The board, bed frame, mm. */
  readonly board: {
    readonly minX: number;
    readonly minY: number;
    readonly maxX: number;
    readonly maxY: number;
  };
  /** Where the spindle's centre can go, mm. */
  readonly reach: { readonly x: readonly [number, number]; readonly y: readonly [number, number] };
  readonly radius: number;
  /** Greatest stepover, mm. */
  readonly stepover: number;
  /** How far the rim runs past the edge, mm. */
  readonly overrun: number;
  readonly rows: 'x' | 'y';
  readonly style: 'serpentine' | 'one-way-climb' | 'one-way-conventional' | 'inward';
  readonly perimeterPass: boolean;
  /** Units of the notes; default mm. */
  readonly units?: Units;
}

/** One unbroken cut at depth; the cutter is lifted between chains. */
export interface Chain {
  readonly title: string;
  readonly points: readonly Point[];
  /** Rows: every second stretch is a link that clears nothing the rows do not. Else every stretch is needed. */
  readonly form: 'rows' | 'loop';
}

/** A stretch of a chain between two places where the cutter may be lifted. */
export interface Piece {
  readonly title: string;
  readonly points: readonly Point[];
}

/**
 * Cuts chains into pieces of about `every` mm, each of which begins anew from clear height. Links between rows may fall
 * away there; what clears board does not.
 */
export function splitChains(chains: readonly Chain[], every: number): Piece[] {
  const pieces: Piece[] = [];
  for (const { title, points, form } of chains) {
    const rows = form === 'rows';
    let begin = 0;
    const add = (end: number): void => {
      const from = rows ? begin / 2 : begin;
      pieces.push({
        title: begin === 0 ? title : `${title} from ${rows ? 'row' : 'corner'} ${from + 1}`,
        points: points.slice(begin, end),
      });
    };
    for (let i = 2; i + 1 < points.length; i += rows ? 2 : 1) {
      if (chainLength(points.slice(begin, i)) < every) continue;
      add(i);
      begin = rows ? i : i - 1;
    }
    add(points.length);
  }
  return pieces;
}

/** A strip of the board that the cutter's rim cannot reach. */
export interface Strip {
  readonly side: 'left' | 'right' | 'front' | 'back';
  readonly width: number;
}

export interface SurfacePath {
  readonly chains: readonly Chain[];
  /** Even stepover really used, mm. */
  readonly step: number;
  readonly rowCount: number;
  readonly strips: readonly Strip[];
  /** mm at depth: rows, and the links between them. */
  readonly length: number;
  /** Where rows end short of the edge, mm; negative past it. */
  readonly inset: number;
  readonly notes: readonly string[];
}

/** Rings round a 90° corner leave a residue above this share of the diameter: (1 + sin 45°)/2. */
export const RING_STEP_MOST = (1 + Math.SQRT1_2) / 2;

/** Rim overrun past the edge that clears the triangles between round row ends: R − √(R² − (s/2)²). mm. */
export function triangleOverrun(radius: number, stepover: number): number {
  if (!(stepover <= 2 * radius)) {
    throw new RangeError(`stepover ${stepover} must not be greater than the diameter ${2 * radius}`);
  }
  return radius - Math.sqrt(radius * radius - (stepover * stepover) / 4);
}

/**
 * Width of the strip that cannot be surfaced: the edge past the farthest place of the rim, max(0, beyond − R), where
 * `beyond` is how far the edge lies past the travel limit. mm.
 */
export function unreachableStrip(beyond: number, radius: number): number {
  return Math.max(0, beyond - radius);
}

/** Plans the path of one pass in plan view. Heights and entries are the writer's business. */
export function planPath(rules: SurfacingRules): SurfacePath {
  const { board, reach, radius } = rules;
  const width = board.maxX - board.minX;
  const depth = board.maxY - board.minY;
  if (!(radius > 0) || !(width > 0) || !(depth > 0)) {
    throw new RangeError(`radius and board must be greater than 0 mm, found ${radius}, ${width} × ${depth}`);
  }
  if (!(rules.stepover > 0 && rules.stepover <= 2 * radius)) {
    throw new RangeError(`the stepover must be within (0, ${2 * radius}] mm, found ${rules.stepover}`);
  }
  const strips: Strip[] = [];
  const strip = (side: Strip['side'], beyond: number): void => {
    const left = unreachableStrip(beyond, radius);
    if (left > 1e-6) strips.push({ side, width: left });
  };
  strip('left', reach.x[0] - board.minX);
  strip('right', board.maxX - reach.x[1]);
  strip('front', reach.y[0] - board.minY);
  strip('back', board.maxY - reach.y[1]);
  const made = rules.style === 'inward' ? rings(rules) : rows(rules);
  const chains = [...made.chains];
  if (rules.perimeterPass && rules.style !== 'inward') chains.push(perimeter(rules));
  return {
    chains,
    step: made.step,
    rowCount: made.rowCount,
    strips,
    inset: made.inset,
    length: chains.reduce((sum, chain) => sum + chainLength(chain.points), 0),
    notes: made.notes,
  };
}

export function chainLength(points: readonly Point[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i += 1) {
    const dx = points[i]![0] - points[i - 1]![0];
    const dy = points[i]![1] - points[i - 1]![1];
    sum += Math.sqrt(dx * dx + dy * dy);
  }
  return sum;
}

interface Made {
  readonly chains: readonly Chain[];
  readonly step: number;
  readonly rowCount: number;
  readonly inset: number;
  readonly notes: readonly string[];
}

/** Least overrun of the rim, mm: a rim that only touches the edge leaves a film there. */
const LEAST_OVERRUN = 0.05;

/** The rim runs past the edge by at least a film and at most so far that the centre stays over the board. */
function overrunOf(rules: SurfacingRules): number {
  return Math.min(Math.max(LEAST_OVERRUN, rules.overrun), 0.95 * rules.radius);
}

function clamp(value: number, [low, high]: readonly [number, number]): number {
  return Math.min(high, Math.max(low, value));
}

/** Rows in their own frame: `u` along them, `v` across. */
function rows(rules: SurfacingRules): Made {
  const { board, radius } = rules;
  const alongX = rules.rows === 'x';
  const u0 = alongX ? board.minX : board.minY;
  const u1 = alongX ? board.maxX : board.maxY;
  const v0 = alongX ? board.minY : board.minX;
  const v1 = alongX ? board.maxY : board.maxX;
  const reachU = alongX ? rules.reach.x : rules.reach.y;
  const reachV = alongX ? rules.reach.y : rules.reach.x;
  const point = (u: number, v: number): Point => (alongX ? [u, v] : [v, u]);
  const notes: string[] = [];

  const over = overrunOf(rules);
  let first = clamp(v0 + radius - over, reachV);
  let last = clamp(v1 - radius + over, reachV);
  let count: number;
  if (last - first <= 1e-9) {
    const middle = clamp((v0 + v1) / 2, reachV);
    first = middle;
    last = middle;
    count = 1;
  } else {
    count = Math.ceil((last - first) / rules.stepover - 1e-9) + 1;
  }
  const step = count > 1 ? (last - first) / (count - 1) : 0;

  // A point of the short edge is cleared when the centre comes within √(R² − d²) of it, d its distance across.
  const within = (distance: number): number =>
    distance < radius ? Math.sqrt(radius * radius - distance * distance) : 0;
  const inner = within(step / 2);
  const insetOf = (index: number): number => {
    const v = first + step * index;
    let inset = count > 1 ? inner : radius;
    if (index === 0) inset = Math.min(inset, within(v - v0));
    if (index === count - 1) inset = Math.min(inset, within(v1 - v));
    return Math.min(inset, radius - over);
  };
  const ends = (index: number): readonly [number, number] => {
    const inset = insetOf(index);
    // A board shorter than the cutter still gets a stroke across its middle.
    const a = Math.min(u0 + inset, (u0 + u1) / 2);
    const b = Math.max(u1 - inset, (u0 + u1) / 2);
    return [clamp(a, reachU), clamp(b, reachU)];
  };
  const lines = Array.from({ length: count }, (_, i) => {
    const [a, b] = ends(i);
    const v = first + step * i;
    return { a: point(a, v), b: point(b, v) };
  });

  let chains: Chain[];
  if (rules.style === 'serpentine') {
    const points: Point[] = [];
    lines.forEach(({ a, b }, i) => {
      points.push(...(i % 2 === 0 ? [a, b] : [b, a]));
    });
    chains = [{ title: 'rows', points, form: 'rows' }];
  } else {
    if (step > radius + 1e-9) {
      notes.push(
        `stepover ${shortLength(step, rules.units ?? 'mm')} is more than half the cutter: one-way rows are then neither all climb nor all conventional`,
      );
    }
    // Rows advance towards +v. Uncut board on the right of travel is climb for a clockwise spindle.
    const climbIsForward = !alongX;
    const forward = (rules.style === 'one-way-climb') === climbIsForward;
    chains = lines.map(({ a, b }, i) => ({
      title: `row ${i + 1}`,
      points: forward ? [a, b] : [b, a],
      form: 'rows' as const,
    }));
  }
  // Where the travel cuts rows short, round row ends would leave triangles along the strip: one stroke across clears them.
  for (const [edge, inset] of [
    [u0, 1],
    [u1, -1],
  ] as const) {
    const end = clamp(edge, reachU);
    if ((end - edge) * inset <= radius * 1e-9 || count === 1) continue;
    chains.push({
      title: 'end of the travel',
      points: [point(end, clamp(v0, reachV)), point(end, clamp(v1, reachV))],
      form: 'loop',
    });
  }
  return {
    chains,
    step,
    rowCount: count,
    inset: count > 1 ? insetOf(Math.min(1, count - 1)) : insetOf(0),
    notes,
  };
}

/** Rectangles from outside in, clockwise: a clockwise spindle then climbs. */
function rings(rules: SurfacingRules): Made {
  const { board, reach, radius } = rules;
  const notes: string[] = [];
  const most = 2 * radius * RING_STEP_MOST * 0.999;
  let wanted = rules.stepover;
  if (wanted > most) {
    notes.push(
      `stepover reduced from ${shortLength(wanted, rules.units ?? 'mm')} to ${shortLength(most, rules.units ?? 'mm')}: rings leave a residue in their corners above 85 % of the diameter`,
    );
    wanted = most;
  }
  const over = overrunOf(rules);
  // The board's sharp corners stay uncut unless the outer ring's corner comes within R of them.
  const start = Math.min(radius - over, radius * Math.SQRT1_2 * 0.999);
  // Where the travel holds one side of the ring back, the sides beside it go out far enough to reach the corner still.
  const held = (...insets: readonly number[]): number => {
    const most = Math.max(...insets);
    if (most <= start) return start;
    return most < radius ? Math.min(start, Math.sqrt(radius * radius - most * most)) : 0;
  };
  const besideX = held(reach.y[0] - board.minY, board.maxY - reach.y[1]);
  const besideY = held(reach.x[0] - board.minX, board.maxX - reach.x[1]);
  const box = {
    minX: clamp(board.minX + besideX, reach.x),
    maxX: clamp(board.maxX - besideX, reach.x),
    minY: clamp(board.minY + besideY, reach.y),
    maxY: clamp(board.maxY - besideY, reach.y),
  };
  const half = Math.max(0, Math.min(box.maxX - box.minX, box.maxY - box.minY) / 2);
  // Rings go in until the middle that is left is narrower than the cutter.
  const count = Math.max(1, Math.ceil(half / wanted - 1e-9));
  const step = half / count;
  const points: Point[] = [];
  let total = 0;
  for (let i = 0; i <= count; i += 1) {
    const x0 = box.minX + step * i;
    const x1 = Math.max(x0, box.maxX - step * i);
    const y0 = box.minY + step * i;
    const y1 = Math.max(y0, box.maxY - step * i);
    total += 1;
    // Clockwise from the lower-left corner: up, right, down, back.
    const corners: Point[] = [
      [x0, y0],
      [x0, y1],
      [x1, y1],
      [x1, y0],
      [x0, y0],
    ];
    if (x1 - x0 < 1e-6) points.push([x0, y0], [x0, y1]);
    else if (y1 - y0 < 1e-6) points.push([x0, y0], [x1, y0]);
    else points.push(...corners);
  }
  return {
    chains: [{ title: 'rings', points: withoutRepeats(points), form: 'loop' }],
    step,
    rowCount: total,
    inset: start,
    notes,
  };
}

/** One clockwise lap along the edge that clears what round row ends left. */
function perimeter(rules: SurfacingRules): Chain {
  const { board, reach, radius } = rules;
  const inset = Math.min(radius * 0.7, radius - overrunOf(rules));
  const x0 = clamp(Math.min(board.minX + inset, (board.minX + board.maxX) / 2), reach.x);
  const x1 = clamp(Math.max(board.maxX - inset, (board.minX + board.maxX) / 2), reach.x);
  const y0 = clamp(Math.min(board.minY + inset, (board.minY + board.maxY) / 2), reach.y);
  const y1 = clamp(Math.max(board.maxY - inset, (board.minY + board.maxY) / 2), reach.y);
  return {
    title: 'perimeter',
    form: 'loop',
    points: withoutRepeats([
      [x0, y0],
      [x0, y1],
      [x1, y1],
      [x1, y0],
      [x0, y0],
    ]),
  };
}

function withoutRepeats(points: readonly Point[]): Point[] {
  return points.filter((p, i) => {
    const q = points[i - 1];
    return !q || Math.abs(p[0] - q[0]) > 1e-6 || Math.abs(p[1] - q[1]) > 1e-6;
  });
}
