import type { Move } from '@bedledger/bedwork';
import { describe, expect, test } from 'vitest';
import { readReference } from '../../../test/support/reference.ts';
import { post } from './index.ts';
import { NGC } from './testing/controllers.ts';
import { naiveRead } from './testing/naive-reader.ts';
import { programOf } from './testing/programs.ts';

interface Vector {
  readonly id: string;
  readonly start: readonly [number, number, number];
  readonly in: readonly string[];
  readonly out: readonly (readonly [string, ...number[]])[];
}

/** Words of a block without comments and spaces, numbers as numbers, in any order. */
function words(block: string): string {
  return [
    ...block
      .toUpperCase()
      .replace(/\s/g, '')
      .matchAll(/([A-Z])([+-]?[\d.]+)/g),
  ]
    .map(([, letter, value]) => `${letter}${Number(value)}`)
    .sort()
    .join(' ');
}

/** The blocks between the rapid to the start and the end of the program. */
function body(moves: readonly Move[], clearHeight: number): { blocks: string[]; text: string } {
  const [file] = post(programOf(moves, { clearHeight }), {
    ...NGC,
    comments: 'none',
  });
  return { blocks: file!.text.split('\n'), text: file!.text };
}

describe('the report’s own examples (NISTIR 6556)', () => {
  const { reportStated, derivedFromReportRules } = JSON.parse(readReference('program-text-vectors.json')) as {
    reportStated: Vector[];
    derivedFromReportRules: Vector[];
  };
  const vector = (id: string): Vector =>
    [...reportStated, ...derivedFromReportRules].find((v) => v.id === id)!;
  const motionsOf = (text: string) =>
    naiveRead(text, NGC, 0).motions.map((m) => [
      m.kind === 'rapid' ? 'T' : m.kind === 'feed' ? 'F' : 'ARC',
      ...m.to,
    ]);

  test('a chain of holes is the block with its two short followers, and G80 (modal-chain)', () => {
    const v = vector('modal-chain');
    const hole = (x: number): Move => ({
      kind: 'drill',
      x,
      y: 50,
      link: 25,
      above: 2,
      bottom: -12,
      peck: null,
      feed: 800,
    });
    const { blocks, text } = body([{ kind: 'rapid-xy', x: 0, y: 0 }, hole(200), hole(232), hole(264)], 25);
    const first = blocks.findIndex((b) => b.includes('G81'));
    // G90 stands in the safe start already.
    expect(blocks.slice(first, first + 4).map(words)).toEqual(v.in.map((b) => words(b.replace('G90', ''))));
    const moves = motionsOf(text);
    const at = moves.findIndex((m) => m[1] === 200);
    expect(moves.slice(at, at + v.out.length - 1)).toEqual(v.out.slice(1));
  });

  test('one hole from height 3 (§3.5.16.2, example 1)', () => {
    const v = vector('3.5.16.2-ex1');
    const { blocks } = body(
      [
        { kind: 'rapid-xy', x: 1, y: 2 },
        { kind: 'drill', x: 4, y: 5, link: 3, above: 2.8, bottom: 1.5, peck: null, feed: 100 },
      ],
      3,
    );
    const block = blocks.find((b) => b.includes('G81'))!;
    expect(words(block.replace(/F\d+/, ''))).toBe(words(v.in[0]!.replace('G90', '')));
  });

  test('the arc of §3.5.3.2: the same words', () => {
    const v = vector('3.5.3.2-ijk');
    const { blocks } = body(
      [
        { kind: 'rapid-xy', x: 7, y: 7 },
        { kind: 'rapid-z', z: 9 },
        { kind: 'arc', clockwise: true, x: 10, y: 16, z: 9, cx: 10, cy: 11, feed: 100 },
      ],
      20,
    );
    const block = blocks.find((b) => b.startsWith('G2'))!;
    // Z stays, and G17 is in force: the two words the post leaves out.
    expect(words(block.replace(/F\d+/, ''))).toBe(words(v.in[0]!.replace('G17', '').replace('z 9', '')));
  });

  test('the radius form of the derived vector: R 20 to the stated centre', () => {
    const v = vector('r-format-centre');
    const [, ex, ey, cx, cy] = v.out[0] as unknown as [string, number, number, number, number];
    const [file] = post(
      programOf(
        [
          { kind: 'rapid-xy', x: 0, y: 0 },
          { kind: 'rapid-z', z: 5 },
          { kind: 'arc', clockwise: true, x: ex, y: ey, z: 5, cx, cy, feed: 100 },
        ],
        { clearHeight: 20 },
      ),
      { ...NGC, arcs: { ...NGC.arcs, form: 'radius' } },
    );
    const block = file!.text.split('\n').find((b) => b.startsWith('G2'))!;
    expect(words(block.replace(/F\d+/, ''))).toBe(words(v.in[0]!.replace('G17', '').replace('z5', '')));
  });
});

describe('heights of a drilling chain', () => {
  test('a hole from another link height starts its cycle there, so that both readings of the height agree', () => {
    const hole = (x: number, link: number): Move => ({
      kind: 'drill',
      x,
      y: 0,
      link,
      above: 20,
      bottom: 10,
      peck: null,
      feed: 500,
    });
    const [file] = post(programOf([hole(0, 40), hole(50, 25), hole(100, 25), hole(150, 40)]), NGC);
    // The naive reader throws when the height at the chain’s start and at the block’s differ.
    const { motions } = naiveRead(file!.text, NGC, 0);
    const after = motions
      .filter((m) => m.fromCycle && m.kind === 'feed')
      .map((m) => motions[motions.indexOf(m) + 1]!.to[2]);
    expect(after).toEqual([40, 25, 25, 40]);
  });

  test('without return words the retract plane is the link height itself', () => {
    const [file] = post(
      programOf([{ kind: 'drill', x: 0, y: 0, link: 40, above: 20, bottom: 10, peck: 4, feed: 500 }]),
      { ...NGC, cycles: { use: 'G81-G83', return: 'none', cancel: true } },
    );
    expect(file!.text).toContain('G83 X0.000 Y0.000 Z10.000 R40.000 Q4.000 F500');
  });
});
