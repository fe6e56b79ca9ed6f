/**
 * `npm run mutants`: changes the code of raster, geometry and stages in small ways and looks which tests notice.
 * `SHARE=0.05` tries one in twenty of the changes, the same ones each time.
 */
export default {
  packageManager: 'npm',
  testRunner: 'vitest',
  vitest: { configFile: 'vitest.mutants.config.ts' },
  plugins: ['@stryker-mutator/vitest-runner', './test/mutants-share.mjs'],
  checkers: ['share'],
  mutate: ['src/raster/**/*.ts', 'src/geometry/**/*.ts', 'src/stages/**/*.ts'],
  dryRunTimeoutMinutes: 30,
  // A busy machine is no endless loop.
  timeoutMS: 30_000,
  timeoutFactor: 4,
  coverageAnalysis: 'perTest',
  ignoreStatic: true,
  reporters: ['clear-text', 'html'],
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  htmlReporter: { fileName: '.scratch/mutants.html' },
  tempDirName: '.scratch/mutants',
};
