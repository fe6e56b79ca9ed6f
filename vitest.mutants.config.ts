import { defineConfig } from 'vitest/config';

/** The tests beside the code that is changed: those of whole stencils would take days. */
export default defineConfig({
  test: {
    include: ['test/{raster,geometry,stages}/**/*.test.ts'],
    exclude: ['test/stages/ablation.test.ts'],
    setupFiles: [
      'test/support/same-every-time.ts',
      'test/support/equal-arrays.ts',
      'test/support/canaries.ts',
    ],
    // Code that can be changed at every place runs many times as long.
    testTimeout: 300_000,
  },
});
