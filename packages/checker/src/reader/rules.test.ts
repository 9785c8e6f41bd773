import { createHash } from 'node:crypto';
import type { Controller } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { codes } from '../../../../test/support/traces.ts';
import { READER_RULES, type ReaderCode } from '../rules/table.ts';
import { type ReadOptions, readProgram } from './index.ts';

const NGC = controllerOf('rs274ngc');
const ISO = controllerOf('iso6983');
const EIA = controllerOf('rs274d');
const LINEAR = controllerOf('linear');

/** A clean start, so that a sample shows one fault only. */
const HEAD = 'G21 G17 G90 G94 G40 G49 G80 G54 G98\nG0 X0 Y0\nZ30\nF800\n';
const END = 'M5\nM2\n';
const job = (body: string) => `${HEAD}${body}\n${END}`;
const EIA_HEAD = 'G71G40G80G90G17G94\nG00X0Y0\nG00Z30000\n';
const eia = (body: string) => `${EIA_HEAD}${body}\nM30\n`;

/** Adds the closing comment with the right count and hash. */
function sealed(text: string): string {
  const lines = text.split('\n').length - 1;
  const sha = createHash('sha256').update(text).digest('hex').slice(0, 16);
  return `${text}(LINES: ${lines} SHA: ${sha})\n`;
}

interface Sample {
  readonly bad: string | Uint8Array;
  /** The same program with the fault mended. */
  readonly good: string;
  /** Line and column where the finding must stand. */
  readonly at?: readonly [line: number, column: number];
  readonly controller?: Controller;
  readonly goodController?: Controller;
  readonly options?: ReadOptions;
  readonly path?: string;
}

