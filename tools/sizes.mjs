// `node tools/sizes.mjs [lines]`: lines of source by package, tests apart, and every function longer than so many lines (80).
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ROOT } from './steps.mjs';

const most = Number(process.argv[2] ?? 80);
const write = (line) => process.stdout.write(`${line}\n`);
const packages = readdirSync(join(ROOT, 'packages')).sort();
const long = [];
let whole = [0, 0, 0];

write(`${'package'.padEnd(14)}${'source'.padStart(8)}${'rules'.padStart(8)}${'tests'.padStart(8)}`);
for (const name of packages) {
  const counts = [0, 0, 0];
  for (const path of readdirSync(join(ROOT, 'packages', name, 'src'), { recursive: true }).sort()) {
    if (!path.endsWith('.ts')) continue;
    const file = join('packages', name, 'src', path);
    const text = readFileSync(join(ROOT, file), 'utf8');
    const lines = text.split('\n').length - 1;
    const test = /\.(test|bench)\.ts$|(^|\/)testing\//.test(path);
    // Tables of rules are text for people, not code.
    counts[test ? 2 : /(^|\/)rules\//.test(path) ? 1 : 0] += lines;
    if (!test) functionsOf(file, text);
  }
  whole = whole.map((sum, i) => sum + counts[i]);
  row(name, counts);
}
row('all', whole);

write(`\nfunctions above ${most} lines:`);
for (const { lines, name, file, line } of long.sort((a, b) => b.lines - a.lines))
  write(`${String(lines).padStart(5)}  ${name}  ${file}:${line}`);
if (long.length === 0) write('  none');

function row(name, counts) {
  write(`${name.padEnd(14)}${counts.map((n) => String(n).padStart(8)).join('')}`);
}

/**
 * The formatter ends a body at the indentation of the line that its signature begins on: that pair of lines is a function's.
 */
function functionsOf(file, text) {
  const lines = text.split('\n');
  lines.forEach((line, end) => {
    const closing = /^( *)\}[;,)]*$/.exec(line);
    if (closing === null) return;
    const indent = closing[1];
    let start = end - 1;
    while (start >= 0 && !(lines[start].startsWith(indent) && /^\S/.test(lines[start].slice(indent.length))))
      start--;
    const opening = lines[start] ?? '';
    if (
      !/(=>|\)(: [^=]*)?) \{$/.test(opening) ||
      /^ *(\} else|(\w+: )?(if|for|while|switch|catch))\b/.test(opening)
    )
      return;
    while (/^ *\)/.test(lines[start])) {
      start--;
      while (start > 0 && !(lines[start].startsWith(indent) && /^\S/.test(lines[start].slice(indent.length))))
        start--;
    }
    if (end - start + 1 > most)
      long.push({ lines: end - start + 1, name: lines[start].trim().slice(0, 60), file, line: start + 1 });
  });
}
