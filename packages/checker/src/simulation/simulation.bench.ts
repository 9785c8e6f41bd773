import { resolveController } from '@bedledger/fleet';
import { readProgram } from '../reader/index.ts';
import { flatShape } from './cutter-shape.ts';
import { HeightField } from './height-field.ts';
import { layeredSurface } from './layered-surface.ts';
import { motionsOf } from './motions.ts';
import { sweepLine } from './sweep.ts';

export interface Figure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly limit: number | null;
  readonly reference: string | null;
}

/** A surfacing program of a 5 × 10 ft board: rows along X, serpentine, two passes, cutter 63.5 mm at half its width. */
function surfacingProgram(width: number, length: number): string {
  const lines = ['G17 G21 G40 G49 G80 G90 G94 G54', 'G0 Z60.000', 'S14000 M3', 'G4 P6', `G0 X-40.000 Y0.000`];
  for (const z of [17.6, 17.2]) {
    let forward = true;
    lines.push(`G0 Z20.000`, `G1 Z${z.toFixed(3)} F4000`);
    for (let y = 0; y <= length + 31; y += 31.75) {
      lines.push(`G1 Y${y.toFixed(3)} F8000`, `X${(forward ? width + 40 : -40).toFixed(3)}`);
      forward = !forward;
    }
    lines.push('G0 Z60.000', 'X-40.000 Y0.000');
  }
  lines.push('M5', 'M2');
  return `${lines.join('\n')}\n`;
}

function median(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

/** The same heights by testing every cell in the box of every row against the capsule: what a plain simulation does. */
function plainSweep(lines: readonly number[][], width: number, length: number, r: number): number {
  const heights = new Float32Array(Math.ceil(width) * Math.ceil(length)).fill(18);
  const nx = Math.ceil(width);
  let cut = 0;
  for (const l of lines) {
    const [ax, ay, , bx, by, bz] = l as [number, number, number, number, number, number];
    const dx = bx - ax;
    const dy = by - ay;
    const l2 = dx * dx + dy * dy || 1;
    const j1 = Math.min(Math.ceil(length) - 1, Math.floor(Math.max(ay, by) + r));
    const i1 = Math.min(nx - 1, Math.floor(Math.max(ax, bx) + r));
    for (let j = Math.max(0, Math.floor(Math.min(ay, by) - r)); j <= j1; j++) {
      for (let i = Math.max(0, Math.floor(Math.min(ax, bx) - r)); i <= i1; i++) {
        const px = i + 0.5 - ax;
        const py = j + 0.5 - ay;
        const t = Math.max(0, Math.min(1, (px * dx + py * dy) / l2));
        const ex = px - t * dx;
        const ey = py - t * dy;
        if (ex * ex + ey * ey <= r * r && heights[j * nx + i]! > bz) {
          heights[j * nx + i] = bz;
          cut++;
        }
      }
    }
  }
  return cut;
}

/** Figures of the simulation; times are medians of five runs after two to warm up. */
export async function figures(): Promise<Figure[]> {
  const width = 1524;
  const length = 3048;
  const { controller } = resolveController({ dialect: 'rs274ngc' });
  const text = surfacingProgram(width, length);
  const ring: readonly (readonly [number, number])[] = [
    [0, 0],
    [width, 0],
    [width, length],
    [0, length],
  ];
  const surface = layeredSurface([{ region: [{ outer: ring, holes: [] }], height: 18 }]);
  const shape = flatShape(63.5);
  const moves: number[][] = [];
  const once = (): { ms: number; removed: number } => {
    const start = performance.now();
    const trace = readProgram(text, 'surface.ngc', controller, { strict: false });
    const m = motionsOf(trace, 0);
    const field = new HeightField({ minX: 0, minY: 0, maxX: width, maxY: length }, 1, surface);
    let removed = 0;
    moves.length = 0;
    for (let i = 0; i < m.length; i++) {
      if (!(Math.min(m.fromZ(i), m.toZ(i)) < 18) || Number.isNaN(m.fromX(i))) continue;
      const line = [m.fromX(i), m.fromY(i), m.fromZ(i), m.toX(i), m.toY(i), m.toZ(i)];
      moves.push(line);
      removed += sweepLine(field, shape, line[0]!, line[1]!, line[2]!, line[3]!, line[4]!, line[5]!);
    }
    return { ms: performance.now() - start, removed };
  };
  once();
  const { removed } = once();
  const expected = width * length * 0.8;
  if (Math.abs(removed / expected - 1) > 1e-3) {
    throw new Error(`the surfacing removed ${removed} mm³, the board less 0.8 mm is ${expected} mm³`);
  }
  const times = [0, 1, 2, 3, 4].map(() => once().ms);
  const plain = [0, 1, 2].map(() => {
    const start = performance.now();
    plainSweep(moves, width, length, 31.75);
    return performance.now() - start;
  });
  return [
    {
      name: 'surfacing of a 5 × 10 ft board read and simulated at 1 mm',
      value: Math.round(median(times)) / 1000,
      unit: 's',
      limit: 0.3,
      reference: `every cell tested against every row: ${Math.round(median(plain)) / 1000} s`,
    },
  ];
}
