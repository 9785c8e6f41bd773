import { has } from '../line-facts.ts';
import {
  eachLine,
  inserted,
  linesOf,
  type Mutant,
  type Operator,
  replaced,
  type Subject,
} from '../operator.ts';
import { isEmptyBlock, numberText, withNumber, without, withValue, wordValue } from '../program-text.ts';

const SPINDLE = [
  'tool/',
  'program/spindle',
  'program/spin-up',
  'program/feed',
  'text/',
  'grammar/',
  'state/',
  'sequence/',
];
const STATE = ['tool/', 'output/', 'state/', 'grammar/', 'sequence/', 'program/', 'documents/', 'work/'];

/** Drops a word; the block goes too when nothing is left of it. */
function dropWord(s: Subject, index: number, letter: string, value?: number): Mutant | null {
  const line = s.program.lines[index]!;
  const word = has(line.words, letter, value);
  if (!word) return null;
  const text = without(line, word);
  return {
    lines: isEmptyBlock(text) ? replaced(s, index) : replaced(s, index, text),
    line: index + 1,
    what: `drop ${letter}${word.text} from \`${line.text}\``,
  };
}

function changeWord(s: Subject, letter: string, value: number, to: string): Mutant[] {
  return eachLine(s, (line, _f, k) => {
    const word = has(line.words, letter, value);
    return word
      ? {
          lines: replaced(s, k, withNumber(line, word, to)),
          line: k + 1,
          what: `${letter}${word.text} becomes ${letter}${to} in \`${line.text}\``,
        }
      : null;
  });
}

function dropAll(s: Subject, letter: string, value?: number): Mutant[] {
  return eachLine(s, (_l, _f, k) => dropWord(s, k, letter, value));
}

function scaleWord(s: Subject, letter: string, factor: number, only?: (k: number) => boolean): Mutant[] {
  return eachLine(s, (line, _f, k) => {
    if (only && !only(k)) return null;
    const word = has(line.words, letter);
    if (!word || line.comment) return null;
    const value = wordValue(word, s.program.controller) * factor;
    return {
      lines: replaced(s, k, withValue(line, word, value, s.program.controller)),
      line: k + 1,
      what: `${letter}${word.text} × ${factor} in \`${line.text}\``,
    };
  });
}

const isDwell = (s: Subject, k: number): boolean => has(s.program.lines[k]!.words, 'G', 4) !== undefined;
const dwellWords = ['P', 'X', 'F', 'S', 'U'];

function scaleDwell(s: Subject, factor: number): Mutant[] {
  return dwellWords.flatMap((letter) => scaleWord(s, letter, factor, (k) => isDwell(s, k)));
}

/** Units and distance words as this controller has them. */
const unitWords = (s: Subject): [string, string] | null => {
  const { unitsWord, units } = s.program.controller;
  if (unitsWord === 'none') return null;
  const pair: [string, string] = unitsWord === 'G20/G21' ? ['20', '21'] : ['70', '71'];
  return units === 'in' ? pair : [pair[1], pair[0]];
};

/** First index of a feed motion below the top, or −1. */
function firstCut(s: Subject): number {
  return s.facts.findIndex((f) => f.moves && f.motion >= 1 && Math.min(f.before.z, f.after.z) < s.top);
}

const cuts = (s: Subject): number[] =>
  s.facts.flatMap((f, k) => (f.moves && f.motion >= 1 && f.motion <= 3 && f.after.z < s.top ? [k] : []));

