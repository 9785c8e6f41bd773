import { fineLength, fineNumber, type Units, writtenLength } from '@bedledger/diagnostics';
import { distance } from '@bedledger/geometry';
import { oddHeights } from '../ledger/height-facts.ts';
import type { BoardState } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import type { HeightMap } from '../model/record.ts';
import { type Findings, report, type Spot } from '../report.ts';
import { boxHolds } from './boxes.ts';

type HeightPoint = HeightMap['points'][number];

/** Readings this far beside the board are still meant for it: a foot of the indicator off the edge, mm. */
const BESIDE = 50;
/** A place that differs this much from every thickness recorded is a slip more often than a bow, mm (ours). */
const UNLIKELY = 1.5;
/** Heights this far from the thickness, as a factor, are in the other unit: 25.4 either way, with room. */
const WRONG_UNIT = 8;

/**
 * Is the height map that the next skim starts from a map of this board?
 * `spot` gives the place of a point's row by its index; of the file for null.
 */
export function* heightFindings(
  map: HeightMap,
  machine: Machine,
  board: BoardState | null,
  spot: (index: number | null) => Spot,
): Findings {
  const { points } = map;
  const { units } = machine;
  if (board && !sameUnit(points, board.thickness)) {
    yield report({
      code: 'heights/unit',
      ...spot(null),
      message: `the heights are about ${fineLength(median(points), units)}, the board is ${fineLength(board.thickness, units)} thick: expected heights above the bed in the unit of the profile`,
    });
    return;
  }
  const { at, size } = machine.board;
  const box = { minX: at[0], minY: at[1], maxX: at[0] + size[0], maxY: at[1] + size[1] };
  const beside = (p: HeightPoint) => !boxHolds(box, [p[0], p[1]], -BESIDE);
  const outside = points.filter(beside).length;
  const first = points.findIndex(beside);
  if (outside === points.length) {
    yield report({
      code: 'heights/elsewhere',
      ...spot(0),
      message: `none of the ${points.length} points lies on the board: the first is at ${where(points[0]!, units)}`,
    });
    return;
  }
  if (outside > 0) {
    yield report({
      code: 'heights/beside-board',
      ...spot(first),
      message: `${outside} of ${points.length} points lie more than ${writtenLength(BESIDE, units)} beside the board, the first at ${where(points[first]!, units)}`,
      help: 'correct their places, or take them out: the lowest point of the map decides how deep the skim goes',
    });
  }
  if (onOneLine(points)) {
    yield report({
      code: 'heights/sparse',
      ...spot(null),
      message: `${points.length === 1 ? 'one point says' : `${points.length} points on one line say`} nothing of the rest of the board: it may stand higher there than the first pass expects`,
    });
  }
  if (board) yield* againstThickness(points, board, units, spot);
  for (const { index, reading, by, against } of oddHeights(points, board)) {
    if (against === 'ledger') continue;
    yield report({
      code: 'heights/odd',
      ...spot(index),
      message: `${fineLength(reading[2], units)} at ${where(reading, units)} is ${fineLength(Math.abs(by), units)} ${by > 0 ? 'above' : 'below'} what the readings around it say of that place`,
    });
  }
}

function where(p: HeightPoint, units: Units): string {
  return `X${fineNumber(p[0], units)} Y${fineNumber(p[1], units)}`;
}

function median(points: readonly HeightPoint[]): number {
  const heights = points.map((p) => p[2]).sort((a, b) => a - b);
  return heights[Math.floor(heights.length / 2)]!;
}

function sameUnit(points: readonly HeightPoint[], thickness: number): boolean {
  const middle = median(points);
  return middle > thickness / WRONG_UNIT && middle < thickness * WRONG_UNIT;
}

/** The highest and the lowest point against the thickness that the ledger has. */
function* againstThickness(
  points: readonly HeightPoint[],
  board: BoardState,
  units: Units,
  spot: (index: number) => Spot,
): Findings {
  let low = 0;
  let high = 0;
  for (const [i, p] of points.entries()) {
    if (p[2] < points[low]![2]) low = i;
    if (p[2] > points[high]![2]) high = i;
  }
  const above = points[high]![2] - board.thickness;
  if (above > UNLIKELY) {
    yield report({
      code: 'heights/disagrees',
      ...spot(high),
      message: `${fineLength(points[high]![2], units)} at ${where(points[high]!, units)} is ${fineLength(above, units)} above the recorded thickness of the board, ${fineLength(board.thickness, units)}`,
      help: 'measure that place again with the vacuum on; a board that stands off the bed is not to be skimmed',
    });
  }
  const under = board.thinnest - points[low]![2];
  if (under > UNLIKELY) {
    yield report({
      code: 'heights/disagrees',
      ...spot(low),
      message: `${fineLength(points[low]![2], units)} at ${where(points[low]!, units)} is ${fineLength(under, units)} below the recorded thickness of the board, ${fineLength(board.thinnest, units)}`,
      help: 'measure that place again; when it is a gouge, fill it: the lowest point decides how deep the skim goes',
    });
  }
}

/** Do the places lie on one line (or in one point)? A line is narrower than a twentieth of its length. */
function onOneLine(points: readonly HeightPoint[]): boolean {
  const first = points[0]!;
  const from = (p: HeightPoint) => distance([first[0], first[1]], [p[0], p[1]]);
  const far = points.reduce((a, b) => (from(b) > from(a) ? b : a));
  const length = from(far);
  if (length === 0) return true;
  const ux = (far[0] - first[0]) / length;
  const uy = (far[1] - first[1]) / length;
  return points.every((p) => Math.abs((p[0] - first[0]) * uy - (p[1] - first[1]) * ux) < length / 20);
}
