import { has } from '../line-facts.ts';
import {
  eachLine,
  inserted,
  type Mutant,
  type Operator,
  replaced,
  replacedPair,
  type Subject,
} from '../operator.ts';
import { numberText, withNumber, without, withValue, wordValue } from '../program-text.ts';

/** Rules that answer for the machine itself: cutter, length, offset, outputs, home. */
const MACHINE = [
  'tool/',
  'output/',
  'program/',
  'state/',
  'grammar/',
  'work/',
  'documents/',
  'sequence/',
  'interlock/',
];

const gap = (s: Subject): string => (s.program.controller.spacing === 'space' ? ' ' : '');
const written = (s: Subject, ...words: string[]): string => words.join(gap(s));
const changes = (s: Subject): boolean => s.program.controller.toolChange === 'automatic';
const lengths = (s: Subject): boolean => s.program.controller.toolLength === 'G43';

/** Lines with a word of this letter and, where it is given, this number. */
function onWords(
  s: Subject,
  letter: string,
  value: number | undefined,
  change: (k: number) => Pick<Mutant, 'lines'> & { readonly what: string },
): Mutant[] {
  return eachLine(s, (line, _f, k) =>
    !line.comment && has(line.words, letter, value) ? { ...change(k), line: k + 1 } : null,
  );
}

/** Feed motions that end below the top of what is machined. */
const cuts = (s: Subject): number[] =>
  s.facts.flatMap((f, k) => {
    const sign = s.program.controller.zSign;
    return f.moves && f.motion >= 1 && sign * f.after.z < sign * s.top ? [k] : [];
  });

/** A block put in before every cut. */
const beforeCuts = (s: Subject, block: string): Mutant[] =>
  cuts(s).map((k) => ({
    lines: inserted(s, k, block),
    line: k + 1,
    what: `${block} before \`${s.program.lines[k]!.text}\``,
  }));

function changedWord(s: Subject, letter: string, to: (value: number) => number): Mutant[] {
  return onWords(s, letter, undefined, (k) => {
    const line = s.program.lines[k]!;
    const word = has(line.words, letter)!;
    const text = withNumber(line, word, String(to(Number(word.text))));
    return { lines: replaced(s, k, text), what: `\`${line.text}\` becomes \`${text}\`` };
  });
}

function droppedWord(s: Subject, letter: string, value?: number): Mutant[] {
  return onWords(s, letter, value, (k) => {
    const line = s.program.lines[k]!;
    const text = without(line, has(line.words, letter, value)!);
    return { lines: replaced(s, k, text), what: `\`${line.text}\` becomes \`${text}\`` };
  });
}

function droppedLine(s: Subject, letter: string, value?: number): Mutant[] {
  return onWords(s, letter, value, (k) => ({
    lines: replaced(s, k),
    what: `drop \`${s.program.lines[k]!.text}\``,
  }));
}

/** The blocks of the outputs that the profile declares: on and off, in this controller's spacing. */
function outputBlocks(s: Subject): { readonly on: string; readonly off: string }[] {
  const block = (words: string): string => written(s, ...words.split(' '));
  return Object.values(s.program.controller.auxiliary).map(({ on, off }) => ({
    on: block(on),
    off: block(off),
  }));
}

/** Is the line this block, whatever its number? */
const isBlock = (text: string, block: string): boolean => text.replace(/^N\d+ ?/, '') === block;

function onOutputs(s: Subject, change: (k: number, other: string) => Mutant | null): Mutant[] {
  return outputBlocks(s).flatMap(({ on, off }) =>
    eachLine(s, (line, _f, k) => {
      if (isBlock(line.text, on)) return change(k, off);
      return isBlock(line.text, off) ? change(k, on) : null;
    }),
  );
}

const homeLines = (s: Subject): number[] =>
  s.program.lines.flatMap((line, k) => (has(line.words, 'G', 53) || has(line.words, 'G', 28) ? [k] : []));

function onHome(s: Subject, change: (k: number) => string[] | null): Mutant[] {
  return homeLines(s).flatMap((k) => {
    const lines = change(k);
    if (lines === null) return [];
    const what = `\`${s.program.lines[k]!.text}\` becomes \`${lines.join(' / ')}\``;
    return [{ lines: replaced(s, k, ...lines), line: k + 1, what }];
  });
}

const firstMove = (s: Subject): number => s.facts.findIndex((f) => f.moves);

function atStartAndCuts(s: Subject, block: string): Mutant[] {
  const first = firstMove(s);
  if (first < 0) return [];
  const what = `${block} before the first motion`;
  return [{ lines: inserted(s, first, block), line: first + 1, what }, ...beforeCuts(s, block)];
}

const operator = (id: string, title: string, make: Operator['make']): Operator => ({
  id,
  title,
  expected: MACHINE,
  make,
});

