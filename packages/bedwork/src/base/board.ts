import type { Machine } from '@bedledger/fleet';
import type { Box } from '@bedledger/geometry';

/** The board as the profile lays it: bed frame, mm. */
export function boardBox(machine: Pick<Machine, 'board'>): Box {
  const { at, size } = machine.board;
  return { minX: at[0], minY: at[1], maxX: at[0] + size[0], maxY: at[1] + size[1] };
}
