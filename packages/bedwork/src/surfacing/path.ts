import { shortLength, type Units } from '@bedledger/diagnostics';
import { distance, type Point } from '@bedledger/geometry';

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
    throw new RangeError('the cutter and both sides of the board must be wider than 0');
  }
  if (!(rules.stepover > 0 && rules.stepover <= 2 * radius)) {
    const length = (mm: number): string => shortLength(mm, rules.units ?? 'mm');
    throw new RangeError(
      `the stepover must be more than 0 and at most the cutter's ${length(2 * radius)}, found ${length(rules.stepover)}`,
    );
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
    sum += distance(points[i - 1]!, points[i]!);
  }
  return sum;
}

/** The path before a lap along the edge is added. */
interface MainPath {
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
interface RowFrame {
  /** Edges of the board, and how far the spindle's centre goes, along and across. */
  readonly u: readonly [number, number];
  readonly v: readonly [number, number];
  readonly reachU: readonly [number, number];
  readonly reachV: readonly [number, number];
  readonly point: (u: number, v: number) => Point;
}

function rowFrame({ board, reach, rows }: SurfacingRules): RowFrame {
  const x = [board.minX, board.maxX] as const;
  const y = [board.minY, board.maxY] as const;
  return rows === 'x'
    ? { u: x, v: y, reachU: reach.x, reachV: reach.y, point: (u, v) => [u, v] }
    : { u: y, v: x, reachU: reach.y, reachV: reach.x, point: (u, v) => [v, u] };
}

/** Rows from `first` on, `step` apart. */
interface RowSpacing {
  readonly first: number;
  readonly step: number;
  readonly count: number;
}

/** As few rows as the stepover allows, evenly spaced; the rim of the outer ones runs past the edge. */
function rowSpacing(rules: SurfacingRules, { v, reachV }: RowFrame): RowSpacing {
  const inside = rules.radius - overrunOf(rules);
  const first = clamp(v[0] + inside, reachV);
  const last = clamp(v[1] - inside, reachV);
  if (last - first <= 1e-9) return { first: clamp((v[0] + v[1]) / 2, reachV), step: 0, count: 1 };
  const count = Math.ceil((last - first) / rules.stepover - 1e-9) + 1;
  return { first, step: (last - first) / (count - 1), count };
}

/** How far before the short edge a row may end: what its round end leaves is cleared by its neighbours. */
function rowInset(rules: SurfacingRules, { v }: RowFrame, spacing: RowSpacing, index: number): number {
  const { radius } = rules;
  const { first, step, count } = spacing;
  // A point of the short edge is cleared when the centre comes within √(R² − d²) of it, d its distance across.
  const within = (across: number): number =>
    across < radius ? Math.sqrt(radius * radius - across * across) : 0;
  const at = first + step * index;
  let inset = count > 1 ? within(step / 2) : radius;
  if (index === 0) inset = Math.min(inset, within(at - v[0]));
  if (index === count - 1) inset = Math.min(inset, within(v[1] - at));
  return Math.min(inset, radius - overrunOf(rules));
}

function rows(rules: SurfacingRules): MainPath {
  const frame = rowFrame(rules);
  const { u, reachU, point } = frame;
  const spacing = rowSpacing(rules, frame);
  const { first, step, count } = spacing;
  const middle = (u[0] + u[1]) / 2;
  const lines = Array.from({ length: count }, (_, i) => {
    const inset = rowInset(rules, frame, spacing, i);
    const v = first + step * i;
    // A board shorter than the cutter still gets a stroke across its middle.
    const a = clamp(Math.min(u[0] + inset, middle), reachU);
    const b = clamp(Math.max(u[1] - inset, middle), reachU);
    return [point(a, v), point(b, v)] as const;
  });
  const notes: string[] = [];
  if (rules.style !== 'serpentine' && step > rules.radius + 1e-9) {
    notes.push(
      `stepover ${shortLength(step, rules.units ?? 'mm')} is more than half the cutter: one-way rows are then neither all climb nor all conventional`,
    );
  }
  return {
    chains: [
      ...(rules.style === 'serpentine' ? serpentine(lines) : oneWay(rules, lines)),
      ...endStrokes(rules, frame, count),
    ],
    step,
    rowCount: count,
    inset: rowInset(rules, frame, spacing, Math.min(1, count - 1)),
    notes,
  };
}

type Line = readonly [Point, Point];

function serpentine(lines: readonly Line[]): Chain[] {
  const points = lines.flatMap(([a, b], i) => (i % 2 === 0 ? [a, b] : [b, a]));
  return [{ title: 'rows', points, form: 'rows' }];
}

/** Rows advance towards +v. Uncut board on the right of travel is climb for a clockwise spindle. */
function oneWay(rules: SurfacingRules, lines: readonly Line[]): Chain[] {
  const climbIsForward = rules.rows === 'y';
  const forward = (rules.style === 'one-way-climb') === climbIsForward;
  return lines.map(([a, b], i) => ({
    title: `row ${i + 1}`,
    points: forward ? [a, b] : [b, a],
    form: 'rows',
  }));
}

/** Where the travel cuts rows short, round row ends would leave triangles along the strip: one stroke across clears them. */
function endStrokes(
  rules: SurfacingRules,
  { u, v, reachU, reachV, point }: RowFrame,
  count: number,
): Chain[] {
  if (count === 1) return [];
  const short = [
    { end: clamp(u[0], reachU), by: clamp(u[0], reachU) - u[0] },
    { end: clamp(u[1], reachU), by: u[1] - clamp(u[1], reachU) },
  ].filter(({ by }) => by > rules.radius * 1e-9);
  return short.map(({ end }) => ({
    title: 'end of the travel',
    points: [point(end, clamp(v[0], reachV)), point(end, clamp(v[1], reachV))],
    form: 'loop',
  }));
}

/** Rectangles from outside in, clockwise: a clockwise spindle then climbs. */
function rings(rules: SurfacingRules): MainPath {
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