const SAMPLES: Readonly<Record<ReaderCode, Sample>> = {
  'text/empty': { bad: '(ONLY A COMMENT)\n', good: job(''), at: [1, 1] },
  'text/byte-order-mark': { bad: `\ufeff${job('')}`, good: job(''), at: [1, 1] },
  'text/non-ascii': { bad: job('(Größe)'), good: job('(Groesse)'), at: [5, 4] },
  'text/control-character': { bad: job('G1 X1\u0007'), good: job('G1 X1'), at: [5, 6] },
  'text/tab': { bad: job('G1\tX1'), good: job('G1 X1'), at: [5, 3] },
  'text/lower-case': {
    bad: job('g1 X1'),
    good: job('G1 X1'),
    at: [5, 1],
    controller: controllerOf('rs274ngc', { characterSet: 'ascii-upper' }),
  },
  'text/line-ending': { bad: job('G1 X1\r'), good: job('G1 X1'), at: [5, 6] },
  'text/last-line': { bad: job('').slice(0, -1), good: job(''), at: [7, 2] },
  'text/line-length': {
    bad: job(`G1 X1 (${'A'.repeat(250)})`),
    good: job(`G1 X1 (${'A'.repeat(200)})`),
    at: [5, 257],
  },
  'text/too-many-lines': {
    bad: job('G1 X1\nX2\nX3'),
    good: job('G1 X1'),
    controller: controllerOf('rs274ngc', { maxLines: 8 }),
  },
  'text/too-many-bytes': {
    bad: job('(A COMMENT)'),
    good: job(''),
    controller: controllerOf('rs274ngc', { maxBytes: 70 }),
  },
  'text/file-name': {
    bad: job(''),
    good: job(''),
    goodController: controllerOf('rs274ngc', { fileName: { extension: 'tap' } }),
    path: 'a.tap',
  },
  'text/percent': { bad: `%\n${job('')}`, good: `%\n${job('')}%\n` },
  'text/percent-profile': { bad: `%\n${job('')}%\n`, good: job('') },
  'text/after-end': { bad: `${job('')}G1 X1\n`, good: job(''), at: [8, 1] },
  'text/comment-open': { bad: job('G0 Z30 (RETRACT G0 Z25'), good: job('G0 Z30 (RETRACT)'), at: [5, 8] },
  'text/comment-nested': { bad: job('(A (B) C)'), good: job('(A B C)'), at: [5, 4] },
  'text/comment-not-supported': {
    bad: job('(A)'),
    good: job(''),
    controller: controllerOf('rs274ngc', { comments: 'none' }),
  },
  'text/comment-form': {
    bad: job('G1 X1 ; A COMMENT'),
    good: job('G1 X1 (A COMMENT)'),
    options: { strict: false, comments: 'any' },
    at: [5, 7],
  },
  'text/comment-character': {
    bad: 'G21 (50% A)\nM2\n',
    good: 'G21 (50 A)\nM2\n',
    controller: ISO,
    at: [1, 8],
  },
  'text/comment-length': {
    bad: job('(A LONG COMMENT)'),
    good: job('(A)'),
    controller: controllerOf('rs274ngc', { commentLength: 10 }),
  },
  'text/footer-missing': { bad: job(''), good: `${sealed(HEAD)}M2\n` },
  'text/footer-lines': {
    bad: `${sealed(HEAD).replace('LINES: 4', 'LINES: 5')}M2\n`,
    good: `${sealed(HEAD)}M2\n`,
    at: [5, 1],
  },
  'text/footer-hash': {
    bad: `${sealed(HEAD).replace('X0', 'X1')}M2\n`,
    good: `${sealed(HEAD)}M2\n`,
    at: [5, 1],
  },
  'grammar/character': { bad: job('G1 X1 $'), good: job('G1 X1'), at: [5, 7] },
  'grammar/letter': { bad: job('G1 X1 U2'), good: job('G1 X1'), at: [5, 7] },
  'grammar/letter-not-allowed': { bad: 'G1 X1. I2.\n', good: 'G1 X1.\n', controller: LINEAR, at: [1, 8] },
  'grammar/number-missing': { bad: job('G1 X'), good: job('G1 X1'), at: [5, 4] },
  'grammar/number': { bad: job('G1 X1.2.3'), good: job('G1 X1.23'), at: [5, 4] },
  'grammar/exponent': { bad: job('G1 X1e-7'), good: job('G1 X0'), at: [5, 4] },
  'grammar/decimal-comma': { bad: job('G1 X1,5'), good: job('G1 X1.5'), at: [5, 4] },
  'grammar/space-in-number': {
    bad: 'G21\nG1 X1 2.5\n',
    good: 'G21\nG1 X12.5\n',
    controller: ISO,
    at: [2, 4],
  },
  'grammar/point-missing': { bad: 'G21\nG1 X100\n', good: 'G21\nG1 X100.\n', controller: ISO, at: [2, 4] },
  'grammar/point-not-allowed': {
    bad: eia('G01X1.5F00800'),
    good: eia('G01X1500F00800'),
    controller: EIA,
    at: [4, 4],
  },
  'grammar/digits': {
    bad: eia('G01X123456789F00800'),
    good: eia('G01X1500F00800'),
    controller: EIA,
    at: [4, 4],
  },
  'grammar/decimals': { bad: job('G1 X1.23456'), good: job('G1 X1.235'), at: [5, 4] },
  'grammar/too-large': { bad: job('G1 X1234567'), good: job('G1 X1234.567'), at: [5, 4] },
  'grammar/negative-zero': { bad: job('G1 X-0.000'), good: job('G1 X0.000'), at: [5, 4] },
  'grammar/negative': { bad: job('S-1'), good: job('S1'), at: [5, 1] },
  'grammar/not-integer': { bad: job('T1.5'), good: job('T1'), at: [5, 1] },
  'grammar/out-of-range': { bad: job('G81 X1 Z-1 R1 L0'), good: job('G81 X1 Z-1 R1 L1'), at: [5, 15] },
  'grammar/duplicate-word': { bad: job('G1 X1 X2'), good: job('G1 X1'), at: [5, 7] },
  'grammar/modal-group': { bad: job('G1 G0 X1'), good: job('G1 X1'), at: [5, 4] },
  'grammar/too-many-g': {
    bad: job('G1 G90 G17 G94 G40 G49 G54 G98 G21 G61 X1'),
    good: job('G1 X1'),
    controller: controllerOf('rs274ngc', { words: { gPerBlock: 9 } }),
    at: [5, 1],
  },
  'grammar/too-many-m': { bad: job('M3 M7 M48 M0 M6'), good: job('M3 M7 M48 M0'), at: [5, 1] },
  'grammar/word-order': { bad: 'X1. G1\n', good: 'G1 X1.\n', controller: ISO, at: [1, 5] },
  'grammar/line-number': { bad: job('N000009 G1 X1'), good: job('N00009 G1 X1'), at: [5, 1] },
  'grammar/line-number-profile': { bad: job('N10 G1 X1'), good: job('G1 X1'), at: [5, 1] },
  'grammar/block-delete': { bad: job('G1 X1 /'), good: job('/G1 X1'), at: [5, 7] },
  'grammar/block-delete-profile': {
    bad: job('/G1 X1'),
    good: job('G1 X1'),
    controller: controllerOf('rs274ngc', { blockDelete: false }),
    at: [5, 1],
  },
  'grammar/program-number': {
    bad: 'O99999\nG21\n',
    good: 'O4001\nG21\n',
    controller: controllerOf('iso6983', { start: { programWord: 'O', programNumber: 4000 } }),
    at: [1, 1],
  },
  'grammar/subprogram': { bad: job('M98 P10'), good: job(''), at: [5, 1] },
  'grammar/parameter': { bad: job('#5400=1'), good: job('#5=1'), at: [5, 1] },
  'grammar/expression': { bad: job('G1 X[1+]'), good: job('G1 X[1+1]'), at: [5, 8] },
  'grammar/expression-profile': { bad: job('G1 X[1+1]'), good: job('G1 X2'), at: [5, 4] },
  'grammar/expression-not-supported': { bad: 'G1 X[1+1]\n', good: 'G1 X2.\n', controller: ISO, at: [1, 4] },
  'grammar/unknown-code': { bad: job('G73 X1'), good: job('G1 X1'), at: [5, 1] },
  'grammar/code-not-allowed': { bad: 'G2 X1. Y1.\n', good: 'G1 X1. Y1.\n', controller: LINEAR, at: [1, 1] },
  'grammar/code-not-issued': { bad: job('G85 X1 Y1 Z-1 R1'), good: job('G81 X1 Y1 Z-1 R1'), at: [5, 1] },
  'grammar/code-not-followed': { bad: job('G38.2 X1'), good: job('G1 X1'), at: [5, 1] },
  'grammar/word-missing': { bad: job('G4'), good: job('G4 P1'), at: [5, 1] },
  'grammar/word-unused': { bad: job('G1 X1 Q2'), good: job('G1 X1'), at: [5, 7] },
  'grammar/axes-conflict': { bad: job('G1 G28 X1'), good: job('G28 X1'), at: [5, 4] },
  'grammar/motion-word-missing': {
    bad: job('G1 X1\nX2'),
    good: job('G1 X1\nG1 X2').replace('\nZ30', '\nG0 Z30'),
    controller: controllerOf('rs274ngc', { modal: { motion: false } }),
    at: [3, 1],
  },
  'grammar/m-with-motion': { bad: job('G1 X1 M5'), good: job('G1 X1\nM5'), at: [5, 7] },
  'grammar/end-missing': { bad: HEAD, good: job('') },
  'grammar/end-word': { bad: `${HEAD}M30\n`, good: job(''), at: [5, 1] },
  'state/units-missing': { bad: 'G90 G0 X1\n', good: 'G21 G90 G0 X1\n', at: [1, 8] },
  'state/units-profile': { bad: 'G20\n', good: 'G21\n', at: [1, 1] },
  'state/units-changed': { bad: job('G20'), good: job('G21'), at: [5, 1] },
  'state/distance-missing': { bad: 'G21 G0 X1\n', good: 'G21 G90 G0 X1\n', at: [1, 1] },
  'state/distance-profile': { bad: job('G91 G1 X1\nG90'), good: job('G90 G1 X1'), at: [5, 1] },
  'state/distance-left': { bad: job('G91'), good: job('G90'), at: [7, 1] },
  'state/plane-missing': {
    bad: 'G21 G90 G0 X0 Y0\nG2 X1 Y0 I0.5 F100\n',
    good: 'G21 G90 G17 G0 X0 Y0\nG2 X1 Y0 I0.5 F100\n',
    at: [2, 1],
  },
  'state/motion-missing': { bad: 'G21 G90\nX1\n', good: 'G21 G90\nG0 X1\n', at: [2, 1] },
  'state/safe-start': {
    bad: 'G21 G90 G17 G94 G40 G80 G54\nG0 X1\n',
    good: 'G21 G90 G17 G94 G40 G49 G80 G54\nG0 X1\n',
    at: [2, 1],
  },
  'state/feed-missing': {
    bad: 'G21 G90 G17 G94 G40 G49 G80 G54\nG1 X1\n',
    good: 'G21 G90 G17 G94 G40 G49 G80 G54\nG1 X1 F100\n',
    at: [2, 1],
  },
  'state/feed-zero': { bad: job('G1 X1 F0'), good: job('G1 X1 F10'), at: [5, 7] },
  'state/feed-before-units': { bad: job('G20\nG1 X1'), good: job('G20\nG1 X1 F30'), at: [6, 1] },
  'state/feed-every-cut': {
    bad: job('G1 X1'),
    good: job('G1 X1 F800'),
    controller: controllerOf('rs274ngc', { feed: { word: 'every-cut' } }),
    at: [5, 1],
  },
  'state/inverse-feed-missing': { bad: job('G93 G1 X1'), good: job('G93 G1 X1 F2'), at: [5, 1] },
  'state/position-unknown': { bad: 'G21 G91 G0 X1\n', good: 'G21 G90 G0 X1\nG91 X1\n', at: [1, 12] },
  'state/offset-changed': { bad: job('G55'), good: job('G54'), at: [5, 1] },
  'state/axes-after-g80': { bad: job('G80\nX1'), good: job('G80\nG0 X1'), at: [6, 1] },
  'state/cycle-not-cancelled': {
    bad: job('G81 X1 Z-1 R1\nG0 X5'),
    good: job('G81 X1 Z-1 R1\nG80\nG0 X5'),
    controller: controllerOf('rs274ngc', { cycles: { cancel: true } }),
    at: [6, 1],
  },
  'state/stale-motion': { bad: job('G1 X1\nT2 M6\nX5'), good: job('G1 X1\nT2 M6\nG1 X5'), at: [7, 1] },
  'state/radius-compensation': { bad: job('G41 D1'), good: job('G40'), at: [5, 1] },
  'state/axis-offset': { bad: job('G92 X1'), good: job(''), at: [5, 1] },
  'state/origin-rewritten': { bad: job('G10 L2 P1 X1'), good: job(''), at: [5, 1] },
  'state/home': {
    bad: job('G28 Z30'),
    good: job('G0 Z30'),
    at: [5, 1],
    controller: controllerOf('rs274ngc', { home: 'none' }),
  },
  'state/machine-coordinates': { bad: job('G53 G0 Z0'), good: job('G0 Z30'), at: [5, 1] },
  'state/arc-radius': {
    bad: job('G1 X7 Y7\nG2 X10 Y16 I3 J3'),
    good: job('G1 X7 Y7\nG2 X10 Y16 I3 J4'),
    at: [6, 1],
  },
  'state/arc-end': { bad: job('G2 X50 Y0 R10'), good: job('G2 X10 Y0 R10'), at: [5, 11] },
  'state/arc-half-turn': { bad: job('G2 X20 Y0 R10'), good: job('G2 X10 Y0 R10'), at: [5, 11] },
  'state/arc-quadrant': {
    bad: eia('G02X20000Y0I10000J0F800'),
    good: eia('G02X10000Y10000I10000J0F800'),
    controller: EIA,
    at: [4, 1],
  },
  'state/arc-size': {
    bad: job('G2 X10 Y0 R10'),
    good: job('G2 X10 Y0 R60'),
    controller: controllerOf('rs274ngc', { arcs: { minRadius: 20 } }),
    at: [5, 1],
  },
  'state/full-circle': {
    bad: job('G2 X0 Y0 I5'),
    good: job('G2 X10 Y0 I5'),
    controller: controllerOf('rs274ngc', { arcs: { fullCircle: 'two' } }),
    at: [5, 1],
  },
  'state/cycle-position': { bad: job('G81 R2 Z-1'), good: job('G81 X1 R2 Z-1'), at: [5, 1] },
  'state/cycle-depth': { bad: job('G81 X1 Y1 R-2 Z-1'), good: job('G81 X1 Y1 R2 Z-1'), at: [5, 11] },
  'state/cycle-return-missing': {
    bad: job('G81 X1 R2 Z-1').replace(' G98', ''),
    good: job('G81 X1 R2 Z-1'),
    at: [5, 1],
  },
  'state/cycle-initial-height': {
    bad: job('G81 G99 X1 R2 Z-1\nG98 X5'),
    good: job('G81 G98 X1 R2 Z-1\nX5'),
    at: [6, 1],
  },
  'state/parameter-unset': { bad: job('G1 X#9'), good: job('#9=1\nG1 X#9'), at: [5, 5] },
  'state/too-many-motions': {
    bad: job('G83 X1 Z-900 R1 Q0.001'),
    good: job('G83 X1 Z-900 R1 Q10'),
    at: [5, 17],
  },
};

