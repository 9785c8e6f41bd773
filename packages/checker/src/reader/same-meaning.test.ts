import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { codes } from '../../../../test/support/traces.ts';
import type { Trace } from '../trace.ts';
import { readProgram } from './index.ts';

const NGC = controllerOf('rs274ngc');
const HEAD = 'G21 G17 G90 G94 G40 G49 G80 G54 G98\nG0 Z30\n';
const TAIL = 'G0 Z30\nM5\nG0 X0 Y0\nM2\n';

const number = fc.integer({ min: -400_000, max: 400_000 }).map((v) => String(v / 1000));
const positive = fc.integer({ min: 100, max: 5000 }).map(String);
const block = fc.oneof(
  fc.tuple(number, number, positive).map(([x, y, f]) => ['G1', `X${x}`, `Y${y}`, `F${f}`]),
  fc.tuple(number, number).map(([x, y]) => ['G0', `X${x}`, `Y${y}`]),
  fc.tuple(number, positive).map(([z, f]) => ['G1', `Z${z}`, `F${f}`]),
  fc
    .tuple(number, number, positive)
    .map(([x, y, f]) => ['G81', 'G98', `X${x}`, `Y${y}`, 'Z-3', 'R2', `F${f}`]),
  fc.tuple(fc.integer({ min: 1, max: 90_000 }), positive).map(([i, f]) => {
    const half = String(i / 1000);
    return ['G91', 'G3', `X${(2 * i) / 1000}`, 'Y0', `I${half}`, 'J0', `F${f}`];
  }),
  fc.constant(['G90']),
  positive.map((s) => ['M3', `S${s}`]),
  fc.constant(['G4', 'P1.5']),
);
const program = fc.array(block, { minLength: 1, maxLength: 25 });

const read = (body: string, strict = true, controller = NGC) =>
  readProgram(HEAD + body + TAIL, 'a.ngc', controller, { strict });

/** Everything of a trace that matters to the machine. */
function meaning(trace: Trace) {
  return {
    kind: [...trace.kind],
    x: [...trace.x],
    y: [...trace.y],
    z: [...trace.z],
    c1: [...trace.c1],
    c2: [...trace.c2],
    sweep: [...trace.sweep],
    feed: [...trace.feed],
    rpm: [...trace.rpm],
    flags: [...trace.flags],
    events: trace.events.filter((e) => e.kind !== 'comment').map((e) => [e.kind, e.at, e.value]),
    end: trace.end,
    understood: trace.understood,
    codes: codes(trace),
  };
}

/** A small generator for picks inside a property: its seed is drawn by the property. */
function picker(seed: number) {
  let state = seed | 0;
  return (n: number): number => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return (state >>> 8) % n;
  };
}

function same(change: (words: string[], pick: (n: number) => number) => string): void {
  fc.assert(
    fc.property(program, fc.integer(), (lines, seed) => {
      const pick = picker(seed);
      const plain = lines.map((l) => `${l.join(' ')}\n`).join('');
      const changed = lines.map((l) => `${change([...l], pick)}\n`).join('');
      expect(meaning(read(changed))).toEqual(meaning(read(plain)));
    }),
    { numRuns: 300, seed: 33 },
  );
}

