import type { Machine } from '@bedledger/fleet';
import type { Box, Point } from '@bedledger/geometry';

/** The board as the profile lays it: bed frame, mm. */
export function boardBox(machine: Pick<Machine, 'board'>): Box {
  const { at, size } = machine.board;
  return { minX: at[0], minY: at[1], maxX: at[0] + size[0], maxY: at[1] + size[1] };
}

/** Corners of a box, counter-clockwise from the front left. */
export function boxCorners({ minX, minY, maxX, maxY }: Box): readonly [Point, Point, Point, Point] {
  return [
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ];
}
