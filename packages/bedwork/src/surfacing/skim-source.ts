import type { HeightMap, MachineRecord } from '@bedledger/fleet';
import { heightSurface } from '@bedledger/geometry';
import { lastThicknesses } from '../operations/link-height.ts';
import type { SkimSource } from './removal.ts';

/** The height map that is true of the board as it is now: measured after the last skim and after the board was fitted. */
export function currentMap(record: MachineRecord): HeightMap | null {
  let file: string | null = null;
  for (const fact of record.ledger.facts) {
    if (fact.fact === 'board') file = null;
    else if (fact.fact === 'skim') file = fact.heights ?? null;
    else if (fact.fact === 'heights') file = fact.file;
  }
  if (file === null) return null;
  const wanted = file;
  return record.heights.find((map) => map.file === wanted || map.file.endsWith(`/${wanted}`)) ?? null;
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
