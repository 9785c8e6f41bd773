import { createHash } from 'node:crypto';
import type { Move } from '@bedledger/bedwork';
import { InputError } from '@bedledger/diagnostics';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { post } from './index.ts';
import { anyController, anyProgram } from './testing/arbitrary.ts';
import { EIA, ISO, LINES, NGC } from './testing/controllers.ts';
import { naiveRead, sweepOf } from './testing/naive-reader.ts';
import { programOf } from './testing/programs.ts';

/** Fifty sites, each a hole and a round of cuts. */
const MANY: readonly Move[] = [
  { kind: 'spindle', rpm: 16000 },
  { kind: 'auxiliary', name: 'vacuum', on: true },
  ...Array.from({ length: 50 }, (_, n): Move[] => [
    { kind: 'section', title: `SITE A${n + 1}`, restart: n % 3 === 0 },
    { kind: 'rapid-xy', x: 40 * n, y: 100 },
    { kind: 'rapid-z', z: 20 },
    { kind: 'feed', x: 40 * n, y: 100, z: 15, feed: 500 },
    { kind: 'feed', x: 40 * n + 5, y: 100, z: 15, feed: 1500 },
    { kind: 'arc', clockwise: false, x: 40 * n + 5, y: 100, z: 15, cx: 40 * n, cy: 100, feed: 1500 },
    { kind: 'rapid-z', z: 40 },
    { kind: 'drill', x: 40 * n, y: 160, link: 40, above: 20, bottom: 4, peck: null, feed: 500 },
  ]).flat(),
];
const SITES = Array.from({ length: 50 }, (_, n) => `A${n + 1}`);
const LONG = programOf(MANY, { header: { ...programOf([]).header, sites: SITES, minutes: 50 } });

/** Several random programs in a row, each from clear height. */
const manyPrograms = fc.array(anyProgram, { minLength: 3, maxLength: 8 }).map((programs) => ({
  ...programs[0]!,
  moves: programs.flatMap((p): Move[] => [{ kind: 'rapid-z', z: 40 }, ...p.moves]).slice(1),
}));

describe('a program longer than the controller’s memory', () => {
  for (const base of [NGC, ISO, EIA, LINES]) {
    test(`${base.dialect}: every part is complete and within both limits`, () => {
      const controller = { ...base, maxLines: base.dialect === 'linear' ? 600 : 120, maxBytes: 12_000 };
      const files = post(LONG, controller);
      expect(files.length).toBeGreaterThan(2);
      expect(new Set(files.map((f) => f.name)).size).toBe(files.length);
      for (const [n, file] of files.entries()) {
        expect(file.claims).toMatchObject({ part: n + 1, parts: files.length });
        expect(file.claims.lines).toBeLessThanOrEqual(controller.maxLines);
        expect(file.text.length).toBeLessThanOrEqual(controller.maxBytes);
        const read = naiveRead(file.text, controller, 0);
        expect(read.ended).toBe(true);
        // Up first, from wherever the machine stands; the spindle turns at every cut; parked at the end.
        expect(read.motions[0]!.kind).toBe('rapid');
        expect(read.motions[0]!.to[2]).toBe(40);
        expect(read.motions.filter((m) => m.kind !== 'rapid').every((m) => m.spindle === 16000)).toBe(true);
        expect(read.motions.at(-1)!.to).toEqual([0, 0, 40]);
        if (controller.comments !== 'none') {
          expect(read.comments.some((c) => /^PART(:| =) \d+ OF \d+$/.test(c))).toBe(true);
          expect(read.comments[0]).toMatch(/^MACHINE/);
          expect(read.comments.at(-1)).toMatch(/SHA/);
        }
      }
      const cuts = (text: string): string[] =>
        naiveRead(text, controller, 0)
          .motions.filter((m) => m.kind !== 'rapid')
          .map((m) => `${m.kind} ${m.from.join(' ')} ${m.to.join(' ')} ${m.centre?.join(' ')} ${m.feed}`);
      const [whole] = post(LONG, base);
      expect(files.flatMap((f) => cuts(f.text))).toEqual(cuts(whole!.text));
      // Sites in order, each in the part (or the two parts) that cuts it.
      expect([...new Set(files.flatMap((f) => f.claims.sites))]).toEqual(SITES);
      expect(files.every((f) => f.claims.sites.length < 50)).toBe(true);
      const minutes = files.reduce((sum, f) => sum + f.claims.minutes, 0);
      expect(Math.abs(minutes - 50)).toBeLessThan(0.05 * files.length + 0.01);
    });
  }

  test('parts end at a restart section where one falls into their second half', () => {
    const files = post(LONG, { ...NGC, maxLines: 140 });
    for (const file of files.slice(1)) {
      const comments = naiveRead(file.text, NGC, 0).comments.filter((c) => c.startsWith('SITE'));
      expect(comments[0]).toMatch(/^SITE A\d+$/);
      expect((Number(comments[0]!.slice(6)) - 1) % 3).toBe(0);
    }
  });

  test('a limit too small for any part is an error that says so', () => {
    expect(() => post(LONG, { ...NGC, maxLines: 34 })).toThrow(InputError);
    expect(() => post(LONG, { ...NGC, maxLines: 34 })).toThrow(/no place at clear height|does not fit/);
  });

  test('random programs in parts cut what they cut in one piece', () => {
    let split = 0;
    fc.assert(
      fc.property(
        manyPrograms,
        anyController,
        fc.integer({ min: 150, max: 400 }),
        (program, controller, maxLines) => {
          const [whole] = post(program, controller);
          let files: ReturnType<typeof post>;
          try {
            files = post(program, { ...controller, maxLines });
          } catch (error) {
            expect(error).toBeInstanceOf(InputError);
            return;
          }
          if (files.length > 1) split++;
          const cuts = (text: string): string[] =>
            naiveRead(text, controller, program.header.zeroHeight)
              .motions.filter((m) => m.kind !== 'rapid')
              .map((m) =>
                [m.kind, ...m.from, ...m.to, ...(m.centre ?? [])]
                  .map((v) => (typeof v === 'number' ? (Math.round(v * 1e6) / 1e6 + 0).toString() : v))
                  .join(' '),
              );
          expect(files.flatMap((f) => cuts(f.text))).toEqual(cuts(whole!.text));
        },
      ),
      { seed: 5, numRuns: 400 },
    );
    expect(split).toBeGreaterThan(60);
  });
});

