import { ESLint } from 'eslint';
import { describe, expect, it } from 'vitest';
import { circlesIn, importGraph } from './support/import-graph.js';

const eslint = new ESLint();

/** The rules on imports that a file's text breaks, as the project's own lint sees it. */
async function broken(filePath: string, code: string): Promise<string[]> {
  const [result] = await eslint.lintText(`${code}\n`, { filePath });
  return result.messages.map(({ ruleId, message }) => ruleId ?? message);
}

const ZONE = 'import-x/no-restricted-paths';
const BUILT_IN = 'no-restricted-imports';
const TYPES_ONLY = '@typescript-eslint/no-restricted-imports';

describe('imports point down: the lint stops', () => {
  it.each([
    ['cli/make.ts', "export { parseCard } from '../src/settings/card.js';", ZONE],
    ['cli/make.ts', "export { trace } from '../src/stages/trace/trace.js';", ZONE],
    ['cli/make.ts', "export const load = () => import('../src/stages/trace/trace.js');", ZONE],
    ['server/app.ts', "export { settings } from '../src/settings/job.js';", ZONE],
    ['server/app.ts', "export { begin } from './page/history.js';", ZONE],
    ['server/page/work.ts', "export { createApp } from '../app.js';", ZONE],
    [
      'server/page/work.ts',
      "export { createPipeline } from '../../src/pipeline/pipeline.js';",
      ZONE,
    ],
    ['server/page/work.ts', "export { settings } from '../../src/index.js';", TYPES_ONLY],
    ['src/index.ts', "export { trace } from './stages/trace/trace.js';", ZONE],
    ['src/index.ts', "export { flatten } from './geometry/flatten.js';", ZONE],
    ['src/index.ts', "export { stencilSvg } from './output/svg/svg.js';", ZONE],
    ['src/makings/stencil.ts', "export { trace } from '../stages/trace/trace.js';", ZONE],
    ['src/pipeline/pipeline.ts', "export { stencilSvg } from '../output/svg/svg.js';", ZONE],
    [
      'src/stages/trace/trace.ts',
      "export { createPipeline } from '../../pipeline/pipeline.js';",
      ZONE,
    ],
    ['src/stages/trace/trace.ts', "export { stencilSvg } from '../../output/svg/svg.js';", ZONE],
    ['src/stages/trace/trace.ts', "export { tell } from '../../../cli/trouble.js';", ZONE],
    ['src/output/svg/svg.ts', "export { createPipeline } from '../../pipeline/pipeline.js';", ZONE],
    ['src/raster/labels.ts', "export { settings } from '../settings/job.js';", ZONE],
    ['src/raster/labels.ts', "export { trace } from '../stages/trace/trace.js';", ZONE],
    ['src/graphs/max-flow.ts', "export { flatten } from '../geometry/flatten.js';", ZONE],
    ['src/disk/claim.ts', "export { makeStencil } from '../makings/stencil.js';", ZONE],
    ['src/output/svg/svg.ts', "export { makeStencil } from '../../makings/stencil.js';", ZONE],
    ['src/geometry/flatten.ts', "export type { Traced } from '../stages/trace/trace.js';", ZONE],
    ['src/kernels/memory.ts', "export { squaredDistance } from '../raster/distance.js';", ZONE],
    ['src/settings/job.ts', "export { flatten } from '../geometry/flatten.js';", ZONE],
    ['src/settings/problem.ts', "export { createPipeline } from '../pipeline/pipeline.js';", ZONE],
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
      'no-restricted-syntax',
    ],
    [
      'src/stages/bridge/tie.ts',
      "export const load = () => import('../widen/widen.js');",
      'no-restricted-syntax',
    ],
    [
      'src/output/svg/svg.ts',
      "export const load = () => import('../../stages/trace/trace.js');",
      'no-restricted-syntax',
    ],
    [
      'src/pipeline/incremental-runner.ts',
      "export const load = () => import('../stages/trace/trace.js');",
      'no-restricted-syntax',
    ],
    ['src/stages/trace/trace.ts', "export { trace } from 'potrace';", BUILT_IN],
    ['src/geometry/flatten.ts', "export { Clipper } from 'clipper2-js';", BUILT_IN],
    ['src/built-in/clipper2.ts', "export { union } from '../geometry/regions.js';", ZONE],
    ['src/common/memoize-last.ts', "export { settings } from '../settings/job.js';", ZONE],
    ['src/common/seeded-random.ts', "export { findCutEdges } from '../graphs/cut-edges.js';", ZONE],
    ['src/settings/card.ts', 'export default 1;', 'import-x/no-default-export'],
  ])('%s: %s', async (file, code, rule) => {
    expect(await broken(file, code)).toContain(rule);
  });
});

describe('and lets pass', () => {
  it.each([
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
  ])('%s: %s', async (file, code) => {
    expect(await broken(file, code)).toEqual([]);
  });
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
