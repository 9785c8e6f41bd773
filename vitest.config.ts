import { defineConfig } from 'vitest/config';

// Tests run from TypeScript source: the export condition below makes every
// @bedledger package resolve to its src/index.ts, so no build is needed first.
const conditions = ['@bedledger/source', 'node', 'import', 'module', 'default'];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions, externalConditions: conditions } },
  test: {
    include: ['packages/*/src/**/*.test.ts', 'test/**/*.test.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default'],
  },
});