describe('claims', () => {
  test('footer, line count and hash are those of the bytes', () => {
    for (const controller of [NGC, ISO, LINES]) {
      const [file] = post(LONG, controller);
      const bytes = Buffer.from(file!.text, 'latin1');
      expect(createHash('sha256').update(bytes).digest('hex')).toBe(file!.claims.sha256);
      const ending = controller.lineEnding === 'crlf' ? '\r\n' : '\n';
      const lines = file!.text.split(ending).slice(0, -1);
      expect(file!.claims.lines).toBe(lines.length);
      const at = lines.findIndex((l) => /LINES(:| =) \d+ SHA/.test(l));
      const [, count, sha] = /LINES(?::| =) (\d+) SHA(?::| =) ([0-9A-F]{16})/i.exec(lines[at]!)!;
      expect(Number(count)).toBe(at);
      const before = lines
        .slice(0, at)
        .map((l) => l + ending)
        .join('');
      expect(createHash('sha256').update(before, 'latin1').digest('hex').slice(0, 16)).toBe(
        sha!.toLowerCase(),
      );
      expect(lines.slice(at + 1).filter((l) => l !== '%')).toHaveLength(1);
    }
  });

  test('extents are the least and greatest of every point of the emitted motion', () => {
    fc.assert(
      fc.property(anyProgram, anyController, (program, controller) => {
        const [file] = post(program, controller);
        const { motions } = naiveRead(file!.text, controller, program.header.zeroHeight);
        const box = [0, 1, 2].map((axis) => {
          const values = motions.flatMap((m) => {
            if (m.kind !== 'arc' || axis === 2) return [m.to[axis]!];
            // Where an arc runs parallel to an axis it turns back: centre ± radius, if it gets there.
            const r = Math.hypot(m.from[0] - m.centre![0], m.from[1] - m.centre![1]);
            const from = Math.atan2(m.from[1] - m.centre![1], m.from[0] - m.centre![0]);
            const whole = m.from[0] === m.to[0] && m.from[1] === m.to[1];
            const sweep = whole ? 2 * Math.PI : sweepOf(m.from, m.to, m.centre!, m.clockwise!);
            const out = [m.to[axis]!];
            for (const side of [1, -1]) {
              const there = axis === 0 ? (side > 0 ? 0 : Math.PI) : (side * Math.PI) / 2;
              const turn = 2 * Math.PI;
              const way = (((m.clockwise! ? from - there : there - from) % turn) + turn) % turn;
              if (way < sweep - 1e-9) out.push(m.centre![axis]! + side * r);
            }
            return out;
          });
          return [Math.min(...values.filter(Number.isFinite)), Math.max(...values.filter(Number.isFinite))];
        });
        const { x, y, z } = file!.claims.extents;
        for (const [k, range] of [x, y, z].entries()) {
          // The naive reader computes in floating point; the claims are rounded to 1e-6 mm.
          expect(Math.abs(range[0] - box[k]![0]!)).toBeLessThan(2e-6);
          expect(Math.abs(range[1] - box[k]![1]!)).toBeLessThan(2e-6);
        }
      }),
      { seed: 17, numRuns: 600 },
    );
  });

  test('depths: below the bed, and the lowest in the board', () => {
    const drill = (bottom: number): Move => ({
      kind: 'drill',
      x: 10,
      y: 10,
      link: 40,
      above: 20,
      bottom,
      peck: null,
      feed: 500,
    });
    const deepest = (bottom: number, keyIn: number | null) =>
      post(programOf([drill(bottom)], { header: { ...programOf([]).header, keyIn } }), NGC)[0]!.claims
        .deepest;
    expect(deepest(6.2, 18.12)).toEqual({ bed: null, board: 6.2 });
    expect(deepest(-1.5, 18.12)).toEqual({ bed: 1.5, board: 0 });
    expect(deepest(-1.5, null)).toEqual({ bed: 1.5, board: null });
    expect(deepest(19, 18.12)).toEqual({ bed: null, board: null });
    const top = post(
      programOf([drill(6.2)], {
        header: { ...programOf([]).header, keyIn: 0, zZero: 'board-top', zeroHeight: 18.12 },
      }),
      NGC,
    );
    expect(top[0]!.claims.deepest).toEqual({ bed: null, board: 6.2 });
    expect(top[0]!.text).toContain('Z-11.920');
  });
});
