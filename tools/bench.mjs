// `npm run bench [-- --json] [-- name…]`: every figure the project promises, measured now, one line each.
// Modules named *.bench.ts export `figures()`: [{ name, value, unit, limit, reference }].
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { withBundle } from './bundle.mjs';
import { ROOT } from './steps.mjs';

const args = process.argv.slice(2);
const json = args.includes('--json');
const wanted = args.filter((a) => !a.startsWith('--'));

/** Every *.bench.ts below `folder`, sorted. */
function benches(folder) {
  const found = [];
  const walk = (at) => {
    for (const entry of readdirSync(join(folder, at), { withFileTypes: true })) {
      if (entry.name === 'node_modules' || entry.name === 'dist' || entry.name.startsWith('.')) continue;
      const path = at === '' ? entry.name : `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else if (entry.name.endsWith('.bench.ts')) found.push(path);
    }
  };
  walk('');
  return found.sort();
}

const files = [
  ...benches(join(ROOT, 'packages')).map((f) => `packages/${f}`),
  ...benches(join(ROOT, 'test')).map((f) => `test/${f}`),
]
  .sort()
  .filter((f) => wanted.length === 0 || wanted.some((w) => f.includes(w)));

const all = [];
for (const file of files) {
  const measured = await withBundle(file, ({ figures }) => {
    if (typeof figures !== 'function') throw new Error(`${file} exports no figures()`);
    return figures();
  });
  for (const figure of measured) {
    all.push(figure);
    if (json) continue;
    const limit = figure.limit === null ? '' : `  limit ${figure.limit}`;
    const reference = figure.reference === null ? '' : `  (${figure.reference})`;
    process.stdout.write(
      `${figure.name.padEnd(58)} ${String(Number(figure.value.toPrecision(5))).padStart(12)} ${figure.unit}${limit}${reference}\n`,
    );
  }
}
if (json) process.stdout.write(`${JSON.stringify(all, null, 2)}\n`);
