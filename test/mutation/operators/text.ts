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
import { textOf } from '../program-text.ts';

const ANY = [
  'tool/',
  'output/',
  'text/',
  'grammar/',
  'state/',
  'program/',
  'work/',
  'documents/',
  'sequence/',
  'interlock/',
];

const blocks = (s: Subject): number[] =>
  s.program.lines.flatMap((l, k) => (!l.comment && l.words.length > 0 ? [k] : []));
const gap = (s: Subject): string => (s.program.controller.spacing === 'space' ? ' ' : '');

function endLine(s: Subject): number {
  return s.program.lines.findLastIndex((l) => has(l.words, 'M', 2) ?? has(l.words, 'M', 30));
}

function footerLine(s: Subject): string | null {
  return s.program.lines.find((l) => /LINES.*SHA/.test(l.text))?.text ?? null;
}

/** Cut off after a share of the lines, and made to look whole again. */
function truncated(s: Subject, share: number, closed: boolean): Mutant[] {
  const n = Math.max(2, Math.floor(s.program.lines.length * share));
  const lines = linesOf(s).slice(0, n);
  const footer = footerLine(s);
  const end = endLine(s);
  if (closed) {
    if (footer) lines.push(footer);
    if (end >= 0) lines.push(...linesOf(s).slice(end));
  }
  return [{ lines, line: n, what: `cut off after line ${n}${closed ? ', with footer and end word' : ''}` }];
}

function headerChange(s: Subject, key: RegExp, change: (text: string) => string, what: string): Mutant[] {
  return eachLine(s, (line, _f, k) => {
    if (!line.comment || !key.test(line.text)) return null;
    const text = change(line.text);
    return text === line.text
      ? null
      : { lines: replaced(s, k, text), line: k + 1, what: `${what}: \`${text}\`` };
  }).slice(0, 1);
}

