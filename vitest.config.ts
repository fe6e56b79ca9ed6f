import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { LongestFirst } from './test/support/longest-first.js';
import { everything, suites } from './test/suites.js';

/** The property tests and the ones that start a real process take their time on a small machine. */
const PATIENCE_MS = 300_000;

/** `vitest --mode unit` runs that suite; without a mode, in Vitest's own, all tests run. */
export default defineConfig(({ mode }) => ({
  test: {
    ...(suites[mode] ?? everything),
    setupFiles: [
      'test/support/same-every-time.ts',
      'test/support/equal-arrays.ts',
      'test/support/canaries.ts',
    ],
    // One more than there are cores: a worker that waits for a browser, a process or a disk leaves its core to another.
    maxWorkers: availableParallelism() + 1,
    // A worker loads the sources, and the libraries that results are measured with, once for all its files: they hold
    // no state that a test could leave to another.
    isolate: false,
    // All cores have a worker already: the engine's own threads, which sweep its memory and compile beside it, only take
    // their time from each other (a tenth to a fifth of the processor time). Fuller memory is swept less often.
    execArgv: ['--single-threaded', '--max-semi-space-size=64'],
    sequence: { sequencer: LongestFirst },
    testTimeout: PATIENCE_MS,
    hookTimeout: PATIENCE_MS,
  },
}));