describe('text that means the same (NISTIR 6556 sections 3.3 and 3.3.6)', () => {
  it('words of a block in any order', () => {
    same((words, pick) => {
      for (let i = words.length - 1; i > 0; i--) {
        const j = pick(i + 1);
        [words[i], words[j]] = [words[j]!, words[i]!];
      }
      return words.join(' ');
    });
  });

  it('white space anywhere, inside numbers too', () => {
    same((words, pick) => [...words.join('')].map((c) => c + ['', '', ' ', '  '][pick(4)]!).join(''));
  });

  it('lower case, leading zeros and trailing zeros within the grid', () => {
    same((words, pick) =>
      words
        .map((w) => {
          const letter = w[0]!;
          let v = w.slice(1);
          const sign = v.startsWith('-') ? '-' : '';
          v = v.slice(sign.length);
          if (pick(2) === 0) v = `00${v}`;
          if (!'GM'.includes(letter) && pick(2) === 0) v = v.includes('.') ? `${v}000` : `${v}.`;
          return (pick(2) === 0 ? letter.toLowerCase() : letter) + sign + v;
        })
        .join(' '),
    );
  });

  it('comments and blank lines anywhere between words', () => {
    same((words, pick) => {
      const out: string[] = [];
      for (const w of words) {
        if (pick(3) === 0) out.push('(NOTE)');
        out.push(w);
      }
      return (pick(4) === 0 ? '\n' : '') + out.join(' ') + (pick(3) === 0 ? ' (END OF BLOCK)' : '');
    });
  });

  it('modal words said again', () => {
    same((words, pick) => {
      const free = words.every((w) => !/^G(17|21|94|40)/.test(w));
      return free && pick(2) === 0 ? [...words, 'G17', 'G21', 'G94'].join(' ') : words.join(' ');
    });
  });

  it('line ends of any kind', () => {
    fc.assert(
      fc.property(program, (lines) => {
        const plain = HEAD + lines.map((l) => `${l.join(' ')}\n`).join('') + TAIL;
        const base = meaning(readProgram(plain, 'a.ngc', NGC, { strict: false }));
        for (const [end, name] of [
          ['\r\n', 'crlf'],
          ['\r', 'cr'],
        ] as const) {
          const c = controllerOf('rs274ngc', { lineEnding: name });
          const trace = readProgram(plain.replaceAll('\n', end), 'a.ngc', c, { strict: false });
          expect(meaning(trace)).toEqual(base);
          expect(trace.lines).toBe(plain.split('\n').length - 1);
        }
      }),
      { numRuns: 100, seed: 34 },
    );
  });

  it('bytes or a string', () => {
    fc.assert(
      fc.property(program, (lines) => {
        const text = HEAD + lines.map((l) => `${l.join(' ')}\n`).join('') + TAIL;
        const bytes = new TextEncoder().encode(text);
        expect(meaning(readProgram(bytes, 'a.ngc', NGC))).toEqual(meaning(readProgram(text, 'a.ngc', NGC)));
      }),
      { numRuns: 50, seed: 35 },
    );
  });
});

describe('numbers', () => {
  // ECMA-262: Number(text) is the correctly rounded value, so the fast conversion must equal it to the bit.
  it('are the doubles nearest to their text, short or long', () => {
    const digits = fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: 22 });
    fc.assert(
      fc.property(digits, fc.option(digits, { nil: '' }), fc.boolean(), (whole, part, minus) => {
        const text = `${minus ? '-' : ''}${whole}${part === '' ? '' : `.${part}`}`;
        const trace = readProgram(`G21 G90 G0 X${text}\n`, 'a.ngc', NGC, { strict: false });
        expect(trace.x[0]).toBe(Number(text) + 0);
      }),
      { numRuns: 5000, seed: 36 },
    );
  });
});

describe('any bytes at all', () => {
  const dialects = (['rs274ngc', 'iso6983', 'rs274d', 'linear'] as const).map((d) => controllerOf(d));
  const soup = fc.string({
    unit: fc.constantFrom(...'GMXYZIJKRPQLFSTHDNO0123456789.-+/%()[]#=;:, \n\r\t*e'),
    maxLength: 400,
  });
  it('never throw, and always give a trace of one piece', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.uint8Array({ maxLength: 600 }),
          soup.map((s) => new TextEncoder().encode(s)),
        ),
        fc.constantFrom(...dialects),
        fc.boolean(),
        fc.boolean(),
        (bytes, controller, strict, blockDelete) => {
          const trace = readProgram(bytes, 'a.ngc', controller, { strict, blockDelete });
          expect(trace.x.length).toBe(trace.length);
          expect(trace.feed.length).toBe(trace.length);
          for (const f of trace.findings) {
            expect(f.place?.line).toBeGreaterThan(0);
            expect(f.place?.column).toBeGreaterThan(0);
          }
          // Nothing that cannot be followed may pass as understood.
          if (trace.findings.some((f) => f.code.startsWith('grammar/unknown')))
            expect(trace.understood).toBe(false);
        },
      ),
      { numRuns: 6000, seed: 37 },
    );
  });

  it('stay bounded: damaged files of a megabyte, deep brackets, absurd repeats', () => {
    const big = [
      '('.repeat(1 << 20),
      '['.repeat(1 << 20),
      `G1 X${'['.repeat(200)}1${']'.repeat(200)}\n`,
      `G1 X${'9'.repeat(1 << 20)}\n`,
      'G81 X1 Y1 Z-1 R1 L1000000\n',
      'G83 X1 Y1 Z-1000000 R1 Q0.0000001 F1\n',
      '#'.repeat(1 << 20),
      `${'\u0000'.repeat(1 << 20)}`,
      'x\n'.repeat(1 << 19),
      `G1 X#${'#'.repeat(200)}1\n`,
    ];
    for (const text of big) {
      const trace = readProgram(`G21 G90 G17 G0 X0 Y0 Z5\n${text}`, 'a.ngc', NGC, { strict: false });
      expect(trace.understood).toBe(false);
      expect(trace.findings.length).toBeLessThan(200);
    }
  });
});
