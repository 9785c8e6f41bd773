import { has } from '../line-facts.ts';
import {
  eachLine,
  inserted,
  linesOf,
  type Mutant,
  type Operator,
  replaced,
  replacedPair,
  type Subject,
} from '../operator.ts';
import { numberText, withNumber, without, withValue, wordValue } from '../program-text.ts';

const SHAPE = [
  'tool/',
  'work/',
  'program/',
  'documents/',
  'state/',
  'interlock/',
  'grammar/',
  'sequence/',
  'text/',
];

/** Changes every word of some letters on some lines at once. */
function mapWords(
  s: Subject,
  letters: string,
  change: (value: number, letter: string, k: number) => number,
  on: (k: number) => boolean = () => true,
): string[] {
  const c = s.program.controller;
  return s.program.lines.map((line, k) => {
    if (line.comment || !on(k) || has(line.words, 'G', 4)) return line.text;
    let text = line.text;
    for (const word of [...line.words].reverse()) {
      if (!letters.includes(word.letter)) continue;
      text =
        text.slice(0, word.at) +
        word.letter +
        numberText(word.letter, change(wordValue(word, c), word.letter, k), c) +
        text.slice(word.end);
    }
    return text;
  });
}

function whole(s: Subject, lines: readonly string[], what: string): Mutant[] {
  const line = lines.findIndex((text, k) => text !== s.program.lines[k]!.text);
  return line < 0 ? [] : [{ lines, line: line + 1, what }];
}

const sign = (s: Subject): number => s.program.controller.zSign;
const below = (s: Subject, z: number): boolean => sign(s) * z < sign(s) * s.top;

/** Lines that cut at their end: feed motions ending below the top. */
const cutLine = (s: Subject, k: number): boolean => {
  const f = s.facts[k]!;
  return f.moves && f.motion >= 1 && f.motion <= 3 && below(s, f.after.z);
};

function onWord(
  s: Subject,
  letter: string,
  when: (k: number) => boolean,
  change: (v: number) => number,
  what: string,
): Mutant[] {
  return eachLine(s, (line, _f, k) => {
    const word = has(line.words, letter);
    return word && when(k) && !has(line.words, 'G', 4)
      ? {
          lines: replaced(
            s,
            k,
            withValue(line, word, change(wordValue(word, s.program.controller)), s.program.controller),
          ),
          line: k + 1,
          what: `${what}: ${letter} of \`${line.text}\``,
        }
      : null;
  });
}

const isArc = (s: Subject, k: number): boolean => [2, 3].includes(s.facts[k]!.motion) && s.facts[k]!.moves;

/** The lines of a section that stand at one site: from its comment to the next. */
function sections(s: Subject): number[][] {
  const groups = new Map<number, number[]>();
  s.facts.forEach((f, k) => {
    if (!f.moves || !f.started) return;
    const list = groups.get(f.section) ?? [];
    list.push(k);
    groups.set(f.section, list);
  });
  return [...groups.values()].filter((list) =>
    list.some((k) => cutLine(s, k) || s.facts[k]!.motion > 80 || has(s.program.lines[k]!.words, 'X')),
  );
}

const OFFSETS = [0.05, 1, 10] as const;

