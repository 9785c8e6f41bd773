import { type Box, distance, type Point, PointCover } from '@bedledger/geometry';
import type { LineScan } from '../lands/line-scan.ts';
import { SquareCover } from './cover-bound.ts';
import { type CoverTask, inOneHand } from './cover-task.ts';
import { brokenDemands, type CoverRules, type Demand, firstDemands } from './demand.ts';
import type { Effort } from './draft.ts';
import { type LandBox, landBoxes } from './land-boxes.ts';

export interface LeastCover {
  readonly sites: readonly Point[];
  /** No sites on the land, wherever they stand, cover with fewer. */
  readonly lower: number;
  /** Number of places that were tried, and the points of the board that had to be covered. */
  readonly places: number;
  readonly demands: readonly Demand[];
  /** The places of the first lattice. */
  readonly lattice: readonly Point[];
}

/** Squares of the first lattice over the board: more find shorter covers, fewer are searched faster. */
const FIRST_SQUARES = 420;
const SQUARES_A_SITE = 7;
/** Layouts of so many sites are not improved site by site. */
const MANY_SITES = 400;
const MANY = 30;
/** Finest lattice that places are taken from, mm. */
const FINEST = 2.5;
/** Layouts of more sites than this have many ways to lose one: coarser places find them, and squares of land show no other. */
const SOME_SITES = 20;
const FINEST_OF_MANY = 6;
/** Points of the board asked for from the start, and those that a bound may ask for, as shares of the radius. */
const FIRST_DEMANDS = 0.35;
const BOUND_DEMANDS = 0.2;
/** Elementary operations for one try with one site fewer. */
const TRY_WORK = 6e6;
const FIRST_WORK = 1e6;
/** For a try with a place in every square of a fine lattice, which every operation meets. */
const DENSE_WORK = 1.5e7;
/** Tries for a first cover, each with a site more. */
const SETTLE_ROUNDS = 12;
/** Squares over the board for the bound, from coarse to fine, and the most sites for which they are worth their time. */
const BOUND_LEVELS = [
  { squares: 1000, sites: Number.POSITIVE_INFINITY },
  { squares: 4000, sites: 14 },
  { squares: 16_000, sites: 8 },
] as const;
const FEW_SITES = 14;
/** Places tried instead of one inside a zone. */
const SWAP_TRIES = 12;
const BOUND_WORK = 1.2e7;
/** Seeds of the searches after the first. */
const OTHER_SEEDS = [1, 2];
/** Density of the thinnest cover by circles: area of the regular hexagon in a circle of radius 1. */
const HEXAGON = 1.5 * Math.sqrt(3);

/**
 * The fewest sites, as far as a search of fixed length finds them, with a bound that no sites on the land go below.
 *
 * Places are taken from a lattice over the whole land first, then from finer and finer lattices around the sites of the
 * best layout and of the nearest miss, until finer places change nothing; then around covers by whole squares of land,
 * which show where a smaller layout may be. What must be covered is not a sample: whatever a choice leaves open on the
 * continuous board, exactly, is asked for, until nothing is.
 * @returns null when no cover of any size was found, because sites would have to stand nearer to each other than they may
 */
export function leastCover(task: CoverTask, effort: Effort): LeastCover | null {
  const { board } = task.rules;
  const middle: Point = [(board.minX + board.maxX) / 2, (board.minY + board.maxY) / 2];
  const step = latticeStep(board, Math.max(FIRST_SQUARES, SQUARES_A_SITE * hexagonBound(task.rules)));
  const places = landBoxes(task.land, task.scan, middle, step).map((b) => b.at);
  const hand = inOneHand(task, places);
  const found = leastCoverInHand(hand.task, effort);
  if (found === null) return null;
  return {
    ...found,
    sites: found.sites.map(hand.back),
    demands: found.demands.map((d) => ({ ...d, at: hand.back(d.at) })),
    lattice: places,
  };
}

