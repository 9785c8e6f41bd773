// `npm run mutants [-- --sample N | --all]`: every fault operator on every demo machine's programs; prints the score.
// By default two seeded places an operator and program (some minutes); `--all` tries every place (about a million mutants, a night).
import { withBundle } from './bundle.mjs';
import { ROOT } from './steps.mjs';

const sampleAt = process.argv.indexOf('--sample');
const sample = sampleAt >= 0 ? Number(process.argv[sampleAt + 1]) : 2;
if (!(Number.isInteger(sample) && sample > 0)) {
  process.stderr.write('--sample takes a whole number of places, at least 1\n');
  process.exit(2);
}
await withBundle('test/mutation/run.ts', ({ runMutants }) => {
  const all = process.argv.includes('--all');
  const score = runMutants({ root: ROOT, ...(all ? {} : { sample }), seed: 1 });
  process.exitCode = score.survivors === 0 ? 0 : 1;
});
