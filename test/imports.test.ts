import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { home } from './support/built.js';
import { exportedNames, renamedExports } from './support/exported-names.js';
import { circlesIn, importGraph } from './support/import-graph.js';

type Case = readonly [file: string, code: string, rule?: string];

interface Linted {
  readonly number_of_files: number;
  readonly diagnostics: readonly {
    readonly code?: string;
    readonly message: string;
    readonly filename: string;
    readonly labels: readonly { readonly span: { readonly line: number } }[];
  }[];
}

/**
 * What the project's own lint says of lines of code: the rules that each breaks, in the order of the cases. It looks at
 * a house in which each case is a line of its file, and nothing else is.
 */
function brokenBy(cases: readonly Case[]): string[][] {
  const house = mkdtempSync(join(tmpdir(), 'stencilwright-floors-'));
  try {
    for (const part of ['.oxlintrc.json', 'test/floors.mjs'])
      cpSync(join(home, part), join(house, part));
    const files = new Map<string, Case[]>();
    for (const each of cases) files.set(each[0], [...(files.get(each[0]) ?? []), each]);
    for (const [file, lines] of files) {
      mkdirSync(dirname(join(house, file)), { recursive: true });
      writeFileSync(join(house, file), lines.map(([, code]) => `${code}\n`).join(''));
    }
    const lint = join(home, 'node_modules/oxlint/bin/oxlint');
    const told = spawnSync(process.execPath, [lint, '--format', 'json', 'cli', 'server', 'src'], {
      cwd: house,
      encoding: 'utf8',
    });
    const { diagnostics, number_of_files: looked } = JSON.parse(told.stdout) as Linted;
    if (looked !== files.size) throw new Error(`It looked at ${looked} files of ${files.size}`);
    return cases.map((each) => {
      const line = files.get(each[0])!.indexOf(each) + 1;
      return diagnostics
        .filter(({ filename, labels }) => filename === each[0] && labels[0].span.line === line)
        .map(({ code, message }) => code ?? message);
    });
  } finally {
    rmSync(house, { recursive: true, force: true });
  }
}

const DOWN = 'floors(down)';
const BUILT_IN = 'floors(built-in)';
const TYPES_ONLY = 'floors(types-only)';

describe('imports point down: the lint stops', () => {
  const cases: readonly Case[] = [
    ['cli/make.ts', "export { parseCard } from '../src/settings/card.js';", DOWN],
    ['cli/make.ts', "export { trace } from '../src/stages/trace/trace.js';", DOWN],
    ['cli/make.ts', "export const load = () => import('../src/stages/trace/trace.js');", DOWN],
    ['server/app.ts', "export { settings } from '../src/settings/job.js';", DOWN],
    ['server/app.ts', "export { begin } from './page/history.js';", DOWN],
    ['server/page/page-model.ts', "export { createApp } from '../app.js';", DOWN],
    [
      'server/page/page-model.ts',
      "export { createPipeline } from '../../src/pipeline/pipeline.js';",
      DOWN,
    ],
    ['server/page/page-model.ts', "export { settings } from '../../src/index.js';", TYPES_ONLY],
    ['src/index.ts', "export { trace } from './stages/trace/trace.js';", DOWN],
    ['src/index.ts', "export { flatten } from './geometry/flatten.js';", DOWN],
    ['src/index.ts', "export { stencilSvg } from './output/svg/svg.js';", DOWN],
    ['src/makings/stencil.ts', "export { trace } from '../stages/trace/trace.js';", DOWN],
    ['src/pipeline/pipeline.ts', "export { stencilSvg } from '../output/svg/svg.js';", DOWN],
    [
      'src/stages/trace/trace.ts',
      "export { createPipeline } from '../../pipeline/pipeline.js';",
      DOWN,
    ],
    ['src/stages/trace/trace.ts', "export { stencilSvg } from '../../output/svg/svg.js';", DOWN],
    ['src/stages/trace/trace.ts', "export { tell } from '../../../cli/trouble.js';", DOWN],
    ['src/output/svg/svg.ts', "export { createPipeline } from '../../pipeline/pipeline.js';", DOWN],
    ['src/raster/labels.ts', "export { settings } from '../settings/job.js';", DOWN],
    ['src/raster/labels.ts', "export { trace } from '../stages/trace/trace.js';", DOWN],
    ['src/graphs/max-flow.ts', "export { flatten } from '../geometry/flatten.js';", DOWN],
    ['src/disk/claim.ts', "export { makeStencil } from '../makings/stencil.js';", DOWN],
    ['src/output/svg/svg.ts', "export { makeStencil } from '../../makings/stencil.js';", DOWN],
    ['src/geometry/flatten.ts', "export type { Traced } from '../stages/trace/trace.js';", DOWN],
    ['src/kernels/memory.ts', "export { squaredDistance } from '../raster/distance.js';", DOWN],
    ['src/settings/job.ts', "export { flatten } from '../geometry/flatten.js';", DOWN],
    ['src/settings/problem.ts', "export { createPipeline } from '../pipeline/pipeline.js';", DOWN],
    ['src/stages/trace/trace.ts', "export { widen } from '../widen/widen.js';", TYPES_ONLY],
    ['src/output/svg/svg.ts', "export { trace } from '../../stages/trace/trace.js';", TYPES_ONLY],
    [
      'src/pipeline/incremental-runner.ts',
      "export { trace } from '../stages/trace/trace.js';",
      TYPES_ONLY,
    ],
    [
      'src/stages/trace/trace.ts',
      "export const load = () => import('../widen/widen.js');",
      TYPES_ONLY,
    ],
    [
      'src/stages/bridge/tie.ts',
      "export const load = () => import('../widen/widen.js');",
      TYPES_ONLY,
    ],
    [
      'src/output/svg/svg.ts',
      "export const load = () => import('../../stages/trace/trace.js');",
      TYPES_ONLY,
    ],
    [
      'src/pipeline/incremental-runner.ts',
      "export const load = () => import('../stages/trace/trace.js');",
      TYPES_ONLY,
    ],
    ['src/stages/trace/trace.ts', "export { trace } from 'potrace';", BUILT_IN],
    ['src/geometry/flatten.ts', "export { Clipper } from 'clipper2-js';", BUILT_IN],
    [
      'src/built-in/clipper2.ts',
      "export { union } from '../geometry/boolean-operations.js';",
      DOWN,
    ],
    ['src/common/memoize-last.ts', "export { settings } from '../settings/job.js';", DOWN],
    ['src/common/seeded-random.ts', "export { findCutEdges } from '../graphs/cut-edges.js';", DOWN],
    ['src/settings/card.ts', 'export default 1;', 'import(no-default-export)'],
    ['cli/make.ts', "export { findFonts } from '../server/fonts.js';", DOWN],
    ['cli/make.ts', "export { seeded } from '../test/support/bitmaps.js';", DOWN],
    ['server/app.ts', "export { make } from '../cli/make.js';", DOWN],
    ['server/page/page-model.ts', "export { seeded } from '../../samples/draw/noise.js';", DOWN],
    ['src/makings/stencil.ts', "export { labelRegions } from '../raster/labels.js';", DOWN],
    ['src/graphs/max-flow.ts', "export { parseCard } from '../settings/card.js';", DOWN],
    ['src/stages/trace/trace.ts', "export { type A, widen } from '../widen/widen.js';", TYPES_ONLY],
    ['src/geometry/flatten.ts', "export type At = import('../stages/trace/trace.js').At;", DOWN],
    ['server/guard.ts', "export * from '../src/settings/job.js';", DOWN],
    ['server/guard.ts', "import '../test/support/built.js';", DOWN],
  ];
  const broken = brokenBy(cases);

  it.each(cases.map((each, k) => [...each, broken[k]] as const))(
    '%s: %s',
    (_file, _code, rule, found) => {
      expect(found).toContain(rule);
    },
  );
});

