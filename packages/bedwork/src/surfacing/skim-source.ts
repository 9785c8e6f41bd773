import { currentHeights, type HeightMap, type MachineRecord } from '@bedledger/fleet';
import { heightSurface } from '@bedledger/geometry';
import { lastThicknesses } from '../operations/link-height.ts';
import type { SkimSource } from './removal.ts';

/** The height map that is true of the board as it is now: measured after the last skim and after the board was fitted. */
export function currentMap(record: MachineRecord): HeightMap | null {
  return currentHeights(record.heights, record.state);
}

/** A skim's starting point: the current map, else the stated depth below the thinnest place measured. */
export function skimSource(record: MachineRecord, statedDepth: number): SkimSource {
  const map = currentMap(record);
  if (map && map.points.length > 0) {
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
    highest: Math.max(board.thickness, ...measured),
    lowest: Math.min(board.thinnest, ...measured),
    depth: statedDepth,
  };
}
