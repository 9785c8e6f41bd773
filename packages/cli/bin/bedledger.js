#!/usr/bin/env node
// Committed stub: the package manager links a bin only if the file exists at install time.
// The real command is one bundled file, made by `npm run build`.
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const bundle = new URL('../dist/bedledger.mjs', import.meta.url);
if (existsSync(fileURLToPath(bundle))) {
  await import(bundle.href);
} else {
  process.stderr.write('bedledger has not been built yet: run `npm start` (or `npm run build`) first\n');
  process.exitCode = 2;
}