export const GEOMETRY_OPERATORS: readonly Operator[] = [
  ...(
    [
      ['13a', -1],
      ['13b', 1],
      ['13c', 0.1],
      ['13d', -0.1],
    ] as const
  ).map(
    ([id, by]): Operator => ({
      id,
      title: `every Z ${by > 0 ? '+' : '−'} ${Math.abs(by)} mm`,
      expected: SHAPE,
      make: (s) =>
        s.program.controller.distance === 'absolute'
          ? whole(
              s,
              mapWords(s, 'ZR', (v) => v + by * s.mm),
              `all Z ${by} mm`,
            )
          : [],
    }),
  ),
  {
    id: '13e',
    title: 'every Z × 1.1',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'ZR', (v) => v * 1.1),
        'all Z × 1.1',
      ),
  },
  {
    id: '13f',
    title: 'sign of every Z',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'ZR', (v) => -v),
        'all Z negated',
      ),
  },
  ...(
    [
      ['14a', 0.5, 'too shallow'],
      ['14b', -0.5, 'too deep'],
    ] as const
  ).map(
    ([id, by, word]): Operator => ({
      id,
      title: `one depth ${word} by 0.5 mm`,
      expected: SHAPE,
      make: (s) =>
        onWord(
          s,
          'Z',
          (k) => cutLine(s, k) || s.facts[k]!.motion > 80,
          (v) => v + by * s.mm * sign(s),
          word,
        ),
    }),
  ),
  {
    id: '15a',
    title: 'delete a retract',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) =>
        f.moves && f.motion === 0 && has(line.words, 'Z') && sign(s) * f.after.z > sign(s) * f.before.z
          ? { lines: replaced(s, k), line: k + 1, what: `delete \`${line.text}\`` }
          : null,
      ),
  },
  {
    id: '15b',
    title: 'lower the clear height',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'Z', (v) =>
          Math.abs(v - s.clear) < 1e-6 * s.mm + 1e-9 ? s.top + (s.clear - s.top) * 0.2 : v,
        ),
        'clear height lowered',
      ),
  },
  {
    id: '16a',
    title: 'G0 becomes G1',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const word = has(line.words, 'G', 0);
        return word && f.moves
          ? {
              lines: replaced(s, k, withNumber(line, word, '1')),
              line: k + 1,
              what: `G1 in \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '16b',
    title: 'G1 becomes G0',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const word = has(line.words, 'G', 1);
        return word && f.moves
          ? {
              lines: replaced(s, k, withNumber(line, word, '0')),
              line: k + 1,
              what: `G0 in \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '17a',
    title: 'Z and X Y rapids in one block',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const next = s.program.lines[k + 1];
        const g = s.facts[k + 1];
        if (!next || !g || f.motion !== 0 || g.motion !== 0 || !f.moves || !g.moves) return null;
        const own = line.words.filter((w) => 'XYZ'.includes(w.letter)).map((w) => w.letter);
        const others = next.words.filter((w) => 'XYZ'.includes(w.letter));
        if (others.some((w) => own.includes(w.letter))) return null;
        const gap = s.program.controller.spacing === 'space' ? ' ' : '';
        const merged = [...line.words.filter((w) => w.letter !== 'N'), ...others].sort(
          (a, b) => 'GXYZFSTM'.indexOf(a.letter) - 'GXYZFSTM'.indexOf(b.letter),
        );
        const number = has(line.words, 'N');
        const text = [...(number ? [number] : []), ...merged].map((w) => w.letter + w.text).join(gap);
        return {
          lines: replacedPair(k, text),
          line: k + 1,
          what: `\`${line.text}\` and \`${next.text}\` in one block`,
        };
      }),
  },
  {
    id: '17b',
    title: 'Z and X Y rapids swapped',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const next = s.program.lines[k + 1];
        const g = s.facts[k + 1];
        if (!next || !g || f.motion !== 0 || g.motion !== 0 || !f.moves || !g.moves) return null;
        return {
          lines: replacedPair(k, next.text, line.text),
          line: k + 1,
          what: `\`${line.text}\` and \`${next.text}\` swapped`,
        };
      }),
  },
  {
    id: '18a',
    title: 'G2 becomes G3, or the reverse',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, _f, k) => {
        const word = has(line.words, 'G', 2) ?? has(line.words, 'G', 3);
        return word
          ? {
              lines: replaced(s, k, withNumber(line, word, Number(word.text) === 2 ? '3' : '2')),
              line: k + 1,
              what: `other sense in \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '18b',
    title: 'sign of I',
    expected: SHAPE,
    make: (s) =>
      onWord(
        s,
        'I',
        (k) => isArc(s, k),
        (v) => -v,
        'sign',
      ),
  },
  {
    id: '18c',
    title: 'sign of J',
    expected: SHAPE,
    make: (s) =>
      onWord(
        s,
        'J',
        (k) => isArc(s, k),
        (v) => -v,
        'sign',
      ),
  },
  {
    id: '18d',
    title: 'I and J exchanged',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, _f, k) => {
        const i = has(line.words, 'I');
        const j = has(line.words, 'J');
        if (!i || !j) return null;
        const text =
          line.text.slice(0, i.at) +
          `I${j.text}` +
          line.text.slice(i.end, j.at) +
          `J${i.text}` +
          line.text.slice(j.end);
        return { lines: replaced(s, k, text), line: k + 1, what: `I and J exchanged in \`${line.text}\`` };
      }),
  },
  {
    id: '18e',
    title: 'drop I',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, _f, k) => {
        const i = has(line.words, 'I');
        return i
          ? { lines: replaced(s, k, without(line, i)), line: k + 1, what: `drop I from \`${line.text}\`` }
          : null;
      }),
  },
  {
    id: '18f',
    title: 'sign of arc R',
    expected: SHAPE,
    make: (s) =>
      onWord(
        s,
        'R',
        (k) => isArc(s, k),
        (v) => -v,
        'sign',
      ),
  },
  {
    id: '18g',
    title: 'arc R × 2',
    expected: SHAPE,
    make: (s) =>
      onWord(
        s,
        'R',
        (k) => isArc(s, k),
        (v) => 2 * v,
        'twice',
      ),
  },
  {
    id: '18h',
    title: 'centre absolute for incremental, or the reverse',
    expected: SHAPE,
    make: (s) => {
      const absolute = s.program.controller.arcs.form === 'centre-absolute';
      return eachLine(s, (line, f, k) => {
        const i = has(line.words, 'I');
        if (!i || !isArc(s, k)) return null;
        const v = wordValue(i, s.program.controller);
        return {
          lines: replaced(
            s,
            k,
            withValue(line, i, absolute ? v - f.before.x : v + f.before.x, s.program.controller),
          ),
          line: k + 1,
          what: `I read the other way in \`${line.text}\``,
        };
      });
    },
  },
  ...(
    [
      ['19a', 0.001],
      ['19b', 0.003],
      ['19c', 0.1],
    ] as const
  ).map(
    ([id, by]): Operator => ({
      id,
      title: `arc end off by ${by} mm`,
      expected: SHAPE,
      make: (s) =>
        onWord(
          s,
          'X',
          (k) => isArc(s, k),
          (v) => v + by * s.mm,
          `end + ${by}`,
        ),
    }),
  ),
  {
    id: '20a',
    title: 'arc becomes its chord',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, _f, k) => {
        if (!isArc(s, k)) return null;
        let text = line.text;
        for (const w of [...line.words].reverse()) {
          if (w.letter === 'G' && [2, 3].includes(Number(w.text)))
            text = `${text.slice(0, w.at)}G1${text.slice(w.end)}`;
          else if ('IJR'.includes(w.letter)) text = text.slice(0, w.at).replace(/ $/, '') + text.slice(w.end);
        }
        // the motion word is often left out: the chord needs one, and the arcs that follow their own back
        if (!has(line.words, 'G', 2) && !has(line.words, 'G', 3))
          text = text.replace(/(?=[XYZ])/, s.program.controller.spacing === 'space' ? 'G1 ' : 'G1');
        const next = s.program.lines[k + 1];
        const nextArc = next && isArc(s, k + 1) && !next.words.some((w) => w.letter === 'G');
        const gap = s.program.controller.spacing === 'space' ? ' ' : '';
        const lines = nextArc
          ? replacedPair(k, text, next.text.replace(/(?=[XYZ])/, `G${s.facts[k + 1]!.motion}${gap}`))
          : replaced(s, k, text);
        return { lines, line: k + 1, what: `chord instead of \`${line.text}\`` };
      }),
  },
  {
    id: '20b',
    title: 'arc end becomes its start',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const x = has(line.words, 'X');
        const y = has(line.words, 'Y');
        if (!isArc(s, k) || (!x && !y)) return null;
        let text = line.text;
        for (const w of [...line.words].reverse()) {
          const to = w.letter === 'X' ? f.before.x : w.letter === 'Y' ? f.before.y : null;
          if (to !== null && !Number.isNaN(to))
            text =
              text.slice(0, w.at) +
              w.letter +
              numberText(w.letter, to, s.program.controller) +
              text.slice(w.end);
        }
        return text === line.text
          ? null
          : { lines: replaced(s, k, text), line: k + 1, what: `full circle instead of \`${line.text}\`` };
      }),
  },
  {
    id: '21a',
    title: 'sign of every X',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'XI', (v) => -v),
        'all X negated',
      ),
  },
  {
    id: '21b',
    title: 'sign of every Y',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'YJ', (v) => -v),
        'all Y negated',
      ),
  },
  {
    id: '21c',
    title: 'X and Y exchanged',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        s.program.lines.map((line) => {
          if (line.comment || has(line.words, 'G', 4)) return line.text;
          const x = has(line.words, 'X');
          const y = has(line.words, 'Y');
          if (x && y)
            return (
              line.text.slice(0, x.at) +
              `X${y.text}` +
              line.text.slice(x.end, y.at) +
              `Y${x.text}` +
              line.text.slice(y.end)
            );
          const one = x ?? y;
          return one ? line.text.slice(0, one.at) + (x ? 'Y' : 'X') + line.text.slice(one.at + 1) : line.text;
        }),
        'X and Y exchanged',
      ),
  },
  {
    id: '21d',
    title: 'mirrored about the middle of the board',
    expected: SHAPE,
    make: (s) => {
      const { at, size } = s.record.machine.board;
      const axis = (2 * at[0] + size[0]) * s.mm;
      return s.program.controller.distance === 'absolute'
        ? whole(
            s,
            mapWords(s, 'XI', (v, letter) => (letter === 'X' ? axis - v : -v)),
            'mirrored in X',
          )
        : [];
    },
  },
  ...OFFSETS.flatMap((by, n): Operator[] => [
    {
      id: `22${'ace'[n]}`,
      title: `one section off by ${by} mm in X`,
      expected: SHAPE,
      make: (s) =>
        s.program.controller.distance === 'absolute'
          ? sections(s).flatMap((group) => {
              const set = new Set(group);
              return whole(
                s,
                mapWords(
                  s,
                  'X',
                  (v) => v + by * s.mm,
                  (k) => set.has(k),
                ),
                `section from line ${group[0]! + 1} + ${by} mm`,
              );
            })
          : [],
    },
    {
      id: `22${'bdf'[n]}`,
      title: `everything off by ${by} mm in Y`,
      expected: SHAPE,
      make: (s) =>
        s.program.controller.distance === 'absolute'
          ? whole(
              s,
              mapWords(s, 'Y', (v) => v + by * s.mm),
              `all Y + ${by} mm`,
            )
          : [],
    },
  ]),
  ...(['X', 'Y', 'Z'] as const).flatMap((letter): Operator[] => [
    {
      id: `23a${letter}`,
      title: `one ${letter} ÷ 10`,
      expected: SHAPE,
      make: (s) =>
        onWord(
          s,
          letter,
          () => true,
          (v) => v / 10,
          '÷ 10',
        ),
    },
    {
      id: `23b${letter}`,
      title: `one ${letter} × 10`,
      expected: SHAPE,
      make: (s) =>
        onWord(
          s,
          letter,
          () => true,
          (v) => v * 10,
          '× 10',
        ),
    },
  ]),
  ...(
    [
      ['23c', 'point removed', (t: string) => t.replace('.', '')],
      ['23d', 'decimal comma', (t: string) => t.replace('.', ',')],
      ['24a', 'two digits exchanged', (t: string) => t.replace(/(\d)(\d)(?=\D|$)/, '$2$1')],
      ['24b', 'a digit lost', (t: string) => t.replace(/\d(?=[^\d]|$)/, '')],
      ['24c', 'a digit doubled', (t: string) => t.replace(/(\d)(?=[^\d]|$)/, '$1$1')],
      ['24d', 'the first digit lost', (t: string) => t.replace(/\d/, '')],
      ['26a', 'negative zero', () => '-0.000'],
      ['26b', 'exponent', () => '1e-7'],
      ['26c', 'NaN', () => 'NaN'],
      ['26d', 'undefined', () => 'undefined'],
      ['26e', 'Infinity', () => 'Infinity'],
      ['26f', 'no number', () => ''],
    ] as const
  ).map(
    ([id, title, change]): Operator => ({
      id,
      title,
      expected: [...SHAPE],
      make: (s) =>
        eachLine(s, (line, f, k) =>
          f.moves
            ? line.words
                .filter((w) => 'XYZIJR'.includes(w.letter))
                .flatMap((w): Mutant[] => {
                  const text = change(w.text);
                  return text === w.text
                    ? []
                    : [
                        {
                          lines: replaced(s, k, withNumber(line, w, text)),
                          line: k + 1,
                          what: `${w.letter}${w.text} becomes ${w.letter}${text} in \`${line.text}\``,
                        },
                      ];
                })
            : null,
        ),
    }),
  ),
  {
    id: '25a',
    title: 'one decimal only',
    expected: SHAPE,
    make: (s) =>
      s.program.controller.numbers.point === 'never'
        ? []
        : whole(
            s,
            s.program.lines.map((line) => {
              if (line.comment || has(line.words, 'G', 4)) return line.text;
              let text = line.text;
              for (const w of [...line.words].reverse()) {
                if ('XYZIJ'.includes(w.letter))
                  text = text.slice(0, w.at) + w.letter + Number(w.text).toFixed(1) + text.slice(w.end);
              }
              return text;
            }),
            'all lengths to one decimal',
          ),
  },
  {
    id: '25b',
    title: 'cut off instead of rounded to one decimal less',
    expected: SHAPE,
    make: (s) =>
      whole(
        s,
        mapWords(s, 'XYIJ', (v) => cutOff(v, s)),
        'lengths cut off',
      ),
  },
  ...(
    [
      ['32a', 0.5],
      ['32b', 2],
      ['32c', -1],
    ] as const
  ).map(
    ([id, factor]): Operator => ({
      id,
      title: `path about a site × ${factor}`,
      expected: SHAPE,
      make: (s) =>
        s.program.controller.distance === 'incremental'
          ? []
          : sections(s).flatMap((group) => {
              const set = new Set(group);
              const own = group.filter((k) => cutLine(s, k));
              if (own.length < 2) return [];
              const xs = own.map((k) => s.facts[k]!.after.x);
              const middle = (Math.min(...xs) + Math.max(...xs)) / 2;
              return whole(
                s,
                mapWords(
                  s,
                  'XI',
                  (v, letter) => (letter === 'X' ? middle + (v - middle) * factor : v * factor),
                  (k) => set.has(k),
                ),
                `path about X ${middle} × ${factor}`,
              );
            }),
    }),
  ),
  {
    id: '34a',
    title: 'ramp becomes a plunge',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const z = has(line.words, 'Z');
        const across = has(line.words, 'X') ?? has(line.words, 'Y');
        if (!z || !across || f.motion !== 1 || !cutLine(s, k)) return null;
        return {
          lines: replaced(s, k, without(line, across), line.text.replace(/Z\s*[-+]?[\d.]+ ?/, '').trimEnd()),
          line: k + 1,
          what: `straight down instead of \`${line.text}\``,
        };
      }),
  },
  {
    id: '34b',
    title: 'ramp three times as steep',
    expected: SHAPE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const across = has(line.words, 'X') ?? has(line.words, 'Y');
        if (!has(line.words, 'Z') || !across || ![1, 2, 3].includes(f.motion) || !cutLine(s, k)) return null;
        if (f.motion !== 1) {
          const z = has(line.words, 'Z')!;
          const value = f.before.z + (f.after.z - f.before.z) * 3;
          return {
            lines: replaced(s, k, withValue(line, z, value, s.program.controller)),
            line: k + 1,
            what: `steeper helix in \`${line.text}\``,
          };
        }
        const key = across.letter === 'X' ? 'x' : 'y';
        const value = f.before[key] + (f.after[key] - f.before[key]) / 3;
        return {
          lines: replaced(s, k, withValue(line, across, value, s.program.controller)),
          line: k + 1,
          what: `steeper ramp in \`${line.text}\``,
        };
      }),
  },
  {
    id: '35a',
    title: 'every second pass or turn left out',
    expected: SHAPE,
    make: (s) => {
      const levels = levelsOf(s);
      if (levels.length < 2) return [];
      const drop = new Set(levels.filter((_z, n) => n % 2 === 0 && n < levels.length - 1));
      return withoutLevels(s, drop, 'every second level');
    },
  },
  {
    id: '35b',
    title: 'the last pass left out',
    expected: SHAPE,
    make: (s) => {
      const levels = levelsOf(s);
      return levels.length < 2 ? [] : withoutLevels(s, new Set([levels[levels.length - 1]!]), 'last level');
    },
  },
  {
    id: '36',
    title: 'the skin of a refit cut through',
    expected: SHAPE,
    make: (s) => {
      if (s.form !== 'refit') return [];
      return onWord(
        s,
        'Z',
        (k) => cutLine(s, k) || s.facts[k]!.motion > 80,
        (v) => v - sign(s) * (s.record.house.stack.refitSkin + 0.5) * s.mm,
        'through the skin',
      );
    },
  },
  ...(['x', 'y'] as const).map(
    (axis): Operator => ({
      id: `37${axis}`,
      title: `one ${axis.toUpperCase()} 0.1 mm beyond the travel`,
      expected: SHAPE,
      make: (s) =>
        s.program.controller.distance === 'absolute'
          ? onWord(
              s,
              axis.toUpperCase(),
              () => true,
              () => (s.record.machine.travel[axis][1] + 0.1) * s.mm,
              'beyond travel',
            )
          : [],
    }),
  ),
  {
    id: '38a',
    title: 'a low rapid through the board',
    expected: SHAPE,
    make: (s) => {
      if (s.program.controller.distance !== 'absolute') return [];
      const gap = s.program.controller.spacing === 'space' ? ' ' : '';
      const { at, size } = s.record.machine.board;
      const x = numberText('X', (at[0] + size[0] / 2) * s.mm, s.program.controller);
      const z = numberText('Z', s.top - sign(s) * 1 * s.mm, s.program.controller);
      const z2 = numberText('Z', s.clear, s.program.controller);
      return sections(s)
        .slice(1)
        .map((group) => ({
          lines: inserted(s, group[0]!, `G0${gap}Z${z}`, `G0${gap}X${x}`, `G0${gap}Z${z2}`),
          line: group[0]! + 1,
          what: `low rapid before \`${s.program.lines[group[0]!]!.text}\``,
        }));
    },
  },
  {
    id: '38b',
    title: 'park at a low height',
    expected: SHAPE,
    make: (s) => {
      const last = s.facts.findLastIndex(
        (f, k) => f.moves && has(s.program.lines[k]!.words, 'Z') !== undefined,
      );
      if (last < 0) return [];
      const line = s.program.lines[last]!;
      return [
        {
          lines: replaced(s, last, withValue(line, has(line.words, 'Z')!, s.top, s.program.controller)),
          line: last + 1,
          what: `last height lowered in \`${line.text}\``,
        },
      ];
    },
  },
];

function cutOff(v: number, s: Subject): number {
  const scale = 10 ** (s.program.controller.numbers.xyz.decimals - 1);
  return Math.trunc(v * scale) / scale;
}

/** Heights at which the cutter cuts across, highest first. */
function levelsOf(s: Subject): number[] {
  const levels = new Set<number>();
  s.facts.forEach((f, k) => {
    if (cutLine(s, k) && (has(s.program.lines[k]!.words, 'X') || has(s.program.lines[k]!.words, 'Y')))
      levels.add(f.after.z);
  });
  return [...levels].sort((a, b) => sign(s) * (b - a));
}

/** The program without the cuts across at some heights. */
function withoutLevels(s: Subject, drop: ReadonlySet<number>, what: string): Mutant[] {
  const lines = linesOf(s).filter((_t, k) => {
    const f = s.facts[k]!;
    const across = has(s.program.lines[k]!.words, 'X') ?? has(s.program.lines[k]!.words, 'Y');
    return !(cutLine(s, k) && across && drop.has(f.after.z) && f.before.z === f.after.z);
  });
  return lines.length === s.program.lines.length ? [] : [{ lines, line: 1, what }];
}
