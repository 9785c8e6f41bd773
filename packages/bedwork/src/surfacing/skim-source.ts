import {
  currentHeights,
  type HeightMap,
  lastThicknesses,
  type MachineRecord,
  possibleTops,
} from '@bedledger/fleet';
import { heightSurface } from '@bedledger/geometry';
import { boardTop } from '../base/ledger-facts.ts';
import type { SkimSource } from './removal.ts';

/**
 * A skim's starting point: the map that is true of the board as it is now, else the stated depth below the thinnest place
 * measured. Lengths mm.
 * @param from - `depth`: the stated depth even where there is a map; the map then only tells how high the board stands
 */
export function skimSource(
  record: MachineRecord,
  depth: number,
  from: 'heights' | 'depth' = 'heights',
): SkimSource {
  const map = currentHeights(record.heights, record.state);
  if (from === 'heights' && map && map.points.length > 0) {
    const { interpolationError } = heightSurface(map.points);
    return {
      kind: 'map',
      file: map.file,
      points: map.points,
      interpolationError,
      unmeasured: possibleTops(record).slice(map.points.length),
    };
  }
  return statedDepth(record, depth, map?.points ?? []);
}

/** A depth below the thinnest place measured. `heights`: measured places that may stand higher than the thicknesses say. */
export function statedDepth(record: MachineRecord, depth: number, heights: HeightMap['points']): SkimSource {
  const board = record.state.board;
  if (!board) throw new RangeError('a skim needs a board');
  return {
    kind: 'stated',
    highest: heights.reduce((most, p) => Math.max(most, p[2]), boardTop(record)),
    lowest: Math.min(board.thinnest, ...lastThicknesses(record)),
    depth,
  };
}