function leastCoverInHand(task: CoverTask, effort: Effort): Omit<LeastCover, 'lattice'> | null {
  let search = new CoverSearch(task, 1);
  if (!search.settle()) return null;
  if (effort === 'quick' || hexagonBound(task.rules) > MANY_SITES) {
    return search.answer();
  }
  search.descend(FIRST_WORK);
  // A small layout is often proven at once, and the long search can be spared.
  if (search.few) search.prove(0);
  if (!search.proven) {
    search.descend(TRY_WORK);
    search.refine();
    for (const [level, { sites }] of BOUND_LEVELS.entries()) {
      if (!search.proven && search.size <= sites) search.prove(level);
    }
  }
  // Of few sites that no bound closes a search that starts from no other layout is worth its time.
  for (const seed of OTHER_SEEDS) {
    if (search.proven || search.size > SOME_SITES) break;
    const other = new CoverSearch({ ...task, known: [] }, seed);
    if (!other.settle()) break;
    other.descend(TRY_WORK);
    other.refine();
    if (other.size < search.size) search = other.provenTo(search.lower);
  }
  search.leaveZones();
  return search.answer();
}

/** Places, demands and the best choice so far. */
class CoverSearch {
  readonly #task: CoverTask;
  readonly #cover: PointCover;
  readonly #demands: Demand[] = [];
  readonly #known = new Set<string>();
  readonly #places = new Set<number>();
  readonly #middle: Point;
  readonly #step: number;
  #best: number[] = [];
  #lower: number;
  /** What the last failed try had chosen: its places are worth refining too. */
  #nearMiss: number[] = [];

