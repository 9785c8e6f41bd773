import { join } from 'node:path';
import { checkIssued } from '@bedledger/checker';
import { describe, expect, it } from 'vitest';
import { issuedFleet } from './issued-fleet.ts';
import { type Program, parseProgram, repairFooter, textOf } from './program-text.ts';
import { OPERATORS, scoreMutants } from './score.ts';
import { withText } from './with-text.ts';

const sets = issuedFleet(join(import.meta.dirname, '../..'));

describe('changed programs', () => {
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

/** The same program, written otherwise. */
const VARIANTS: readonly {
  name: string;
  applies: (p: Program) => boolean;
  line: (text: string, p: Program) => string;
}[] = [
  {
    name: 'further comments',
    applies: (p) => p.controller.comments === 'paren',
    line: (text) => (/^\(SITE|^\(PASS/.test(text) ? `${text}\n(CHECKED)` : text),
  },
];

describe('other ways of writing the same', () => {
  it('raises nothing for comments added between sections', () => {
    for (const { record, issued } of sets) {
      for (const entry of issued.manifest.programs) {
        const file = issued.programs.find((f) => f.path.endsWith(entry.file))!;
        const program = parseProgram(file.path, file.text, record.machine.controller);
        for (const variant of VARIANTS) {
          if (!variant.applies(program)) continue;
          const lines = program.lines.flatMap((l) => variant.line(l.text, program).split('\n'));
          const text = repairFooter(textOf(lines, program.eol), program.eol);
          const report = checkIssued(record, withText(issued, entry, text));
          const before = checkIssued(record, withText(issued, entry, file.text));
          expect(
            report.findings.map((f) => f.code),
            `${file.path} ${variant.name}`,
          ).toEqual(before.findings.map((f) => f.code));
        }
      }
    }
  }, 120_000);
});
