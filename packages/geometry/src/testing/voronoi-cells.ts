import { Delaunay } from 'd3-delaunay';
import { intersection, regionFromRing } from '../booleans.ts';
import { bounds } from '../region.ts';
import type { Point, Region } from '../types.ts';

/**
 * For every site the part of the region that is nearer to it than to any other, on the 0.1 µm grid. Of
 * sites at the same place the first takes the cell and the others get an empty region.
 */
export function voronoiCells(sites: readonly Point[], region: Region): Region[] {
  if (sites.length === 0) return [];
  if (region.length === 0) return sites.map(() => []);
  const first = new Map<string, number>();
  sites.forEach((p, i) => {
    const key = `${p[0]},${p[1]}`;
    if (!first.has(key)) first.set(key, i);
  });
  const distinct = [...first.values()];
  const box = bounds(region);
  const grown: [number, number, number, number] = [box.minX - 1, box.minY - 1, box.maxX + 1, box.maxY + 1];
  const diagram = Delaunay.from(distinct.map((i) => sites[i]! as [number, number])).voronoi(grown);
  const cells: Region[] = sites.map(() => []);
  distinct.forEach((site, k) => {
    const cell = diagram.cellPolygon(k);
    if (cell) cells[site] = intersection(region, regionFromRing(cell.slice(0, -1) as Point[]));
  });
  return cells;
}
