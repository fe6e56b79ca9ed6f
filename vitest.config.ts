import { defineConfig } from 'vitest/config';
import { LongestFirst } from './test/support/longest-first.js';

/** The property tests and the ones that start a real process take their time on a small machine. */
const PATIENCE_MS = 300_000;

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts'],
    setupFiles: [
      'test/support/same-every-time.ts',
      'test/support/equal-arrays.ts',
      'test/support/canaries.ts',
    ],
    maxWorkers: '100%',
    // A worker loads the sources, and the libraries that results are measured with, once for all its files: they hold
    // no state that a test could leave to another.
    isolate: false,
    sequence: { sequencer: LongestFirst },
    testTimeout: PATIENCE_MS,
    hookTimeout: PATIENCE_MS,
  },
});