  constructor(task: CoverTask, seed: number) {
    this.#task = task;
    this.#lower = Math.max(task.fixed.length, hexagonBound(task.rules));
    const { board } = task.rules;
    this.#middle = [(board.minX + board.maxX) / 2, (board.minY + board.maxY) / 2];
    this.#step = latticeStep(board, Math.max(FIRST_SQUARES, SQUARES_A_SITE * hexagonBound(task.rules)));
    this.#cover = new PointCover({ apart: task.apart, seed });
    const fixed = task.fixed.map((p) => this.#cover.addCandidate(p));
    for (const p of task.known) this.#addPlace(p);
    for (const { at } of this.#boxes(this.#step)) this.#addPlace(at);
    this.#ask(firstDemands(task.rules, FIRST_DEMANDS * task.rules.radius));
    for (const i of fixed) this.#cover.fix(i);
  }

  /** A first cover of any size. */
  settle(): boolean {
    let size = 0;
    for (let round = 0; round < SETTLE_ROUNDS; round++) {
      this.#cover.fill();
      this.#cover.thin();
      size = Math.max(size + 1, this.#cover.chosen().length);
      if (this.#attempt(size, TRY_WORK / 4)) return true;
    }
    return false;
  }

  /** One site fewer, as often as that works. */
  descend(work: number): boolean {
    let any = false;
    while (this.#best.length > this.#task.fixed.length) {
      this.#cover.choose(this.#best);
      if (!this.#attempt(this.#best.length - 1, work)) return any;
      any = true;
    }
    return any;
  }

  /** Finer places around the best choice and the nearest miss, until they change nothing. */
  refine(): void {
    const many = this.#best.length > SOME_SITES;
    const [finest, finer] = many ? [FINEST_OF_MANY, 3] : [FINEST, 2];
    for (let step = this.#step / 2; step >= finest; ) {
      const before = this.#cover.candidates;
      const around = [...this.#best, ...this.#nearMiss].map((i) => this.#cover.point(i));
      for (const p of this.#finerPlaces(around, step)) this.#addPlace(p);
      if (this.#cover.candidates === before || !this.descend(TRY_WORK / 2)) step /= finer;
    }
  }

  get lower(): number {
    return this.#lower;
  }

  /** With a bound that another search over the same lands has proven. */
  provenTo(lower: number): this {
    this.#lower = Math.max(this.#lower, lower);
    return this;
  }

  /** Few enough sites for a proof. */
  get few(): boolean {
    return this.#best.length <= FEW_SITES;
  }

  get size(): number {
    return this.#best.length;
  }

  get proven(): boolean {
    return this.#lower >= this.#best.length;
  }

  /**
   * Raises the number of sites that no layout goes below. Bound and search take turns: a cover by squares of land shows
   * where a smaller layout may be, and a smaller layout is all that the bound has to reach.
   */
  prove(level: number): void {
    const { rules, fixed } = this.#task;
    const boxes = this.#boxes(latticeStep(rules.board, BOUND_LEVELS[level]?.squares ?? FIRST_SQUARES));
    const demands = [...this.#demands, ...firstDemands(rules, BOUND_DEMANDS * rules.radius)];
    const bound = new SquareCover(boxes, demands, fixed);
    // Few sites leave time to try a place in every square.
    if (level === 1) {
      for (const { at } of boxes) this.#addPlace(at);
      this.descend(DENSE_WORK);
    }
    for (;;) {
      const found = bound.squares(this.#best.length - fixed.length - 1, TRY_WORK);
      if (found === null || this.#best.length > SOME_SITES || !this.#realise(found)) break;
      this.descend(TRY_WORK);
    }
    this.#lower = Math.max(this.#lower, bound.lower(this.few ? BOUND_WORK : BOUND_WORK / 4));
  }

  /** Whether places in and around the squares make a layout with one site fewer. */
  #realise(squares: readonly LandBox[]): boolean {
    for (const { at, box } of squares) {
      this.#addPlace(at);
      for (const p of this.#finerPlaces([at], (box.maxX - box.minX) / 4)) this.#addPlace(p);
    }
    this.#cover.choose([]);
    this.#cover.fill();
    return this.#attempt(this.#best.length - 1, TRY_WORK);
  }

  /** The same number of sites with fewer inside zones: none at all if that can be had, else one by one. */
  leaveZones(): void {
    const inZone: number[] = [];
    for (let i = 0; i < this.#cover.candidates; i++)
      if (this.#task.inZone(this.#cover.point(i))) inZone.push(i);
    const zone = new Set(inZone);
    if (!this.#best.some((i) => zone.has(i))) return;
    if (this.#zonesCanBeLeft(zone)) {
      this.#cover.choose(this.#best.filter((i) => !zone.has(i)));
      this.#cover.ban(inZone, true);
      const none = this.#attempt(this.#best.length, TRY_WORK);
      this.#cover.ban(inZone, false);
      if (none) return;
    }
    let stands = false;
    for (const i of this.#best.filter((j) => zone.has(j))) {
      if (!stands) this.#cover.choose(this.#best);
      stands = !this.#swapOut(i, zone);
    }
  }

  /** Whether every point of the board is met by some place outside the zones. */
  #zonesCanBeLeft(zone: ReadonlySet<number>): boolean {
    for (let d = 0; d < this.#cover.demands; d++)
      if (this.#cover.metBy(d).every((i) => zone.has(i))) return false;
    return true;
  }

  /**
   * Replaces one site of the choice that stands by a place outside the zones that meets all that it alone meets; false
   * when none of those tried does.
   */
  #swapOut(i: number, zone: ReadonlySet<number>): boolean {
    const alone = this.#cover.aloneMeets(i);
    const first = alone[0];
    if (first === undefined) return false;
    const lists = alone.slice(1).map((d) => new Set(this.#cover.metBy(d)));
    const places = this.#cover
      .metBy(first)
      .filter((j) => !zone.has(j) && j !== i && lists.every((met) => met.has(j)));
    const others = this.#best.filter((j) => j !== i).map((j) => this.#cover.point(j));
    let tries = 0;
    for (const j of places) {
      const p = this.#cover.point(j);
      if (others.some((o) => distance(o, p) < this.#task.apart)) continue;
      if (tries++ >= SWAP_TRIES) return false;
      if (brokenDemands([...others, p], this.#task.rules).length > 0) continue;
      this.#best = [...this.#best.filter((k) => k !== i), j].sort((p, q) => p - q);
      return true;
    }
    return false;
  }

  answer(): Omit<LeastCover, 'lattice'> {
    return {
      sites: this.#best.map((i) => this.#cover.point(i)),
      lower: Math.min(this.#lower, this.#best.length),
      places: this.#cover.candidates,
      demands: this.#demands,
    };
  }

  /** Looks for a cover with at most `size` sites that leaves nothing open; keeps it when there is one. */
  #attempt(size: number, work: number): boolean {
    // Layouts of many sites have many ways to lose one: they are found sooner, or not worth the time.
    const end = this.#cover.work + (size > MANY ? work / 2 : size > FEW_SITES + 6 ? work : 2 * work);
    do {
      if (!this.#cover.search(size, end - this.#cover.work)) break;
      // Thinned first: the points asked for so far may be met without a site that the rest of the board needs.
      this.#cover.thin();
      if (!this.#cut()) {
        this.#best = this.#cover.chosen();
        return true;
      }
    } while (this.#cover.work < end);
    this.#nearMiss = this.#cover.chosen();
    return false;
  }

  /** Asks for what the present choice leaves open on the continuous board; false when that is nothing new. */
  #cut(): boolean {
    const sites = this.#cover.chosen().map((i) => this.#cover.point(i));
    const taken: Demand[] = [];
    for (const d of brokenDemands(sites, this.#task.rules)) {
      // What is asked for here soon answers for its neighbourhood.
      if (!this.#known.has(keyOf(d)) && !taken.some((t) => distance(t.at, d.at) < d.within / 4))
        taken.push(d);
    }
    return this.#ask(taken);
  }

  #ask(demands: readonly Demand[]): boolean {
    let any = false;
    for (const d of demands) {
      const key = keyOf(d);
      if (this.#known.has(key)) continue;
      this.#known.add(key);
      any = true;
      const number = this.#cover.demands;
      this.#cover.addDemand(d.at, d.within);
      this.#demands.push(d);
      if (this.#cover.metBy(number).length > 0) continue;
      const near = this.#task.nearestLand(d.at);
      if (near) this.#addPlace(near);
    }
    return any;
  }

  #addPlace(p: Point): void {
    const at = tidy(this.#task.scan, this.#middle, p);
    const key = Math.round(at[0] * 1000) * 1e8 + Math.round(at[1] * 1000);
    if (this.#places.has(key)) return;
    this.#places.add(key);
    const i = this.#cover.addCandidate(at);
    if (this.#task.fixed.some((f) => distance(f, at) < this.#task.apart)) this.#cover.ban([i], true);
  }

  /** Places of a finer lattice in and around places. */
  #finerPlaces(around: readonly Point[], step: number): Point[] {
    const out: Point[] = [];
    for (const [x, y] of around) {
      for (let i = -2; i <= 2; i++) {
        for (let j = -2; j <= 2; j++) {
          const p: Point = [x + i * step, y + j * step];
          if (this.#task.scan.holds(p)) out.push(p);
        }
      }
    }
    return out;
  }

  #boxes(step: number): LandBox[] {
    return landBoxes(this.#task.land, this.#task.scan, this.#middle, step);
  }
}

/** Side of a lattice square so that the board has about so many. */
function latticeStep(board: Box, squares: number): number {
  return Math.sqrt(((board.maxX - board.minX) * (board.maxY - board.minY)) / squares);
}

/**
 * Circles of one radius that cover a convex polygon of at most six sides have at least its area in regular hexagons
 * inscribed in them (L. Fejes Tóth, Lagerungen in der Ebene, 1953; from memory).
 */
export function hexagonBound({ board, radius }: Pick<CoverRules, 'board' | 'radius'>): number {
  const area = (board.maxX - board.minX) * (board.maxY - board.minY);
  return Math.ceil(area / (HEXAGON * radius * radius) - 1e-9);
}

/** Demands within a micrometre of each other are one. */
function keyOf(d: Demand): string {
  return `${d.of}${Math.round(d.at[0] * 1000)},${Math.round(d.at[1] * 1000)}`;
}

/**
 * The point in hundredths of a millimetre from the middle of the board, rounded towards the land; as it is where that
 * leads off the land.
 */
function tidy(scan: LineScan, middle: Point, p: Point): Point {
  const [x, y] = [(p[0] - middle[0]) * 100, (p[1] - middle[1]) * 100];
  const at = (a: number, b: number): Point => [middle[0] + a / 100, middle[1] + b / 100];
  const tries = [
    at(nearest(x), nearest(y)),
    at(Math.trunc(x), Math.trunc(y)),
    at(outward(x), outward(y)),
    at(Math.trunc(x), outward(y)),
    at(outward(x), Math.trunc(y)),
  ];
  return tries.find((q) => scan.holds(q)) ?? p;
}

/** Half away from zero, so that a mirror image is rounded to the mirror image. */
function nearest(v: number): number {
  return Math.sign(v) * Math.round(Math.abs(v));
}

function outward(v: number): number {
  return Math.sign(v) * Math.ceil(Math.abs(v));
}
