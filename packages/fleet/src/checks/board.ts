import { writtenLength } from '@bedledger/diagnostics';
import { bounds, distance, type Point } from '@bedledger/geometry';
import { boardRegion } from '../features/regions.ts';
import type { SharedData } from '../load/shared.ts';
import type { Machine } from '../model/machine.ts';
import type { BoardStock } from '../model/shared.ts';
import { below, type Findings, type Locator, relatedTo, report } from '../report.ts';
import type { MachineWritten } from '../written/machine.ts';
import { boxHolds, overhangs } from './boxes.ts';
import { repeatedNames } from './repeated.ts';

/** A nudge longer than this, mm, moves a site somewhere else; a person has mistyped. */
const LONGEST_NUDGE = 60;
/** No pockets of two sites fit closer than this, mm. */
const SITES_APART = 25;
/** No board needs its sites closer than this, mm. */
const LEAST_PITCH = 30;
/** A saw cut leaves a sheet no larger than this above its nominal size, mm. */
const SHEET_TOLERANCE = 0.1;
/** A rim break is at most this part of the board's thickness (ours). */
const RIM_SHARE = 8;
/** Room that a cutter needs above the board when it moves across it, and the room that is advised, mm. */
const CLEAR_ABOVE = { least: 2, advised: 5 };

const ORIGIN: Point = [0, 0];

/** Board, layout and nudges against bed, travel and the shared lists. */
export function* boardFindings(
  written: MachineWritten,
  machine: Machine,
  shared: SharedData,
  at: Locator,
): Findings {
  const stock = shared.boards?.get(machine.board.stock);
  if (stock) yield* boardFromStock(machine, stock, at);
  yield* boardInTravel(machine, shared, at);
  const inLayout = below(at, 'fixing', 'layout');
  yield* layoutRules(machine, inLayout);
  yield* givenSites(written, machine, inLayout);
  yield* nudges(machine, below(at, 'fixing', 'nudges'));
}

function* boardFromStock(machine: Machine, stock: BoardStock, at: Locator): Findings {
  const { board, units, clearHeight } = machine;
  const when = writtenLength(stock.thickness, units);
  if (board.leastThickness >= stock.thickness) {
    yield report({
      code: 'profile/least-thickness',
      ...at(['board', 'least_thickness']),
      message: `the board is replaced below ${writtenLength(board.leastThickness, units)}, but ${board.stock} is ${when} thick when new`,
    });
  }
  const size = ([a, b]: Point) => `${writtenLength(a, units)} × ${writtenLength(b, units)}`;
  const fits = ([a, b]: Point) =>
    a <= stock.sheet[0] + SHEET_TOLERANCE && b <= stock.sheet[1] + SHEET_TOLERANCE;
  if (!fits(board.size) && !fits([board.size[1], board.size[0]])) {
    yield report({
      code: 'profile/board-larger-than-sheet',
      ...at(['board', 'size']),
      message: `a board of ${size(board.size)} cannot be cut from a sheet of ${size(stock.sheet)}`,
    });
  }
  if (clearHeight <= stock.thickness + CLEAR_ABOVE.least) {
    yield report({
      code: 'profile/clear-height',
      ...at(['clear_height']),
      message: `the clear height ${writtenLength(clearHeight, units)} does not clear a board ${when} thick`,
      help: `write at least ${writtenLength(stock.thickness + CLEAR_ABOVE.advised, units)}`,
    });
  }
  if (board.undersideSkim !== null && board.undersideSkim > stock.thickness / 4) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['board', 'underside_skim']),
      message: `an underside skim of ${writtenLength(board.undersideSkim, units)} takes more than a quarter of the board`,
    });
  }
  if (board.rimBreak !== null && board.rimBreak > stock.thickness / RIM_SHARE) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['board', 'rim_break']),
      message: `a rim break of ${writtenLength(board.rimBreak, units)} on a board ${when} thick: it takes the edge off a rim, and no more`,
    });
  }
}

