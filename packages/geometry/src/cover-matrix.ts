/**
 * A set-covering instance as two index lists: the columns of every row and the rows of every column, each
 * list increasing.
 */
export interface CoverMatrix {
  readonly rows: number;
  readonly columns: number;
  readonly cost: Float64Array;
  readonly rowStart: Int32Array;
  readonly rowColumns: Int32Array;
  readonly columnStart: Int32Array;
  readonly columnRows: Int32Array;
}

/** Builds the matrix from the columns of each row; repeated entries count once. */
export function coverMatrix(
  columns: number,
  rows: readonly ArrayLike<number>[],
  cost: ArrayLike<number>,
): CoverMatrix {
  const rowStart = new Int32Array(rows.length + 1);
  const lists = rows.map((row) => Int32Array.from(new Set(Array.from(row))).sort());
  lists.forEach((list, r) => {
    rowStart[r + 1] = rowStart[r]! + list.length;
  });
  const entries = rowStart[rows.length]!;
  const rowColumns = new Int32Array(entries);
  const columnStart = new Int32Array(columns + 1);
  lists.forEach((list, r) => {
    rowColumns.set(list, rowStart[r]!);
    for (const j of list) columnStart[j + 1]!++;
  });
  for (let j = 0; j < columns; j++) columnStart[j + 1]! += columnStart[j]!;
  const fill = columnStart.slice(0, columns);
  const columnRows = new Int32Array(entries);
  lists.forEach((list, r) => {
    for (const j of list) columnRows[fill[j]!++] = r;
  });
  return {
    rows: rows.length,
    columns,
    cost: Float64Array.from(cost),
    rowStart,
    rowColumns,
    columnStart,
    columnRows,
  };
}

/** What is left of an instance after everything forced and everything dominated is gone. */
export interface ReducedCover {
  readonly matrix: CoverMatrix;
  /** Column of the original instance for each column of the matrix. */
  readonly original: Int32Array;
  /** Columns of the original instance that some best cover contains. */
  readonly forced: number[];
}

/**
 * Classic reductions, repeated until nothing changes (Balas & Ho 1980): a row that contains all columns of
 * another is covered with it; a column that covers no more than another and costs no less is not needed; a
 * row with a single column forces it. An optimal cover of the rest plus the forced columns is optimal.
 */
export function reduceCover(matrix: CoverMatrix, fixed: readonly number[]): ReducedCover {
  const rowAlive = new Uint8Array(matrix.rows).fill(1);
  const columnAlive = new Uint8Array(matrix.columns).fill(1);
  const forced: number[] = [];
  const rowLists: number[][] = [];
  const columnLists: number[][] = [];
  for (let r = 0; r < matrix.rows; r++) {
    rowLists.push(Array.from(matrix.rowColumns.subarray(matrix.rowStart[r]!, matrix.rowStart[r + 1]!)));
  }
  for (let j = 0; j < matrix.columns; j++) {
    columnLists.push(
      Array.from(matrix.columnRows.subarray(matrix.columnStart[j]!, matrix.columnStart[j + 1]!)),
    );
  }
  const force = (j: number): void => {
    if (columnAlive[j] === 0) return;
    forced.push(j);
    columnAlive[j] = 0;
    for (const r of columnLists[j]!) rowAlive[r] = 0;
  };
  const tidy = (): void => {
    for (let r = 0; r < matrix.rows; r++) {
      rowLists[r] = rowAlive[r] === 1 ? rowLists[r]!.filter((j) => columnAlive[j] === 1) : [];
    }
    for (let j = 0; j < matrix.columns; j++) {
      columnLists[j] = columnAlive[j] === 1 ? columnLists[j]!.filter((r) => rowAlive[r] === 1) : [];
      if (columnLists[j]!.length === 0) columnAlive[j] = 0;
    }
  };
  for (const j of fixed) force(j);
  tidy();
  for (let changed = true; changed; ) {
    changed = false;
    for (let r = 0; r < matrix.rows; r++) {
      if (rowAlive[r] === 1 && rowLists[r]!.length === 1) {
        force(rowLists[r]![0]!);
        changed = true;
      }
    }
    if (changed) tidy();
    if (dropContainers(rowLists, columnLists, rowAlive, () => true)) {
      changed = true;
      tidy();
    }
    // A column goes when another covers all it covers at no more cost; of equals the first stays.
    if (
      dropContained(
        columnLists,
        rowLists,
        columnAlive,
        (kept, gone) => matrix.cost[kept]! <= matrix.cost[gone]!,
      )
    ) {
      changed = true;
      tidy();
    }
  }
  const original: number[] = [];
  const renumbered = new Int32Array(matrix.columns).fill(-1);
  for (let j = 0; j < matrix.columns; j++) {
    if (columnAlive[j] === 1) {
      renumbered[j] = original.length;
      original.push(j);
    }
  }
  const rows: number[][] = [];
  for (let r = 0; r < matrix.rows; r++) {
    if (rowAlive[r] === 1) rows.push(rowLists[r]!.map((j) => renumbered[j]!));
  }
  return {
    matrix: coverMatrix(
      original.length,
      rows,
      original.map((j) => matrix.cost[j]!),
    ),
    original: Int32Array.from(original),
    forced,
  };
}

/** Removes every list that contains another one wholly (of equal lists the first stays). */
function dropContainers(
  lists: readonly number[][],
  cross: readonly number[][],
  alive: Uint8Array,
  may: (kept: number, gone: number) => boolean,
): boolean {
  let any = false;
  for (let small = 0; small < lists.length; small++) {
    if (alive[small] === 0 || lists[small]!.length === 0) continue;
    for (const large of rarest(lists[small]!, cross)) {
      if (large === small || alive[large] === 0) continue;
      if (lists[large]!.length < lists[small]!.length) continue;
      if (lists[large]!.length === lists[small]!.length && large < small) continue;
      if (may(small, large) && isSubset(lists[small]!, lists[large]!)) {
        alive[large] = 0;
        any = true;
      }
    }
  }
  return any;
}

/** Removes every list that is wholly contained in another one (of equal lists the first stays). */
function dropContained(
  lists: readonly number[][],
  cross: readonly number[][],
  alive: Uint8Array,
  may: (kept: number, gone: number) => boolean,
): boolean {
  let any = false;
  for (let small = 0; small < lists.length; small++) {
    if (alive[small] === 0 || lists[small]!.length === 0) continue;
    for (const large of rarest(lists[small]!, cross)) {
      if (large === small || alive[large] === 0) continue;
      if (lists[large]!.length < lists[small]!.length || !may(large, small)) continue;
      // Of two that cover the same at the same cost the later one goes.
      if (lists[large]!.length === lists[small]!.length && large > small && may(small, large)) continue;
      if (isSubset(lists[small]!, lists[large]!)) {
        alive[small] = 0;
        any = true;
        break;
      }
    }
  }
  return any;
}

/** Whatever contains the whole list is in the cross list of each of its members: look in the shortest. */
function rarest(list: readonly number[], cross: readonly number[][]): readonly number[] {
  let best = cross[list[0]!]!;
  for (const i of list) if (cross[i]!.length < best.length) best = cross[i]!;
  return best;
}

function isSubset(small: readonly number[], large: readonly number[]): boolean {
  let k = 0;
  for (let i = 0; i < small.length; i++) {
    const wanted = small[i]!;
    while (k < large.length && large[k]! < wanted) k++;
    if (k === large.length || large[k] !== wanted) return false;
    k++;
  }
  return true;
}
