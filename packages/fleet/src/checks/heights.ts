import type { Diagnostic } from '@bedledger/diagnostics';
import type { BoardState } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import type { HeightMap } from '../model/record.ts';

/** Readings this far beside the board are still meant for it: a foot of the indicator off the edge, mm. */
const BESIDE = 50;
/** A place that differs this much from every thickness recorded is a slip more often than a bow, mm (ours). */
const UNLIKELY = 1.5;
/** Heights this far from the thickness, as a factor, are in the other unit: 25.4 either way, with room. */
const WRONG_UNIT = 8;

/** Is the height map that the next skim starts from a map of this board? */
export function heightFindings(
  map: HeightMap,
  lines: readonly number[],
  path: string,
  machine: Machine,
  board: BoardState | null,
): Diagnostic[] {
  const { points } = map;
  const found: Diagnostic[] = [];
  const add = (
    code: string,
    severity: 'stop' | 'warn',
    index: number | null,
    message: string,
    help: string,
  ): void => {
    const line = index === null ? undefined : lines[index];
    found.push({
      code: `heights/${code}`,
      severity,
      message,
      place: line === undefined ? { file: path } : { file: path, line, column: 1 },
      help,
    });
  };
  const mm = (value: number): string => `${Math.round(value * 1000) / 1000} mm`;

  const thickness = board?.thickness ?? null;
  const middle = [...points].sort((a, b) => a[2] - b[2])[Math.floor(points.length / 2)]![2];
  if (thickness !== null && !(middle > thickness / WRONG_UNIT && middle < thickness * WRONG_UNIT)) {
    add(
      'unit',
      'stop',
      null,
      `the heights are about ${mm(middle)}, the board is ${mm(thickness)} thick: expected heights above the bed in the unit of the profile`,
      'check the unit, and that Z 0 was on the bed and not on the board',
    );
    return found;
  }

  const { at, size } = machine.board;
  const beside = (p: readonly [number, number, number]): boolean =>
    p[0] < at[0] - BESIDE ||
    p[0] > at[0] + size[0] + BESIDE ||
    p[1] < at[1] - BESIDE ||
    p[1] > at[1] + size[1] + BESIDE;
  const outside = points.filter(beside).length;
  if (outside === points.length) {
    add(
      'elsewhere',
      'stop',
      0,
      `none of the ${points.length} points lies on the board: the first is at X ${mm(points[0]![0])}, Y ${mm(points[0]![1])}`,
      'give the places in the bed frame, from the datum mark',
    );
    return found;
  }
  if (outside > 0) {
    const first = points.findIndex(beside);
    add(
      'beside-board',
      'warn',
      first,
      `${outside} of ${points.length} points lie more than ${BESIDE} mm beside the board, the first at X ${mm(points[first]![0])}, Y ${mm(points[first]![1])}`,
      'correct their places, or take them out: the lowest point of the map decides how deep the skim goes',
    );
  }
  if (spansNothing(points)) {
    add(
      'sparse',
      'warn',
      null,
      `${points.length === 1 ? 'one point says' : `${points.length} points on one line say`} nothing of the rest of the board: it may stand higher there than the first pass expects`,
      'measure at least the four corners and the middle',
    );
  }
  if (board) {
    let low = 0;
    let high = 0;
    for (const [i, p] of points.entries()) {
      if (p[2] < points[low]![2]) low = i;
      if (p[2] > points[high]![2]) high = i;
    }
    const judge = (index: number, over: boolean): void => {
      const by = over ? points[index]![2] - board.thickness : board.thinnest - points[index]![2];
      if (by <= UNLIKELY) return;
      add(
        'disagrees',
        'warn',
        index,
        `${mm(points[index]![2])} at X ${mm(points[index]![0])}, Y ${mm(points[index]![1])} is ${mm(by)} ${
          over ? 'above' : 'below'
        } the recorded thickness of the board, ${mm(over ? board.thickness : board.thinnest)}`,
        over
          ? 'measure that place again with the vacuum on; a board that stands off the bed is not to be skimmed'
          : 'measure that place again; when it is a gouge, fill it: the lowest point decides how deep the skim goes',
      );
    };
    judge(high, true);
    judge(low, false);
  }
  return found;
}

/** Do the places lie on one line (or in one point)? */
function spansNothing(points: readonly (readonly [number, number, number])[]): boolean {
  const first = points[0]!;
  let far = first;
  let reach = 0;
  for (const p of points) {
    const d = (p[0] - first[0]) * (p[0] - first[0]) + (p[1] - first[1]) * (p[1] - first[1]);
    if (d > reach) {
      reach = d;
      far = p;
    }
  }
  if (reach === 0) return true;
  const length = Math.sqrt(reach);
  const ux = (far[0] - first[0]) / length;
  const uy = (far[1] - first[1]) / length;
  // A line within a twentieth of its length says nothing of what is beside it.
  return points.every((p) => Math.abs((p[0] - first[0]) * uy - (p[1] - first[1]) * ux) < length / 20);
}
