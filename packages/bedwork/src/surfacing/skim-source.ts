import { currentHeights, type HeightMap, type MachineRecord } from '@bedledger/fleet';
import { heightSurface } from '@bedledger/geometry';
import { lastThicknesses } from '../operations/link-height.ts';
import type { SkimSource } from './removal.ts';

/** The height map that is true of the board as it is now: measured after the last skim and after the board was fitted. */
export function currentMap(record: MachineRecord): HeightMap | null {
  return currentHeights(record.heights, record.state);
}

/**
 * A skim's starting point: the current map, else the stated depth below the thinnest place measured.
 * @param from - `depth`: the stated depth even where there is a map; the map then only tells how high the board stands
 */
export function skimSource(
  record: MachineRecord,
  statedDepth: number,
  from: 'heights' | 'depth' = 'heights',
): SkimSource {
  const map = currentMap(record);
  if (from === 'heights' && map && map.points.length > 0) {
    const surface = heightSurface(map.points);
    return {
      kind: 'map',
      file: map.file,
      points: map.points,
      interpolationError: surface.interpolationError,
    };
  }
  const board = record.state.board;
  if (!board) throw new RangeError('a skim needs a board');
  const measured = lastThicknesses(record);
  return {
    kind: 'stated',
    highest: (map?.points ?? []).reduce(
      (most, p) => Math.max(most, p[2]),
      Math.max(board.thickness, ...measured),
    ),
    lowest: Math.min(board.thinnest, ...measured),
    depth: statedDepth,
  };
}
