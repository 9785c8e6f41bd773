// `node tools/survey-coverage.mjs [surveys]`: how often the stated uncertainty of a survey holds, by kind of bed and marks, and
// how often a good mark is called misread. Beds and readings are simulated (test/survey/simulated.ts).
import { join } from 'node:path';
import { withBundle } from './bundle.mjs';
import { ROOT } from './steps.mjs';

const surveys = Number(process.argv[2] ?? 300);
await withBundle(
  { contents: `export * from ${JSON.stringify(join(ROOT, 'test/survey/simulated.ts'))};` },
  async ({ AMOUNTS, cells, DEVIATIONS, KINDS, MARKS, simulate }) => {
    const counted = cells().map((cell, i) => ({ ...cell, ...simulate(cell, surveys, i) }));
    const write = (line) => process.stdout.write(`${line}\n`);
    write(
      `${counted.length * surveys} surveys; readings scatter by ${DEVIATIONS.join(', ')} mm; beds off by ${AMOUNTS.map((a) => `${Math.round(a * 1e6)}`).join(', ')} ppm`,
    );
    write(
      `${'within, least of its cells, %'.padEnd(32)}${MARKS.map((n) => `${n} marks`.padStart(16)).join('')}`,
    );
    const percent = (a, b) => ((100 * a) / b).toFixed(1);
    const total = (list, key) => list.reduce((sum, c) => sum + c[key], 0);
    for (const kind of KINDS) {
      const row = MARKS.map((marks) => {
        const some = counted.filter((c) => c.kind === kind && c.marks === marks);
        const least = Math.min(...some.map((c) => (100 * c.within) / c.places));
        return `${percent(total(some, 'within'), total(some, 'places'))} (${least.toFixed(1)})`.padStart(16);
      });
      write(`${kind.padEnd(32)}${row.join('')}`);
    }
    write(
      `good marks accused, % of surveys: ${percent(total(counted, 'accused'), total(counted, 'surveys'))}`,
    );
  },
);
