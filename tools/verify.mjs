// `npm test`: installs, builds, type-checks, lints, runs every test, diff-checks the fleet.
// The last line counts the tests: `N passed, N failed, N skipped`.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build, install, ROOT, step } from './steps.mjs';

install();
build();
step('type-check the tests', 'tsc', ['-p', 'tsconfig.test.json']);
step('lint', 'biome', ['check', '.']);
step('repository rules', process.execPath, [join(ROOT, 'tools/lint-repository.mjs')]);

const folder = mkdtempSync(join(tmpdir(), 'bedledger-'));
const report = join(folder, 'report.json');
const tests = step(
  'tests',
  'vitest',
  ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  {
    mayFail: true,
  },
);
const { numPassedTests, numFailedTests, numPendingTests, numTodoTests, numFailedTestSuites, success } =
  JSON.parse(readFileSync(report, 'utf8'));
rmSync(folder, { recursive: true, force: true });

const fleet = step(
  'check the fleet',
  process.execPath,
  [join(ROOT, 'packages/cli/bin/bedledger.js'), 'check'],
  { mayFail: true },
);
// A suite that cannot even be loaded, or a fleet that is out of date, counts as one failure more.
const broken =
  (success ? 0 : Math.max(numFailedTests, numFailedTestSuites > 0 ? 1 : 0)) || (tests.status === 0 ? 0 : 1);
const failed = broken + (fleet.status === 0 ? 0 : 1);
process.stdout.write(
  `\n${numPassedTests} passed, ${failed} failed, ${numPendingTests + numTodoTests} skipped\n`,
);
process.exit(failed === 0 ? 0 : 1);