export const MACHINE_OPERATORS: readonly Operator[] = [
  operator('51a', 'T of another cutter', (s) => changedWord(s, 'T', (t) => t + 1)),
  operator('51b', 'T becomes T0', (s) => changedWord(s, 'T', () => 0)),
  operator('51c', 'drop T', (s) => droppedWord(s, 'T')),
  operator('51d', 'another cutter before a cut', (s) =>
    changes(s) ? beforeCuts(s, written(s, 'T3', 'M6')) : [],
  ),
  operator('51e', 'a T word where no cutter is changed', (s) => {
    const first = firstMove(s);
    if (changes(s) || first < 0) return [];
    return [{ lines: inserted(s, first, 'T3'), line: first + 1, what: 'T3 before the first motion' }];
  }),
  operator('52a', 'drop M6', (s) => droppedWord(s, 'M', 6)),
  operator('52b', 'M6 twice', (s) =>
    onWords(s, 'M', 6, (k) => {
      const { text } = s.program.lines[k]!;
      return { lines: replaced(s, k, text, text), what: `\`${text}\` twice` };
    }),
  ),
  operator('52c', 'M6 after the next block', (s) =>
    onWords(s, 'M', 6, (k) => {
      const { text } = s.program.lines[k]!;
      const next = s.program.lines[k + 1]?.text ?? '';
      return { lines: replacedPair(k, next, text), what: `\`${text}\` after \`${next}\`` };
    }),
  ),
  operator('53a', 'H of another cutter', (s) => changedWord(s, 'H', (h) => h + 1)),
  operator('53b', 'H becomes H0', (s) => changedWord(s, 'H', () => 0)),
  operator('53c', 'drop G43', (s) => droppedLine(s, 'G', 43)),
  operator('53d', 'G43 becomes G49', (s) =>
    onWords(s, 'G', 43, (k) => ({
      lines: replaced(s, k, 'G49'),
      what: `G49 for \`${s.program.lines[k]!.text}\``,
    })),
  ),
  operator('53e', 'G49 before a cut', (s) => (lengths(s) ? beforeCuts(s, 'G49') : [])),
  operator('53f', 'another length before a cut', (s) =>
    lengths(s) ? beforeCuts(s, written(s, 'G43', 'H3')) : [],
  ),
  operator('54a', 'drop an output', (s) =>
    onOutputs(s, (k) => ({
      lines: replaced(s, k),
      line: k + 1,
      what: `drop \`${s.program.lines[k]!.text}\``,
    })),
  ),
  operator('54b', 'an output the other way', (s) =>
    onOutputs(s, (k, other) => ({
      lines: replaced(s, k, other),
      line: k + 1,
      what: `\`${other}\` for \`${s.program.lines[k]!.text}\``,
    })),
  ),
  operator('54c', 'an output off before a cut', (s) =>
    outputBlocks(s).flatMap(({ off }) => beforeCuts(s, off)),
  ),
  operator('54d', 'coolant on', (s) =>
    Object.values(s.program.controller.auxiliary).some(({ on }) => on === 'M8')
      ? []
      : atStartAndCuts(s, 'M8'),
  ),
  operator('54e', 'overrides locked', (s) => atStartAndCuts(s, 'M49')),
  operator('54f', 'overrides freed', (s) => atStartAndCuts(s, 'M48')),
  operator('55a', 'home becomes half way down', (s) =>
    onHome(s, (k) => {
      const line = s.program.lines[k]!;
      const z = has(line.words, 'Z');
      return z ? [withValue(line, z, -80 * s.mm, s.program.controller)] : null;
    }),
  ),
  operator('55b', 'drop the home word', (s) =>
    onHome(s, (k) => {
      const line = s.program.lines[k]!;
      const word = has(line.words, 'G', 53) ?? has(line.words, 'G', 28)!;
      return [without(line, word)];
    }),
  ),
  operator('55c', 'drop the way home', (s) => onHome(s, () => [])),
  operator('55d', 'X and Y home with Z', (s) =>
    onHome(s, (k) => {
      const zero = (letter: string): string => letter + numberText(letter, 0, s.program.controller);
      return [written(s, s.program.lines[k]!.text, zero('X'), zero('Y'))];
    }),
  ),
  operator('55e', 'home by a feed', (s) =>
    onHome(s, (k) => {
      const line = s.program.lines[k]!;
      const rapid = has(line.words, 'G', 0);
      return rapid ? [withNumber(line, rapid, '1')] : null;
    }),
  ),
  operator('55f', 'home by the other word', (s) =>
    onHome(s, (k) => {
      const line = s.program.lines[k]!;
      const word = has(line.words, 'G', 53) ?? has(line.words, 'G', 28)!;
      return [withNumber(line, word, '30')];
    }),
  ),
  operator('56a', 'an origin rewritten', (s) => {
    const x = `X${numberText('X', 1, s.program.controller)}`;
    return atStartAndCuts(s, written(s, 'G10', 'L2', 'P1', x));
  }),
  operator('56b', 'Z shifted by G92', (s) =>
    atStartAndCuts(s, written(s, 'G92', `Z${numberText('Z', 1, s.program.controller)}`)),
  ),
  operator('56c', 'the shift of a program before', (s) => atStartAndCuts(s, 'G92.3')),
  operator('56d', 'another work offset before a cut', (s) =>
    s.program.controller.workOffset === 'none' ? [] : beforeCuts(s, 'G56'),
  ),
  ...([10, 40] as const).map((by, n) =>
    operator(`57${'ab'[n]}`, `one rapid lower by ${by} mm`, (s) =>
      eachLine(s, (line, f, k) => {
        const z = has(line.words, 'Z');
        if (!z || !f.moves || f.motion !== 0 || has(line.words, 'G', 53) || has(line.words, 'G', 28))
          return null;
        const { controller } = s.program;
        const value = wordValue(z, controller) - by * s.mm * controller.zSign;
        const text = withValue(line, z, value, controller);
        return { lines: replaced(s, k, text), line: k + 1, what: `\`${line.text}\` becomes \`${text}\`` };
      }),
    ),
  ),
  ...(['X', 'Y'] as const).map((letter, n) =>
    operator(`58${'ab'[n]}`, `sign of one ${letter}`, (s) =>
      eachLine(s, (line, f, k) => {
        const word = has(line.words, letter);
        if (!word || !f.moves || line.comment) return null;
        const value = wordValue(word, s.program.controller);
        if (value === 0) return null;
        const text = withValue(line, word, -value, s.program.controller);
        return { lines: replaced(s, k, text), line: k + 1, what: `\`${line.text}\` becomes \`${text}\`` };
      }),
    ),
  ),
];
