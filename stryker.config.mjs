/** How `npm run mutants` (test/mutants.mjs) tries out mutants. */
export default {
  packageManager: 'npm',
  testRunner: 'vitest',
  vitest: { configFile: 'vitest.mutants.config.ts' },
  plugins: ['@stryker-mutator/vitest-runner', './test/mutants-share.mjs'],
  checkers: ['share'],
  dryRunTimeoutMinutes: 30,
  // A busy machine is no endless loop.
  timeoutMS: 30_000,
  timeoutFactor: 4,
  coverageAnalysis: 'perTest',
  ignoreStatic: true,
  reporters: ['clear-text', 'json', 'progress-append-only'],
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  jsonReporter: { fileName: '.scratch/mutants.json' },
  tempDirName: '.scratch/mutants',
};
