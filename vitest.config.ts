import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';

// Tests run from TypeScript source: the export condition below makes every
// @bedledger package resolve to its src/index.ts, so no build is needed first.
const conditions = ['@bedledger/source', 'node', 'import', 'module', 'default'];

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
    reporters: ['default'],
  },
});
