// `node tools/write-docs.mjs [--check]`: writes docs/rules.md and docs/profile.md from the tables and schemas they describe.
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { withBundle } from './bundle.mjs';
import { ROOT } from './steps.mjs';

const check = process.argv.includes('--check');
await withBundle('packages/cli/src/docs/pages.ts', ({ docPages }) => {
  for (const { path, text } of docPages()) {
    const file = join(ROOT, path);
    const same = existsSync(file) && readFileSync(file, 'utf8') === text;
    if (!same && check) {
      process.stdout.write(`stop     ${path}: out of date; run \`node tools/write-docs.mjs\`\n`);
      process.exitCode = 1;
    } else if (!same) {
      mkdirSync(dirname(file), { recursive: true });
      writeFileSync(file, text);
      process.stdout.write(`changed  ${path}\n`);
    } else process.stdout.write(`ok       ${path}\n`);
  }
});