export const STATE_OPERATORS: readonly Operator[] = [
  { id: '1a', title: 'drop M3', expected: SPINDLE, make: (s) => dropAll(s, 'M', 3) },
  { id: '1b', title: 'M3 becomes M4', expected: SPINDLE, make: (s) => changeWord(s, 'M', 3, '4') },
  {
    id: '1c',
    title: 'S becomes 0',
    expected: SPINDLE,
    make: (s) => scaleWord(s, 'S', 0, (k) => !isDwell(s, k)),
  },
  {
    id: '1d',
    title: 'S × 10',
    expected: SPINDLE,
    make: (s) => scaleWord(s, 'S', 10, (k) => !isDwell(s, k)),
  },
  {
    id: '1e',
    title: 'drop S',
    expected: SPINDLE,
    make: (s) => eachLine(s, (_l, _f, k) => (isDwell(s, k) ? null : dropWord(s, k, 'S'))),
  },
  {
    id: '2a',
    title: 'drop the spin-up dwell',
    expected: SPINDLE,
    make: (s) =>
      eachLine(s, (line, _f, k) =>
        isDwell(s, k) ? { lines: replaced(s, k), line: k + 1, what: `drop \`${line.text}\`` } : null,
      ),
  },
  {
    id: '2b',
    title: 'dwell × 1000',
    expected: ['program/dwell', 'grammar/', 'documents/'],
    make: (s) => scaleDwell(s, 1000),
  },
  { id: '2c', title: 'dwell ÷ 1000', expected: SPINDLE, make: (s) => scaleDwell(s, 0.001) },
  { id: '3a', title: 'drop M5', expected: SPINDLE, make: (s) => dropAll(s, 'M', 5) },
  {
    id: '4a',
    title: 'insert M5 before a cut',
    expected: SPINDLE,
    make: (s) =>
      cuts(s).map((k) => ({
        lines: inserted(s, k, 'M5'),
        line: k + 1,
        what: `M5 before \`${s.program.lines[k]!.text}\``,
      })),
  },
  {
    id: '4b',
    title: 'M5 on a motion block',
    expected: SPINDLE,
    make: (s) =>
      cuts(s).map((k) => ({
        lines: replaced(
          s,
          k,
          `${s.program.lines[k]!.text}${s.program.controller.spacing === 'space' ? ' ' : ''}M5`,
        ),
        line: k + 1,
        what: `M5 on \`${s.program.lines[k]!.text}\``,
      })),
  },
  {
    id: '5a',
    title: 'drop F',
    expected: [
      'program/feed',
      'state/feed',
      'program/plunge',
      'documents/',
      'work/',
      'sequence/',
      'program/power',
      'grammar/',
    ],
    make: (s) => eachLine(s, (_l, _f, k) => (isDwell(s, k) ? null : dropWord(s, k, 'F'))),
  },
  {
    id: '5b',
    title: 'F before the units, none after',
    expected: STATE,
    make: (s) => {
      const first = s.program.lines.findIndex((l, k) => !isDwell(s, k) && has(l.words, 'F'));
      const units = s.program.lines.findIndex((l) => !l.comment && l.words.length > 0);
      if (first < 0 || units < 0 || unitWords(s) === null) return [];
      const line = s.program.lines[first]!;
      const word = has(line.words, 'F')!;
      const lines = linesOf(s);
      lines[first] = without(line, word);
      lines.splice(units, 0, `F${word.text}`);
      return [{ lines, line: units + 1, what: `F${word.text} stands before the units word` }];
    },
  },
  ...(
    [
      ['5c', 10],
      ['5d', 0.1],
      ['5e', 0],
      ['5f', -1],
    ] as const
  ).map(
    ([id, factor]): Operator => ({
      id,
      title: `F × ${factor}`,
      expected: [
        'program/feed',
        'program/plunge',
        'state/feed',
        'grammar/',
        'documents/',
        'program/power',
        'work/',
      ],
      make: (s) => scaleWord(s, 'F', factor, (k) => !isDwell(s, k)),
    }),
  ),
  {
    id: '6',
    title: 'plunge feed becomes cutting feed',
    expected: ['program/plunge-feed', 'program/feed', 'work/', 'documents/'],
    make: (s) => {
      const most = Math.max(...s.facts.map((f) => (Number.isNaN(f.feed) ? 0 : f.feed)));
      return eachLine(s, (line, f, k) => {
        const word = has(line.words, 'F');
        const down =
          f.moves && f.motion >= 1 && has(line.words, 'Z') && !has(line.words, 'X') && !has(line.words, 'Y');
        if (!word || !(down || f.motion > 3) || f.feed >= most) return null;
        return {
          lines: replaced(s, k, withValue(line, word, most, s.program.controller)),
          line: k + 1,
          what: `plunge in \`${line.text}\` at F${numberText('F', most, s.program.controller)}`,
        };
      });
    },
  },
  {
    id: '7a',
    title: 'the other units word',
    expected: STATE,
    make: (s) => {
      const pair = unitWords(s);
      return pair ? changeWord(s, 'G', Number(pair[0]), pair[1]) : [];
    },
  },
  {
    id: '7b',
    title: 'drop the units word',
    expected: STATE,
    make: (s) => {
      const pair = unitWords(s);
      return pair ? dropAll(s, 'G', Number(pair[0])) : [];
    },
  },
  {
    id: '7c',
    title: 'units change in the middle',
    expected: STATE,
    make: (s) => {
      const pair = unitWords(s);
      const at = cuts(s);
      if (!pair || at.length === 0) return [];
      return [at[0]!, at[at.length >> 1]!, at[at.length - 1]!].map((k) => ({
        lines: inserted(s, k, `G${pair[1]}`),
        line: k + 1,
        what: `G${pair[1]} before \`${s.program.lines[k]!.text}\``,
      }));
    },
  },
  {
    id: '7d',
    title: 'the units word of another standard',
    expected: STATE,
    make: (s) => {
      const pair = unitWords(s);
      if (!pair) return [];
      const foreign = ({ 20: '70', 21: '71', 70: '20', 71: '21' } as Record<string, string>)[pair[0]]!;
      return changeWord(s, 'G', Number(pair[0]), foreign);
    },
  },
  {
    id: '8a',
    title: 'G90 becomes G91, or the reverse',
    expected: STATE,
    make: (s) => [...changeWord(s, 'G', 90, '91'), ...changeWord(s, 'G', 91, '90')],
  },
  {
    id: '8b',
    title: 'drop the distance word',
    expected: STATE,
    make: (s) => [...dropAll(s, 'G', 90), ...dropAll(s, 'G', 91)],
  },
  {
    id: '8c',
    title: 'one block in the other distance mode',
    expected: STATE,
    make: (s) => {
      const own = s.program.controller.distance === 'absolute' ? ['G91', 'G90'] : ['G90', 'G91'];
      return eachLine(s, (line, f, k) =>
        f.moves && f.motion <= 3
          ? {
              lines: replaced(s, k, own[0]!, line.text, own[1]!),
              line: k + 1,
              what: `${own[0]} around \`${line.text}\``,
            }
          : null,
      );
    },
  },
  { id: '9a', title: 'G17 becomes G18', expected: STATE, make: (s) => changeWord(s, 'G', 17, '18') },
  { id: '9b', title: 'drop G17', expected: STATE, make: (s) => dropAll(s, 'G', 17) },
  {
    id: '10a',
    title: 'G54 becomes G55',
    expected: STATE,
    make: (s) => [...changeWord(s, 'G', 54, '55'), ...changeWord(s, 'G', 55, '54')],
  },
  {
    id: '10b',
    title: 'drop the work offset',
    expected: STATE,
    make: (s) => [...dropAll(s, 'G', 54), ...dropAll(s, 'G', 55)],
  },
  {
    id: '10c',
    title: 'insert G92 X0',
    expected: STATE,
    make: (s) => {
      const at = firstCut(s);
      return (at < 0 ? [] : [at]).map((k) => ({
        lines: inserted(
          s,
          k,
          `G92${s.program.controller.spacing === 'space' ? ' ' : ''}X${numberText('X', 0, s.program.controller)}`,
        ),
        line: k + 1,
        what: `G92 X0 before \`${s.program.lines[k]!.text}\``,
      }));
    },
  },
  { id: '11a', title: 'drop G80', expected: STATE, make: (s) => dropAll(s, 'G', 80) },
  {
    id: '11b',
    title: 'G80 with axis words',
    expected: STATE,
    make: (s) =>
      eachLine(s, (line, _f, k) =>
        has(line.words, 'G', 80) && !has(line.words, 'X')
          ? {
              lines: replaced(
                s,
                k,
                `${line.text}${s.program.controller.spacing === 'space' ? ' ' : ''}X${numberText('X', 1, s.program.controller)}`,
              ),
              line: k + 1,
              what: `X1 on \`${line.text}\``,
            }
          : null,
      ),
  },
  ...(['82', '83', '73', '81'] as const).map(
    (to): Operator => ({
      id: `11c${to}`,
      title: `cycle word becomes G${to}`,
      expected: STATE,
      make: (s) =>
        eachLine(s, (line, _f, k) => {
          const word = line.words.find((w) => w.letter === 'G' && [81, 82, 83].includes(Number(w.text)));
          return word && Number(word.text) !== Number(to)
            ? {
                lines: replaced(s, k, withNumber(line, word, to)),
                line: k + 1,
                what: `G${to} in \`${line.text}\``,
              }
            : null;
        }),
    }),
  ),
  { id: '12a', title: 'G98 becomes G99', expected: STATE, make: (s) => changeWord(s, 'G', 98, '99') },
  ...(['below the top', 'above the start'] as const).map(
    (where, n): Operator => ({
      id: n === 0 ? '12b' : '12c',
      title: `cycle R ${where}`,
      expected: STATE,
      make: (s) =>
        eachLine(s, (line, f, k) => {
          const word = has(line.words, 'R');
          if (!word || f.motion < 80) return null;
          const value = n === 0 ? s.top - 3 * s.mm : s.clear + 20 * s.mm;
          return {
            lines: replaced(s, k, withValue(line, word, value, s.program.controller)),
            line: k + 1,
            what: `R ${where} in \`${line.text}\``,
          };
        }),
    }),
  ),
  {
    id: '12d',
    title: 'drop cycle R',
    expected: STATE,
    make: (s) => eachLine(s, (_l, f, k) => (f.motion > 80 ? dropWord(s, k, 'R') : null)),
  },
  {
    id: '12e',
    title: 'drop cycle Q',
    expected: STATE,
    make: (s) => eachLine(s, (_l, f, k) => (f.motion > 80 ? dropWord(s, k, 'Q') : null)),
  },
  {
    id: '12f',
    title: 'cycle Q becomes 0',
    expected: STATE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const word = has(line.words, 'Q');
        return word && f.motion > 80
          ? {
              lines: replaced(s, k, withValue(line, word, 0, s.program.controller)),
              line: k + 1,
              what: `Q0 in \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '44',
    title: 'drop an operator stop',
    expected: ['work/visit', 'documents/', 'program/'],
    make: (s) => [...dropAll(s, 'M', 0), ...dropAll(s, 'M', 1)],
  },
  {
    id: '45',
    title: 'drop a motion word where it changes the mode',
    expected: STATE,
    make: (s) =>
      eachLine(s, (line, f, k) => {
        const before = s.facts[k - 1]?.motion ?? -1;
        const word = line.words.find((w) => w.letter === 'G' && Number(w.text) === f.motion && f.motion <= 3);
        return word && before !== f.motion && f.moves
          ? {
              lines: replaced(s, k, without(line, word)),
              line: k + 1,
              what: `drop G${word.text} from \`${line.text}\``,
            }
          : null;
      }),
  },
  {
    id: '49a',
    title: 'drop the whole safe start',
    expected: STATE,
    make: (s) => {
      const first = s.program.lines.findIndex((l) => !l.comment && l.words.some((w) => w.letter === 'G'));
      const out: Mutant[] = [];
      for (let k = first; k >= 0 && k < s.program.lines.length; k++) {
        const line = s.program.lines[k]!;
        if (line.comment || s.facts[k]!.moves || !line.words.some((w) => w.letter === 'G')) break;
        out.push({ lines: replaced(s, k), line: k + 1, what: `drop \`${line.text}\`` });
      }
      return out;
    },
  },
  {
    id: '49b',
    title: 'state left by another program stands before the first motion',
    expected: STATE,
    make: (s) => {
      const first = s.facts.findIndex((f) => f.moves);
      const { controller } = s.program;
      const leaks = [
        controller.distance === 'absolute' ? 'G91' : 'G90',
        ...(controller.unitsWord === 'none' ? [] : [`G${unitWords(s)![1]}`]),
        ...(controller.plane === 'G17' ? ['G18'] : []),
        ...(controller.toolLength === 'G43' || controller.dialect === 'rs274ngc' ? ['G43 H1'] : []),
        ...(controller.cycles.return === 'G98/G99' ? ['G99'] : []),
      ];
      return first < 0
        ? []
        : leaks.map((word) => ({
            lines: inserted(s, first, word),
            line: first + 1,
            what: `${word} left in force`,
          }));
    },
  },
];