describe('and lets pass', () => {
  const cases: readonly Case[] = [
    ['cli/make.ts', "export { makeStencil } from '../src/index.js';"],
    ['src/index.ts', "export { createPipeline } from './pipeline/pipeline.js';"],
    ['src/pipeline/pipeline.ts', "export const load = () => import('../stages/trace/trace.js');"],
    ['src/stages/trace/trace.ts', "export { labelRegions } from '../../raster/labels.js';"],
    ['src/stages/trace/trace.ts', "export type { Widened } from '../widen/widen.js';"],
    ['src/output/svg/svg.ts', "export type { Traced } from '../../stages/trace/trace.js';"],
    ['src/stages/trace/trace.ts', "export { Potrace } from '../../built-in/potrace.js';"],
    ['src/built-in/potrace.ts', "export { default as Potrace } from 'potrace/lib/Potrace.js';"],
    ['src/output/outputs.ts', "export const load = () => import('./svg/svg.js');"],
    ['src/geometry/rasterise.ts', "export type { Bitmap } from '../raster/raster.js';"],
    ['src/stages/trace/trace.ts', "export { type Seamless } from '../widen/widen.js';"],
    ['server/guard.ts', "export { completeJob } from '../src/index.js';"],
    ['src/types/potrace.d.ts', "declare const one: import('potrace').Potrace; export default one;"],
  ];
  const broken = brokenBy(cases);

  it.each(cases.map((each, k) => [...each, broken[k]] as const))(
    '%s: %s',
    (_file, _code, found) => {
      expect(found).toEqual([]);
    },
  );
});

describe('no two files import each other, round however many corners, not even for types', () => {
  const circles = circlesIn(importGraph(['src', 'cli', 'server', 'test', 'samples']));

  it('there are none, types included', () => {
    expect(circles).toEqual([]);
  });

  it('and a circle is found', () => {
    const graph = new Map([
      ['a', ['b', 'd']],
      ['b', ['c']],
      ['c', ['a', 'd']],
      ['d', ['e']],
      ['e', []],
      ['f', ['f']],
    ]);
    expect(circlesIn(graph)).toEqual([['a', 'b', 'c'], ['f']]);
  });

  it('through types, through what is loaded later, and through markup', () => {
    const graph = importGraph(['src', 'server']);
    expect(graph.get('src/stages/ease/uneased.ts')).toContain('src/stages/trace/trace.ts');
    expect(graph.get('src/pipeline/pipeline.ts')).toContain('src/stages/trace/trace.ts');
    expect(graph.get('server/page/main.tsx')).toContain('server/page/page.tsx');
  });
});

describe('a name that is let out means one thing in the whole house', () => {
  /**
   * The door loads what makes only when it is called: its functions have the names of those that they call. A kernel's
   * wrapper in a room has the name of the kernel, which takes bare arrays.
   */
  const PASSED_ON = ['src/index.ts', 'src/kernels/generated.ts'];
  const files = [...importGraph(['src', 'cli', 'server']).keys()];

  it('it is declared once', () => {
    const own = files.filter((file) => !PASSED_ON.includes(file));
    const twice = [...exportedNames(own)].filter(([, places]) => places.length > 1);
    expect(twice.map(([name, places]) => `${name}: ${places.join(', ')}`)).toEqual([]);
  });

  it('and is let out under no other name', () => {
    expect(renamedExports(files)).toEqual([]);
  });
});
