import fc from 'fast-check';
import Toolpath from 'gcode-toolpath';
import { expect, test } from 'vitest';
import { post } from './index.ts';
import { anyController, anyProgram } from './testing/arbitrary.ts';
import type { Motion } from './testing/naive-reader.ts';
import { difference } from './testing/same-path.ts';

interface Vector {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/**
 * Straight and circular motion as a general-purpose program-text library reads it, one block at a time. It reads no
 * cycles, so drilling is written out move by move here.
 */
function libraryRead(text: string, zSign: number, zeroHeight: number): { motions: Motion[]; blocks: number } {
  const motions: Motion[] = [];
  let line = 0;
  const toolpath = new Toolpath({
    addLine: (modal: { motion: string }, a: Vector, b: Vector) =>
      add(modal.motion === 'G0' ? 'rapid' : 'feed', a, b),
    addArcCurve: (modal: { motion: string }, a: Vector, b: Vector, c: Vector) =>
      add('arc', a, b, { centre: [c.x, c.y], clockwise: modal.motion === 'G2' }),
  });
  let feed = 0;
  let unit = 1;
  const bed = (v: Vector): [number, number, number] => [v.x, v.y, v.z * zSign + zeroHeight];
  function add(kind: Motion['kind'], a: Vector, b: Vector, more: Partial<Motion> = {}): void {
    motions.push({
      kind,
      from: bed(a),
      to: bed(b),
      line,
      feed: kind === 'rapid' ? 0 : feed * unit,
      spindle: 0,
      fromCycle: false,
      ...more,
    });
  }
  let blocks = 0;
  for (const block of text.split(/\r\n|\r|\n/)) {
    line++;
    // The library has no feed in its callbacks; the word is taken from the block as it stands.
    const f = /^[^(;]*F([\d.]+)/.exec(block);
    if (f !== null && !/G0?4\b/.test(block)) feed = Number(f[1]);
    if (/G20/.test(block)) unit = 25.4;
    toolpath.loadFromStringSync(block);
    blocks++;
  }
  return { motions, blocks };
}

test('straight and circular motion, read by a general-purpose library, is the motion asked for', () => {
  let seen = 0;
  fc.assert(
    fc.property(anyProgram, anyController, (program, any) => {
      if (any.dialect !== 'rs274ngc' && any.dialect !== 'linear') return;
      const controller = {
        ...any,
        // What the library can read: points, G20/G21, codes not stacked with axis words, no machine-specific words.
        unitsWord: 'G20/G21' as const,
        comments: 'none' as const,
        numbers: {
          ...any.numbers,
          point: any.numbers.point === 'never' ? ('always' as const) : any.numbers.point,
          plus: false,
        },
        cycles: { use: 'none' as const, return: 'none' as const, cancel: false },
        feed: { ...any.feed, per: 'minute' as const },
        dwell: { word: 'P' as const, unit: any.dwell.unit },
        words: { ...any.words, gPerBlock: 1 },
      };
      const [file] = post(program, controller);
      const read = libraryRead(file!.text, controller.zSign, program.header.zeroHeight);
      expect(read.motions.length).toBeGreaterThan(0);
      seen += read.motions.length;
      const wrong = difference(program, controller, read.motions);
      expect(wrong === null ? '' : `${wrong}\n${JSON.stringify(program.moves)}\n${file!.text}`).toBe('');
    }),
    { seed: 274, numRuns: 1500 },
  );
  expect(seen).toBeGreaterThan(5000);
});
