/** The test files of a suite, as patterns. */
export interface Suite {
  readonly include: string[];
  readonly exclude?: string[];
}

/** What takes whole pictures or a compiler, in folders whose other tests need neither. */
const HEAVY = [
  'disk/stencil-file',
  'kernels/kernels',
  'lettering/least-sizes',
  'stages/ablation',
  'stages/contest',
  'stages/first-line',
  'stages/held',
  'stages/judge-drawing',
  'stages/nothing-invented',
  'stages/read',
  'stages/repeat',
  'stages/strands',
  'stages/symmetry',
  'stages/tone',
  'stages/vignette',
  'stages/widen-lines',
  'stages/writing',
];

/**
 * The tests by what they need, each suite for itself by `npm run test:NAME`. `npm test` runs all, and what is in no
 * suite: whole pictures and processes.
 */
export const suites: Readonly<Record<string, Suite>> = {
  /** No process, no browser, no whole picture. */
  unit: {
    include: [
      'test/{common,disk,faces,geometry,graphs,kernels,lettering,raster,settings,stages}/*.test.ts',
      'test/server/page/*.test.ts',
    ],
    exclude: HEAVY.map((name) => `test/${name}.test.ts`),
  },
  /** Against what others publish: libraries, renderers, standards, pictures whose truth is known. */
  oracle: { include: ['test/oracle/*.test.ts'] },
  /** The page in a real browser. */
  browser: { include: ['test/browser/*.test.ts'] },
};

export const everything: Suite = { include: ['test/**/*.test.ts'] };
