// `npm run prove [-- name… --seconds N | --count N | --all] [--seed N] [--list] [--folder DIR]`: the proofs that want hours (test/proofs).
// Each tries case after case, by default for a minute and from a number that is new every time; a failure prints the call that
// brings it back. `--all` tries every case where they can be counted. `npm test` tries a seeded sample of each.
import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { withBundle } from './bundle.mjs';
import { ROOT } from './steps.mjs';

const SUFFIX = '.proof.ts';
function refuse(message) {
  process.stderr.write(`prove: ${message}\n`);
  process.exit(2);
}

/** Whole numbers by option; everything else names a proof. */
function parse(argv) {
  const options = { seconds: null, count: null, seed: null, all: false, list: false, chosen: [] };
  const folderAt = argv.indexOf('--folder');
  const folder = folderAt < 0 ? join(ROOT, 'test/proofs') : resolve(argv[folderAt + 1] ?? '.');
  const names = readdirSync(folder)
    .filter((file) => file.endsWith(SUFFIX))
    .map((file) => file.slice(0, -SUFFIX.length))
    .sort();
  for (let i = 0; i < argv.length; i++) {
    const word = argv[i];
    if (word === '--all' || word === '--list') options[word.slice(2)] = true;
    else if (word === '--folder') i++;
    else if (word === '--seconds' || word === '--count' || word === '--seed') {
      const value = Number(argv[++i]);
      if (!(Number.isInteger(value) && value >= 0 && value < 2 ** 31)) refuse(`${word} takes a whole number`);
      options[word.slice(2)] = value;
    } else if (names.includes(word)) options.chosen.push(word);
    else refuse(`unknown proof or option ${word}; the proofs are ${names.join(', ')}`);
  }
  if (options.seconds !== null && options.count !== null) refuse('give --seconds or --count, not both');
  return { ...options, folder, chosen: options.chosen.length > 0 ? options.chosen : names };
}

const options = parse(process.argv.slice(2));
const { chosen } = options;
const entry = chosen.map(
  (name, i) => `import { proof as p${i} } from ${JSON.stringify(join(options.folder, `${name}${SUFFIX}`))};`,
);
entry.push(`export const proofs = [${chosen.map((_, i) => `p${i}`).join(', ')}];`);
// The one number that nobody chose; it is printed, so nothing is lost.
const seed = options.seed ?? Date.now() % 1_000_000_007;

await withBundle({ contents: entry.join('\n') }, async ({ proofs }) => {
  for (const [i, name] of chosen.entries()) {
    if (options.list) process.stdout.write(`${name.padEnd(20)} ${proofs[i].about}\n`);
    else if (options.all) await proveAll(name, proofs[i]);
    else await proveSome(name, proofs[i]);
  }
});

function failed(name, error, again) {
  process.stdout.write(
    `FAILED   ${name}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\nagain with: npm run prove -- ${name} ${again}\n`,
  );
  process.exitCode = 1;
}

async function proveAll(name, proof) {
  if (proof.tryAll === undefined) {
    process.stdout.write(`skipped  ${name}: its cases cannot be counted; leave --all out\n`);
    return;
  }
  try {
    await proof.tryAll();
    process.stdout.write(`ok       ${name}: every case\n`);
  } catch (error) {
    failed(name, error, '--all');
  }
}

async function proveSome(name, proof) {
  const began = performance.now();
  const spent = () => (performance.now() - began) / 1000;
  const most = options.count ?? Number.POSITIVE_INFINITY;
  const seconds = options.count === null ? (options.seconds ?? 60) : Number.POSITIVE_INFINITY;
  process.stdout.write(`begins   ${name}: from case ${seed}\n`);
  let done = 0;
  // One case at the least, however short the time.
  while (done < most && (done === 0 || spent() < seconds)) {
    try {
      await proof.try(seed + done);
    } catch (error) {
      failed(name, error, `--seed ${seed + done} --count 1`);
      return;
    }
    done++;
  }
  process.stdout.write(`ok       ${name}: ${done} cases in ${spent().toFixed(1)} s\n`);
}