export const TEXT_OPERATORS: readonly Operator[] = [
  {
    id: '27a',
    title: 'a block twice',
    expected: ANY,
    make: (s) =>
      blocks(s).map((k) => ({
        lines: inserted(s, k, s.program.lines[k]!.text),
        line: k + 1,
        what: `\`${s.program.lines[k]!.text}\` twice`,
      })),
  },
  {
    id: '27b',
    title: 'two neighbouring blocks exchanged',
    expected: ANY,
    make: (s) =>
      blocks(s).flatMap((k) => {
        const a = s.program.lines[k]!;
        const b = s.program.lines[k + 1];
        if (!b || b.comment || b.words.length === 0 || a.text === b.text) return [];
        return [
          {
            lines: replacedPair(k, b.text, a.text),
            line: k + 1,
            what: `\`${a.text}\` and \`${b.text}\` exchanged`,
          },
        ];
      }),
  },
  {
    id: '27c',
    title: 'a block deleted',
    expected: ANY,
    make: (s) =>
      blocks(s).map((k) => ({
        lines: replaced(s, k),
        line: k + 1,
        what: `\`${s.program.lines[k]!.text}\` deleted`,
      })),
  },
  {
    id: '27d',
    title: 'a whole section twice',
    expected: ANY,
    make: (s) => {
      const out: Mutant[] = [];
      const starts = s.program.lines.flatMap((l, k) =>
        l.comment && k > 0 && s.facts[k]!.started ? [k] : [],
      );
      for (let n = 0; n + 1 < starts.length; n++) {
        const part = linesOf(s).slice(starts[n]!, starts[n + 1]!);
        if (part.length > 1)
          out.push({
            lines: inserted(s, starts[n + 1]!, ...part),
            line: starts[n + 1]! + 1,
            what: `section \`${part[0]}\` twice`,
          });
      }
      return out;
    },
  },
  {
    id: '27e',
    title: 'a whole section left out',
    expected: ANY,
    make: (s) => {
      const out: Mutant[] = [];
      const starts = s.program.lines.flatMap((l, k) =>
        l.comment && k > 0 && s.facts[k]!.started ? [k] : [],
      );
      for (let n = 0; n + 1 < starts.length; n++) {
        const part = linesOf(s).slice(starts[n]!, starts[n + 1]!);
        const lines = { at: starts[n]!, remove: part.length, insert: [] };
        if (part.length > 1)
          out.push({ lines, line: starts[n]! + 1, what: `section \`${part[0]}\` left out` });
      }
      return out;
    },
  },
  ...([0.25, 0.5, 0.9] as const).flatMap((share, n): Operator[] => [
    {
      id: `28${'abc'[n]}`,
      title: `cut off at ${share * 100} %`,
      expected: ANY,
      make: (s) => truncated(s, share, false),
    },
    {
      id: `28${'def'[n]}`,
      title: `cut off at ${share * 100} %, closed again`,
      expected: ANY,
      make: (s) => truncated(s, share, true),
    },
  ]),
  {
    id: '28g',
    title: 'cut off in the middle of a line',
    expected: ANY,
    make: (s) => {
      const text = textOf(linesOf(s), s.program.eol);
      return [0.3, 0.6, 0.95].map((share) => ({
        raw: text.slice(0, Math.floor(text.length * share)),
        line: Math.floor(s.program.lines.length * share),
        what: `cut off after ${share * 100} % of the bytes`,
      }));
    },
  },
  {
    id: '28h',
    title: 'the last line lost',
    expected: ANY,
    make: (s) => {
      const lines = linesOf(s);
      while (lines.length > 0 && lines[lines.length - 1] === '') lines.pop();
      return [{ lines: lines.slice(0, -1), line: lines.length, what: `\`${lines[lines.length - 1]}\` lost` }];
    },
  },
  {
    id: '28i',
    title: 'no line end after the last line',
    expected: ANY,
    make: (s) => [
      {
        raw: textOf(linesOf(s), s.program.eol).slice(0, -s.program.eol.length),
        line: s.program.lines.length,
        what: 'last line end lost',
      },
    ],
  },
  {
    id: '29a',
    title: 'text after the end',
    expected: ANY,
    make: (s) => [
      {
        lines: [...linesOf(s), `G0${gap(s)}X1`],
        line: s.program.lines.length + 1,
        what: 'a block after the end word',
      },
    ],
  },
  {
    id: '29b',
    title: 'two programs in one file',
    expected: ANY,
    make: (s) =>
      s.other === ''
        ? []
        : [
            {
              raw: textOf(linesOf(s), s.program.eol) + s.other,
              line: s.program.lines.length + 1,
              what: 'another program appended',
            },
          ],
  },
  {
    id: '30a',
    title: 'another cutter diameter in the header',
    expected: ANY,
    make: (s) =>
      headerChange(
        s,
        /CUTTER/,
        (t) => t.replace(/D(\d)/, (_m, d: string) => `D${(Number(d) + 1) % 10}`),
        'diameter',
      ),
  },
  {
    id: '30b',
    title: 'another tool number in the header',
    expected: ANY,
    make: (s) =>
      headerChange(s, /CUTTER/, (t) => t.replace(/T(\d+)/, (_m, d: string) => `T${Number(d) + 1}`), 'tool'),
  },
  {
    id: '30c',
    title: 'another tool word',
    expected: ANY,
    make: (s) =>
      eachLine(s, (line, _f, k) => {
        const t = has(line.words, 'T');
        return t && !line.comment
          ? {
              lines: replaced(
                s,
                k,
                `${line.text.slice(0, t.at)}T${Number(t.text) + 1}${line.text.slice(t.end)}`,
              ),
              line: k + 1,
              what: `T in \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '30d',
    title: 'drop M6',
    expected: ANY,
    make: (s) =>
      eachLine(s, (line, _f, k) =>
        has(line.words, 'M', 6)
          ? { lines: replaced(s, k), line: k + 1, what: `drop \`${line.text}\`` }
          : null,
      ),
  },
  {
    id: '31a',
    title: 'another cutter named in the header',
    expected: ANY,
    make: (s) => {
      const others = [...s.record.cutters.keys()].filter(
        (id) => !s.program.lines.some((l) => l.text.includes(id.toUpperCase())),
      );
      const id = others[0];
      return id === undefined
        ? []
        : headerChange(
            s,
            /CUTTER/,
            (t) => t.replace(/(CUTTER(?:: | = ))\S+/, `$1${id.toUpperCase()}`),
            'cutter',
          );
    },
  },
  ...(
    [
      ['39a', 'two motion words', (t: string, g: string) => t.replace(/^(N\d+\s?)?/, `$1G1${g}G0${g}`)],
      ['39b', 'a letter twice', (t: string, g: string) => `${t}${g}${/[XYZ][-+\d.]+/.exec(t)?.[0] ?? 'X1'}`],
      ['39c', 'five M words', (t: string, g: string) => `${t}${g}M3${g}M8${g}M48${g}M0${g}M6`],
      ['39d', 'an unknown G word', (t: string, g: string) => `${t}${g}G77`],
      ['39e', 'an unknown M word', (t: string, g: string) => `${t}${g}M77`],
      ['39f', 'letter O for zero', (t: string) => t.replace(/(?<=[XYZ][-+]?\d*)0/, 'O')],
      ['39g', 'letter l for one', (t: string) => t.replace(/(?<=[XYZ][-+]?\d*)1/, 'l')],
      [
        '39h',
        'words in another order',
        (t: string, g: string) => {
          const words = t.match(/[A-Z][-+]?[\d.]*/g) ?? [];
          return words.length < 2 ? t : words.reverse().join(g);
        },
      ],
      ['40a', 'lower case', (t: string) => t.toLowerCase()],
      ['40b', 'a tab', (t: string) => `\t${t}`],
      ['40e', 'an umlaut', (t: string) => `${t}(ä)`],
      ['40f', 'a non-breaking space', (t: string) => `${t}\u00a0`],
      ['40g', 'a very long line', (t: string) => `${t}${' '.repeat(300)}`],
    ] as const
  ).map(
    ([id, title, change]): Operator => ({
      id,
      title,
      expected: ANY,
      make: (s) =>
        blocks(s).flatMap((k) => {
          const text = s.program.lines[k]!.text;
          const by = change(text, gap(s));
          return by === text
            ? []
            : [
                {
                  lines: replaced(s, k, by),
                  line: k + 1,
                  what: `\`${text}\` becomes \`${by.slice(0, 60)}\``,
                },
              ];
        }),
    }),
  ),
  {
    id: '40c',
    title: 'carriage returns only',
    expected: ANY,
    make: (s) =>
      s.program.eol === '\r'
        ? []
        : [{ raw: textOf(linesOf(s), '\r'), line: 1, what: 'all line ends are CR' }],
  },
  {
    id: '40d',
    title: 'byte order mark',
    expected: ANY,
    make: (s) => [{ raw: `\ufeff${textOf(linesOf(s), s.program.eol)}`, line: 1, what: 'byte order mark' }],
  },
  {
    id: '41a',
    title: 'a comment left open',
    expected: ANY,
    make: (s) =>
      eachLine(s, (line, _f, k) =>
        line.comment && line.text.endsWith(')')
          ? { lines: replaced(s, k, line.text.slice(0, -1)), line: k + 1, what: `\`${line.text}\` left open` }
          : null,
      ),
  },
  {
    id: '41b',
    title: 'a comment in a comment',
    expected: ANY,
    make: (s) =>
      eachLine(s, (line, _f, k) =>
        line.comment && line.text.endsWith(')')
          ? {
              lines: replaced(s, k, `${line.text.slice(0, -1)} (X))`),
              line: k + 1,
              what: `comment nested in \`${line.text}\``,
            }
          : null,
      ),
  },
  {
    id: '41c',
    title: 'a retract swallowed by a comment',
    expected: ANY,
    make: (s) => {
      if (s.program.controller.comments === 'none') return [];
      const open = s.program.controller.comments === 'paren' ? '(RETRACT ' : '; ';
      const close = s.program.controller.comments === 'paren' ? ')' : '';
      return eachLine(s, (line, f, k) =>
        f.moves && f.motion === 0 && has(line.words, 'Z') && !line.comment
          ? {
              lines: replaced(s, k, `${open}${line.text}${close}`),
              line: k + 1,
              what: `\`${line.text}\` in a comment`,
            }
          : null,
      );
    },
  },
  {
    id: '42',
    title: 'block delete before a block',
    expected: ANY,
    make: (s) =>
      blocks(s).map((k) => ({
        lines: replaced(s, k, `/${s.program.lines[k]!.text}`),
        line: k + 1,
        what: `/ before \`${s.program.lines[k]!.text}\``,
      })),
  },
  ...(
    [
      ['43a', 'a line number twice', (n: string) => n, true],
      ['43b', 'a line number of six digits', () => '100000', false],
      ['43c', 'line numbers out of order', () => '1', false],
    ] as const
  ).map(
    ([id, title, change, twice]): Operator => ({
      id,
      title,
      expected: ANY,
      make: (s) =>
        eachLine(s, (line, _f, k) => {
          const n = has(line.words, 'N');
          const next = s.program.lines[k + 1];
          const after = next ? has(next.words, 'N') : undefined;
          if (!n || (twice && (!next || !after))) return null;
          if (twice && next && after) {
            return {
              lines: replaced(
                s,
                k + 1,
                `${next.text.slice(0, after.at)}N${n.text}${next.text.slice(after.end)}`,
              ),
              line: k + 2,
              what: `N${n.text} twice`,
              keepNumbers: true,
            };
          }
          return {
            lines: replaced(s, k, `${line.text.slice(0, n.at)}N${change(n.text)}${line.text.slice(n.end)}`),
            line: k + 1,
            what: `N${n.text} becomes N${change(n.text)}`,
            keepNumbers: true,
          };
        }),
    }),
  ),
  ...(
    [
      [
        '46a',
        /MACHINE/,
        (t: string) => t.replace(/((?:: | = ))\S+/, '$1OTHER'),
        'another machine in the header',
      ],
      [
        '46b',
        /KEY IN/,
        (t: string) => t.replace(/(\d)\./, (_m: string, d: string) => `${(Number(d) + 1) % 10}.`),
        'another thickness in the header',
      ],
      [
        '46c',
        /REVISION/,
        (t: string) => t.replace(/(\d)\./, (_m: string, d: string) => `${(Number(d) + 1) % 10}.`),
        'another revision in the header',
      ],
      [
        '46d',
        /PART/,
        (t: string) => t.replace(/OF (\d+)/, (_m: string, d: string) => `OF ${Number(d) + 1}`),
        'another part count in the header',
      ],
      [
        '46e',
        /Z ZERO/,
        (t: string) => (t.includes('BED') ? t.replace('BED', 'BOARD-TOP') : t.replace('BOARD-TOP', 'BED')),
        'another Z zero in the header',
      ],
      [
        '46f',
        /OPERATION/,
        (t: string) => t.replace(/((?:: | = ))\S+/, '$1TRIMMING'),
        'another operation in the header',
      ],
      [
        '46g',
        /EXTENTS Z/,
        (t: string) => t.replace(/(\d)\./, (_m: string, d: string) => `${(Number(d) + 1) % 10}.`),
        'another extent in the header',
      ],
      [
        '46h',
        /DEEPEST/,
        (t: string) => t.replace(/(\d)\./, (_m: string, d: string) => `${(Number(d) + 1) % 10}.`),
        'another depth in the header',
      ],
      [
        '46i',
        /UNITS/,
        (t: string) => (t.includes('MM') ? t.replace('MM', 'IN') : t.replace(/\bIN\b/, 'MM')),
        'other units in the header',
      ],
    ] as const
  ).map(
    ([id, key, change, title]): Operator => ({
      id,
      title,
      expected: ANY,
      make: (s) => headerChange(s, key, change, title),
    }),
  ),
  {
    id: '47',
    title: 'one digit changed, footer left as it was',
    expected: ANY,
    make: (s) =>
      eachLine(s, (line, f, k) =>
        f.moves && /\d/.test(line.text)
          ? {
              lines: replaced(
                s,
                k,
                line.text.replace(/\d(?=\D*$)/, (d) => String((Number(d) + 1) % 10)),
              ),
              line: k + 1,
              what: `last digit of \`${line.text}\``,
              keepFooter: true,
            }
          : null,
      ),
  },
  ...(
    [
      [
        '48a',
        'profile with a shorter travel',
        (s: Subject) => ({
          ...s.record.machine,
          travel: {
            ...s.record.machine.travel,
            z: [s.record.machine.travel.z[0], s.record.machine.clearHeight - 1] as const,
          },
        }),
      ],
      [
        '48b',
        'profile in the other units',
        (s: Subject) => ({
          ...s.record.machine,
          controller: {
            ...s.record.machine.controller,
            units: s.record.machine.controller.units === 'mm' ? ('in' as const) : ('mm' as const),
          },
        }),
      ],
      [
        '48c',
        'profile with a slower spindle',
        (s: Subject) => ({
          ...s.record.machine,
          spindle: { ...s.record.machine.spindle, rpm: [1000, 5000] as const },
        }),
      ],
      [
        '48d',
        'profile without cycles',
        (s: Subject) => ({
          ...s.record.machine,
          controller: {
            ...s.record.machine.controller,
            cycles: { use: 'none' as const, return: 'none' as const, cancel: false },
          },
        }),
      ],
      [
        '48e',
        'profile of a controller with short lines',
        (s: Subject) => ({
          ...s.record.machine,
          controller: { ...s.record.machine.controller, maxLineLength: 12 },
        }),
      ],
      [
        '48f',
        'profile with a higher clear height',
        (s: Subject) => ({ ...s.record.machine, clearHeight: s.record.machine.clearHeight + 10 }),
      ],
    ] as const
  ).map(
    ([id, title, change]): Operator => ({
      id,
      title,
      expected: ANY,
      make: (s) => {
        if (
          id === '48d' &&
          !s.program.lines.some((l) =>
            l.words.some((w) => w.letter === 'G' && [81, 82, 83].includes(Number(w.text))),
          )
        )
          return [];
        if (id === '48c' && !s.program.lines.some((l) => has(l.words, 'M', 3))) return [];
        return [{ lines: linesOf(s), line: 1, what: title, record: { ...s.record, machine: change(s) } }];
      },
    }),
  ),
];
