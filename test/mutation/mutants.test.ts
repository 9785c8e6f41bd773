import { join } from 'node:path';
import { checkIssued } from '@bedledger/checker';
import type { Controller } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { issuedFleet } from './issued-fleet.ts';
import { kindOf, OPERATOR_KINDS } from './kinds.ts';
import { type LineFacts, lineFacts } from './line-facts.ts';
import { type Line, parseProgram, repairFooter, textOf } from './program-text.ts';
import { OPERATORS, scoreMutants } from './score.ts';
import { withText } from './with-text.ts';

const sets = issuedFleet(join(import.meta.dirname, '../..'));

describe('changed programs', () => {
  it('knows of every operator what it touches', () => {
    for (const { id } of OPERATORS) expect(OPERATOR_KINDS).toContain(kindOf(id));
  });

  it('has at least the fifty operators of the list', () => {
    const numbers = new Set(OPERATORS.map((o) => Number.parseInt(o.id, 10)));
    numbers.add(50); // pairs are made in the score itself
    for (let n = 1; n <= 50; n++) {
      // 33 needs contours with holes or parts inside, which these programs do not have
      if (n !== 33) expect(numbers.has(n), `operator ${n}`).toBe(true);
    }
  });

  it('finds nothing in the issued programs as they are', () => {
    expect(sets.length).toBeGreaterThan(0);
    for (const { record, issued } of sets) {
      expect(checkIssued(record, issued).findings.filter((f) => f.severity !== 'note')).toEqual([]);
    }
  });

  // the full run is `npm run mutants`; here a seeded sample of each program
  it('kills every sampled change that means something', () => {
    const scores = scoreMutants(sets, { seed: 20261125, perProgram: 12 });
    const survivors = scores.flatMap((s) =>
      s.survivors.map((x) => `${x.operator} ${x.machine} ${x.program}:${x.line} ${x.what} (${x.why})`),
    );
    const made = scores.reduce((n, s) => n + s.made, 0);
    const unexpected = scores.reduce((n, s) => n + s.unexpected, 0);
    expect(made).toBeGreaterThan(100);
    expect(unexpected).toBe(0);
    expect(survivors).toEqual([]);
  }, 240_000);
});

describe('what is said of changed programs', () => {
  it.each(sets.map((s) => [s.record.machine.id, s] as const))('is in the units of %s', (_, set) => {
    const messages = new Set<string>();
    scoreMutants([set], {
      seed: 20261126,
      perProgram: set.record.machine.units === 'in' ? 60 : 12,
      inspect: (findings, { machine }) => {
        // a change of the profile's units is a change of what is said as well
        if (machine.controller.units === machine.units) for (const f of findings) messages.add(f.message);
      },
    });
    expect(messages.size).toBeGreaterThan(10);
    const foreign = set.record.machine.units === 'in' ? /\d (mm|cm²|kPa|N·m)/ : /\d (in\/min|in²|inHg|psi)/;
    expect([...messages].filter((m) => foreign.test(m))).toEqual([]);
  });
});

const afterNumber = (text: string, change: (body: string) => string): string => {
  const number = /^N\d+ ?/.exec(text)?.[0] ?? '';
  return number + change(text.slice(number.length));
};

/** The same program, written otherwise. Word order is free in RS274/NGC (3.3.6) and fixed by custom elsewhere. */
const VARIANTS: readonly {
  readonly name: string;
  readonly applies: (c: Controller) => boolean;
  readonly line: (line: Line, facts: LineFacts, c: Controller) => string;
}[] = [
  {
    name: 'comments between sections',
    applies: (c) => c.comments === 'paren',
    line: (line) => (/^\(SITE|^\(PASS/.test(line.text) ? `${line.text}\u0000(CHECKED)` : line.text),
  },
  {
    name: 'more blanks',
    applies: (c) => c.spacing === 'space',
    line: (line) => (line.comment ? line.text : line.text.replace(/ (?=[A-Z])/g, '  ')),
  },
  {
    name: 'trailing zeros left out',
    applies: (c) => c.numbers.point !== 'never',
    line: (line) => (line.comment ? line.text : line.text.replace(/([XYZIJ]-?\d+\.\d*?)0+(?= |$)/g, '$1')),
  },
  {
    name: 'words in reverse',
    applies: (c) => c.dialect === 'rs274ngc',
    line: (line) =>
      line.comment || line.words.length < 2
        ? line.text
        : [...line.words]
            .reverse()
            .map((w) => w.letter + w.text)
            .join(' '),
  },
  {
    name: 'plus signs',
    applies: (c) => c.numbers.point !== 'never',
    line: (line) => (line.comment ? line.text : line.text.replace(/([XYZIJ])(?=\d)/g, '$1+')),
  },
  {
    name: 'every motion word stated',
    applies: (c) => c.spacing === 'space',
    line: (line, facts) =>
      !line.comment && facts.moves && facts.motion <= 3 && !line.words.some((w) => w.letter === 'G')
        ? afterNumber(line.text, (body) => `G${facts.motion} ${body}`)
        : line.text,
  },
  {
    name: 'leading zeros in motion words',
    applies: () => true,
    line: (line) => (line.comment ? line.text : line.text.replace(/\bG([0-3])(?= |$)/g, 'G0$1')),
  },
];

describe('other ways of writing the same', () => {
  it('raise nothing', () => {
    let tried = 0;
    for (const { record, issued } of sets) {
      const { controller } = record.machine;
      for (const entry of issued.manifest.programs) {
        if (entry.part > 1) continue;
        const file = issued.programs.find((f) => f.path.endsWith(entry.file))!;
        const program = parseProgram(file.path, file.text, controller);
        const facts = lineFacts(program);
        const before = checkIssued(record, withText(issued, entry, file.text)).findings.map((f) => f.code);
        for (const variant of VARIANTS) {
          if (!variant.applies(controller)) continue;
          const written = program.lines.map((l, k) => variant.line(l, facts[k]!, controller).split('\u0000'));
          const lines = written.flat();
          // the run sheet names the lines at which a program may be taken up again
          if (entry.restarts.length > 0 && lines.length !== program.lines.length) continue;
          const text = repairFooter(textOf(lines, program.eol), program.eol);
          if (text === file.text) continue;
          tried++;
          const after = checkIssued(record, withText(issued, entry, text)).findings;
          expect(
            after.map((f) => f.code),
            `${file.path}: ${variant.name}`,
          ).toEqual(before);
        }
      }
    }
    expect(tried).toBeGreaterThan(20);
  }, 240_000);
});