function* boardInTravel(machine: Machine, shared: SharedData, at: Locator): Findings {
  const { travel, units } = machine;
  if (travel.x[1] <= travel.x[0] || travel.y[1] <= travel.y[0]) return;
  const box = bounds(boardRegion(machine));
  const reachX = Math.min(box.maxX, travel.x[1]) - Math.max(box.minX, travel.x[0]);
  const reachY = Math.min(box.maxY, travel.y[1]) - Math.max(box.minY, travel.y[0]);
  if (reachX < (box.maxX - box.minX) / 2 || reachY < (box.maxY - box.minY) / 2) {
    yield report({
      code: 'profile/board-outside-travel',
      ...at(['board', 'at']),
      related: relatedTo(at(['travel']), 'the travel'),
      message: 'the spindle reaches less than half of the board',
    });
    return;
  }
  const radius = (shared.cutters?.get(machine.cutters.surface)?.diameter ?? 0) / 2;
  const swept = {
    minX: travel.x[0] - radius,
    maxX: travel.x[1] + radius,
    minY: travel.y[0] - radius,
    maxY: travel.y[1] + radius,
  };
  for (const [side, width] of Object.entries(overhangs(box, swept))) {
    if (width <= 0.01) continue;
    yield report({
      code: 'profile/unreachable-strip',
      ...at(['board', 'at']),
      message: `a strip of ${writtenLength(width, units)} at the ${side} of the board cannot be surfaced: the travel ends there, and with every skim it stands higher above the rest, where a sheet that lies on it rides up`,
    });
  }
}

/** `at` locates below `fixing.layout`, as in the two checks that follow. */
function* layoutRules({ fixing: { layout }, board, units }: Machine, at: Locator): Findings {
  const { edge, pitchMax } = layout;
  const width = Math.min(...board.size);
  if (edge[0] > edge[1]) {
    yield report({
      code: 'profile/range-reversed',
      ...at(['edge']),
      message: `the edge rule runs from ${writtenLength(edge[0], units)} to ${writtenLength(edge[1], units)}, expected the least first`,
    });
  } else if (edge[0] * 2 >= width) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['edge']),
      message: `outer rows ${writtenLength(edge[0], units)} from both edges pass each other on a board ${writtenLength(width, units)} wide`,
    });
  }
  if (pitchMax !== null && pitchMax < LEAST_PITCH) {
    yield report({
      code: 'profile/not-plausible',
      ...at(['pitch_max']),
      message: `sites every ${writtenLength(pitchMax, units)} are not plausible`,
    });
  }
}

function* givenSites(written: MachineWritten, machine: Machine, at: Locator): Findings {
  const { pattern, sites } = machine.fixing.layout;
  if (pattern === 'given' && sites.length === 0) {
    yield report({
      code: 'profile/no-sites',
      ...at([]),
      message: 'the pattern is `given`, but no sites are written out',
    });
  }
  if (pattern !== 'given' && written.fixing.layout.sites !== undefined) {
    yield report({
      code: 'profile/sites-ignored',
      ...at(['sites']),
      message: `sites are written out, but the pattern is \`${pattern}\``,
    });
  }
  yield* repeatedNames(sites, 'site', ['sites'], at);
  const box = bounds(boardRegion(machine));
  for (const [i, s] of sites.entries()) {
    if (!boxHolds(box, s.at)) {
      yield report({
        code: 'profile/site-outside-board',
        ...at(['sites', i, 'at']),
        message: `site ${s.id} is not on the board`,
      });
    }
    const other = sites.slice(0, i).find((o) => distance(o.at, s.at) < SITES_APART);
    if (!other) continue;
    yield report({
      code: 'profile/sites-too-close',
      ...at(['sites', i, 'at']),
      message: `sites ${other.id} and ${s.id} are ${writtenLength(distance(other.at, s.at), machine.units)} apart`,
      help: 'their pockets would run into each other: correct one of them',
    });
  }
}

/** `at` locates below `fixing.nudges`. */
function* nudges({ fixing, units }: Machine, at: Locator): Findings {
  for (const n of fixing.nudges) {
    const length = distance(ORIGIN, n.by);
    if (length > LONGEST_NUDGE) {
      yield report({
        code: 'profile/nudge-too-long',
        ...at([n.site, 'by']),
        message: `site ${n.site} is nudged by ${writtenLength(length, units)}, expected ${writtenLength(LONGEST_NUDGE, units)} at most`,
        help: 'a site that far off belongs elsewhere: check the unit, or write it out with pattern `given`',
      });
    } else if (length === 0) {
      yield report({
        code: 'profile/nudge-zero',
        ...at([n.site, 'by']),
        message: `site ${n.site} is nudged by nothing`,
      });
    }
  }
}
