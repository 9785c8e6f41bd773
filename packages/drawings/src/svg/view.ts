import type { Box, Point, Region } from '@bedledger/geometry';
import { num } from './markup.ts';
import { FRAME, type Scale, type SheetSize } from './sheet.ts';

/** Places a part of the bed on the paper: bed millimetres with Y up become sheet millimetres with Y down. */
export class View {
  readonly scale: number;
  readonly #left: number;
  readonly #bottom: number;
  readonly #box: Box;

  /** @param left,bottom where the box's lower-left corner comes to lie on the sheet. */
  constructor(box: Box, scale: number, left: number, bottom: number) {
    this.#box = box;
    this.scale = scale;
    this.#left = left;
    this.#bottom = bottom;
  }

  x(x: number): number {
    return this.#left + (x - this.#box.minX) * this.scale;
  }

  y(y: number): number {
    return this.#bottom - (y - this.#box.minY) * this.scale;
  }

  point(p: Point): string {
    // A hundredth of a millimetre on paper is finer than any line is wide.
    return `${num(this.x(p[0]), 2)} ${num(this.y(p[1]), 2)}`;
  }

  /** Path data of a region: every ring closed. */
  region(region: Region): string {
    return region
      .flatMap((polygon) => [polygon.outer, ...polygon.holes])
      .map((ring) => this.ring(ring))
      .join('');
  }

  ring(ring: readonly Point[]): string {
    return ring.length === 0 ? '' : `M${ring.map((p) => this.point(p)).join('L')}Z`;
  }

  line(points: readonly Point[]): string {
    return points.length === 0 ? '' : `M${points.map((p) => this.point(p)).join('L')}`;
  }
}

/** A view of `box` in the middle between the sheet's sides, its upper edge `top` below the frame. */
export function centredView(size: SheetSize, box: Box, { ratio }: Scale, top: number): View {
  const left = (size.width - (box.maxX - box.minX) * ratio) / 2;
  return new View(box, ratio, left, FRAME + top + (box.maxY - box.minY) * ratio);
}
