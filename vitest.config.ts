import { defineConfig } from 'vitest/config';

/** The property tests and the ones that start a real process take their time on a small machine. */
const PATIENCE_MS = 300_000;

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    setupFiles: ['test/support/same-every-time.ts', 'test/support/equal-arrays.ts'],
    maxWorkers: '100%',
    testTimeout: PATIENCE_MS,
    hookTimeout: PATIENCE_MS,
  },
});
