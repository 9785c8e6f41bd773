// `npm start`: from a fresh clone to a regenerated, checked demo fleet; a line a step, a line a machine, and what to try next.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { HINTS } from './start-hints.mjs';
import { build, install, ROOT, step } from './steps.mjs';

const quiet = { quiet: true };
install(quiet);
build(quiet);
const cli = join(ROOT, 'packages/cli/bin/bedledger.js');
step('regenerate the fleet', process.execPath, [cli, 'regenerate'], quiet);
step('check the fleet', process.execPath, [cli, 'check'], quiet);
const { stdout } = step('where things stand', process.execPath, [cli, 'status', '--json'], quiet);

const { machines } = JSON.parse(stdout);
for (const { id, stops, next } of machines) {
  process.stdout.write(`${stops > 0 ? 'stop' : 'ok  '}  ${id}: ${next}\n`);
}
const sheet = pathToFileURL(join(ROOT, 'machines', machines[0].id, 'issued', 'run-sheet.html'));
process.stdout.write(`\nOpen in a browser: ${sheet}\nThen try:\n`);
for (const hint of HINTS) process.stdout.write(`  npx bedledger ${hint.join(' ')}\n`);
