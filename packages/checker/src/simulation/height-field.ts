/** Height units a millimetre: heights are whole multiples of 0.1 µm, so that equal cuts give equal numbers. */
export const UNITS = 10000;
/** Height of a cell where there is nothing to cut. */
export const NOTHING = -0x7fffffff;
/** Cells a side of one tile. */
export const TILE = 64;

/** What stands there before the first cut: fills one tile, row by row, with heights in units. */
export interface InitialSurface {
  /** Nothing stands higher than this, mm. */
  readonly highest: number;
  fillTile(out: Int32Array, x0: number, y0: number, cell: number): void;
}

/**
 * Heights of the uppermost material over a rectangle, in tiles that come into being where something cuts. The cell size
 * can therefore be chosen by the smallest feature alone, while only the surroundings of the cuts cost memory.
 */
export class HeightField {
  readonly cell: number;
  readonly x0: number;
  readonly y0: number;
  readonly columns: number;
  readonly rows: number;
  readonly surface: InitialSurface;
  readonly tilesAcross: number;
  private readonly tiles: (Int32Array | undefined)[];
  private spare: Int32Array = new Int32Array(TILE * TILE);

  constructor(
    box: { minX: number; minY: number; maxX: number; maxY: number },
    cell: number,
    surface: InitialSurface,
  ) {
    if (!(cell > 0)) throw new RangeError(`cell size must be positive, found ${cell}`);
    this.cell = cell;
    this.x0 = box.minX;
    this.y0 = box.minY;
    this.columns = Math.max(1, Math.ceil((box.maxX - box.minX) / cell - 1e-9));
    this.rows = Math.max(1, Math.ceil((box.maxY - box.minY) / cell - 1e-9));
    this.surface = surface;
    this.tilesAcross = Math.ceil(this.columns / TILE);
    this.tiles = new Array<Int32Array | undefined>(this.tilesAcross * Math.ceil(this.rows / TILE));
  }

  /** The same heights, to be cut on their own. */
  copy(): HeightField {
    const box = {
      minX: this.x0,
      minY: this.y0,
      maxX: this.x0 + this.columns * this.cell,
      maxY: this.y0 + this.rows * this.cell,
    };
    const other = new HeightField(box, this.cell, this.surface);
    for (const [at, tile] of this.tiles.entries()) if (tile) other.tiles[at] = tile.slice();
    return other;
  }

  /** Number of tiles that something has touched. */
  get touchedTiles(): number {
    let count = 0;
    for (const tile of this.tiles) if (tile) count++;
    return count;
  }

  tile(tileX: number, tileY: number): Int32Array {
    const at = tileY * this.tilesAcross + tileX;
    let tile = this.tiles[at];
    if (!tile) {
      tile = new Int32Array(TILE * TILE);
      this.surface.fillTile(
        tile,
        this.x0 + tileX * TILE * this.cell,
        this.y0 + tileY * TILE * this.cell,
        this.cell,
      );
      this.tiles[at] = tile;
    }
    return tile;
  }

  tileIfTouched(tileX: number, tileY: number): Int32Array | undefined {
    return this.tiles[tileY * this.tilesAcross + tileX];
  }

  /** Lowers cells `from … to` of `row` to `z` (units) where they are higher; returns the sum of what went, in units. */
  lowerSpan(row: number, from: number, to: number, z: number): number {
    if (row < 0 || row >= this.rows) return 0;
    const first = Math.max(from, 0);
    const last = to >= this.columns ? this.columns - 1 : to;
    if (first > last) return 0;
    const tileY = (row / TILE) | 0;
    const rowOffset = (row - tileY * TILE) * TILE;
    let removed = 0;
    for (let tileX = (first / TILE) | 0; tileX * TILE <= last; tileX++) {
      const base = tileX * TILE;
      const heights = this.tiles[tileY * this.tilesAcross + tileX] ?? this.tile(tileX, tileY);
      const end = rowOffset + (last - base < TILE ? last - base : TILE - 1);
      for (let k = rowOffset + (first > base ? first - base : 0); k <= end; k++) {
        const over = heights[k]! - z;
        if (over > 0) {
          heights[k] = z;
          removed += over;
        }
      }
    }
    return removed;
  }

  /** Height (units) of one cell; the initial surface where nothing has cut yet. */
  heightAt(column: number, row: number): number {
    if (column < 0 || row < 0 || column >= this.columns || row >= this.rows) return NOTHING;
    const tileX = (column / TILE) | 0;
    const tileY = (row / TILE) | 0;
    return this.tile(tileX, tileY)[(row - tileY * TILE) * TILE + (column - tileX * TILE)]!;
  }

  /** Highest material (units) under a box, for rapids whose path is not known. */
  highestIn(minX: number, minY: number, maxX: number, maxY: number): number {
    const c0 = Math.max(0, Math.floor((minX - this.x0) / this.cell));
    const c1 = Math.min(this.columns - 1, Math.floor((maxX - this.x0) / this.cell));
    const r0 = Math.max(0, Math.floor((minY - this.y0) / this.cell));
    const r1 = Math.min(this.rows - 1, Math.floor((maxY - this.y0) / this.cell));
    let highest = NOTHING;
    for (let tileY = (r0 / TILE) | 0; tileY * TILE <= r1; tileY++) {
      for (let tileX = (c0 / TILE) | 0; tileX * TILE <= c1; tileX++) {
        const touched = this.tileIfTouched(tileX, tileY);
        const heights = touched ?? this.untouched(tileX, tileY);
        const iEnd = Math.min(c1 - tileX * TILE, TILE - 1);
        const jEnd = Math.min(r1 - tileY * TILE, TILE - 1);
        for (let j = Math.max(0, r0 - tileY * TILE); j <= jEnd; j++) {
          for (let i = Math.max(0, c0 - tileX * TILE); i <= iEnd; i++) {
            const h = heights[j * TILE + i]!;
            if (h > highest) highest = h;
          }
        }
      }
    }
    return highest;
  }

  /** Visits every touched tile with its heights before and after. */
  forEachTouched(
    visit: (
      before: Int32Array,
      after: Int32Array,
      x0: number,
      y0: number,
      tileX: number,
      tileY: number,
    ) => void,
  ): void {
    for (let at = 0; at < this.tiles.length; at++) {
      const after = this.tiles[at];
      if (!after) continue;
      const tileY = Math.floor(at / this.tilesAcross);
      const tileX = at - tileY * this.tilesAcross;
      const before = this.untouched(tileX, tileY);
      visit(
        before,
        after,
        this.x0 + tileX * TILE * this.cell,
        this.y0 + tileY * TILE * this.cell,
        tileX,
        tileY,
      );
    }
  }

  /** The initial heights of a tile, in a buffer that the next call overwrites. */
  untouched(tileX: number, tileY: number): Int32Array {
    this.surface.fillTile(
      this.spare,
      this.x0 + tileX * TILE * this.cell,
      this.y0 + tileY * TILE * this.cell,
      this.cell,
    );
    return this.spare;
  }
}