describe('every rule of the reader', () => {
  it('has an id of its own, a sample, and words for a person', () => {
    expect(Object.keys(READER_RULES).sort()).toEqual(Object.keys(SAMPLES).sort());
    for (const [code, rule] of Object.entries(READER_RULES)) {
      expect(code).toMatch(/^(text|grammar|state)\//);
      expect(rule.why).toMatch(/\.$/);
      expect(rule.remedy.length).toBeGreaterThan(5);
    }
  });

  for (const [id, s] of Object.entries<Sample>(SAMPLES)) {
    it(id, () => {
      const path = s.path ?? 'a.ngc';
      const bad = readProgram(s.bad, path, s.controller ?? NGC, s.options);
      const found = bad.findings.filter((f) => f.code === id);
      expect(found.length, codes(bad).join(', ')).toBeGreaterThan(0);
      const rule = READER_RULES[id as ReaderCode];
      expect(found[0]!.severity).toBe(rule.severity);
      if (rule.makesPathUnknown) expect(bad.understood).toBe(false);
      if (s.at !== undefined) expect([found[0]!.place?.line, found[0]!.place?.column]).toEqual(s.at);
      const good = readProgram(s.good, path, s.goodController ?? s.controller ?? NGC, s.options);
      expect(codes(good)).not.toContain(id);
    });
  }
});

describe('a clean program', () => {
  it('raises nothing in the strict reading', () => {
    const text = sealed(
      '(MACHINE: HERON)\n(CUTTER: UPCUT-6 D6 T1)\nG21 G17 G90 G94 G40 G49 G80 G54 G98\nG0 Z30\nS16000 M3\nG4 P6\n(SITE A1)\nG0 X10 Y20\nG0 Z3\nG1 Z-2 F500\nG3 X10 Y20 I5 J0 F900\nG0 Z30\nM5\nG0 X0 Y0\n',
    );
    const trace = readProgram(`${text}M2\n`, 'bed-mark.ngc', NGC);
    expect(trace.findings).toEqual([]);
    expect(trace.understood).toBe(true);
    expect(trace.header).toEqual([
      { key: 'MACHINE', value: 'HERON', line: 1 },
      { key: 'CUTTER', value: 'UPCUT-6 D6 T1', line: 2 },
    ]);
    expect(trace.footer?.lines).toBe(14);
    expect(trace.events.filter((e) => e.kind === 'comment').map((e) => e.text)).toContain('SITE A1');
  });
});
