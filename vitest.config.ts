import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

// Tests run from TypeScript source: the export condition below makes every
// @bedledger package resolve to its src/index.ts, so no build is needed first.
const conditions = ['@bedledger/source', 'node', 'import', 'module', 'default'];

/** The tests of the whole before those of the parts: what takes longest must not be begun last, on one core. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const ofTheWhole = ({ moduleId }: TestSpecification): boolean => /[/\\]test[/\\]/.test(moduleId);
    return [...sorted.filter(ofTheWhole), ...sorted.filter((file) => !ofTheWhole(file))];
  }
}

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions, externalConditions: conditions } },
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    // Nothing here replaces modules or globals, so files share a thread and what they have loaded: loading the packages
    // once a file would cost a quarter of the whole run.
    pool: 'threads',
    isolate: false,
    maxWorkers: availableParallelism(),
    testTimeout: 60_000,
    hookTimeout: 60_000,
    sequence: { sequencer: LongestFirst },
    reporters: ['default'],
  },
});
