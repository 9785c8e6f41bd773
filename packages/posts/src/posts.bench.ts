import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Move } from '@bedledger/bedwork';
import { post } from './index.ts';
import { EIA, NGC } from './testing/controllers.ts';
import { programOf } from './testing/programs.ts';

const BLOCKS = 1_000_000;

/** A surfacing-like path: a million straight cuts with a new X and Y, some with a new Z. */
function cuts(): Move[] {
  const moves: Move[] = [{ kind: 'rapid-xy', x: 0, y: 0 }];
  let seed = 1;
  const random = (): number => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 4294967296;
  };
  for (let i = 1; i < BLOCKS; i++) {
    moves.push({
      kind: 'feed',
      x: random() * 1200,
      y: random() * 2400,
      z: i % 4 === 0 ? random() * 18 : 18,
      feed: 6000,
    });
  }
  return moves;
}

/** A million quarter turns about centres off the grid. */
function arcs(): Move[] {
  const moves: Move[] = [{ kind: 'rapid-xy', x: 0, y: 0 }];
  let x = 0;
  let y = 0;
  for (let i = 1; i < BLOCKS; i++) {
    const r = 2 + (i % 977) * 0.0137;
    const clockwise = i % 2 === 0;
    const cx = x + r;
    const cy = y;
    y = clockwise ? cy + r : cy - r;
    x = cx;
    moves.push({ kind: 'arc', clockwise, x, y, z: 18, cx, cy, feed: 6000 });
    if (x > 2000) {
      x = 0;
      y = 0;
      moves.push({ kind: 'feed', x, y, z: 18, feed: 6000 });
    }
  }
  return moves;
}

function seconds(work: () => void): number {
  const from = performance.now();
  work();
  return (performance.now() - from) / 1000;
}

function best(times: number, work: () => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < times; i++) least = Math.min(least, seconds(work));
  return least;
}

/** Blocks written a second, and what a plain copy of the same bytes to a file takes in the same run. */
export async function figures(): Promise<
  { name: string; value: number; unit: string; limit: number | null; reference: string | null }[]
> {
  const folder = mkdtempSync(join(tmpdir(), 'posts-bench-'));
  try {
    const out = [];
    const straight = programOf(cuts(), { name: 'bench', header: { ...programOf([]).header, sites: [] } });
    const round = programOf(arcs(), { name: 'bench' });
    for (const [name, program, controller, limit] of [
      ['straight cuts, rs274ngc', straight, NGC, 1e6],
      ['straight cuts, rs274d', straight, EIA, 1e6],
      [
        'quarter arcs, rs274ngc',
        round,
        { ...NGC, numbers: { ...NGC.numbers, xyz: { decimals: 3, integers: 6 } } },
        null,
      ],
    ] as const) {
      let text = '';
      let lines = 0;
      const took = best(5, () => {
        const files = post(program, controller);
        text = files[0]!.text;
        lines = files[0]!.claims.lines;
      });
      const original = join(folder, 'original');
      const copy = join(folder, 'copy');
      writeFileSync(original, text, 'latin1');
      const copied = best(5, () => copyFileSync(original, copy));
      const rate = (t: number): string => `${(lines / t / 1e6).toFixed(2)} M blocks/s`;
      out.push({
        name: `posts: blocks written, ${name}`,
        value: Math.round(lines / took),
        unit: 'blocks/s',
        limit,
        reference: `copying the same ${(text.length / 1e6).toFixed(1)} MB to a file: ${rate(copied)}`,
      });
    }
    return out;
  } finally {
    rmSync(folder, { recursive: true });
  }
}
