import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * The files that take longest, the longest first; what stands here is only a hint. All else comes after them, so that
 * no long file runs alone at the end while the other cores have nothing to do.
 */
const LONGEST = [
  'browser/use',
  'package',
  'fault',
  'sweep',
  'fuzz',
  'oracle/promises',
  'oracle/mask',
  'oracle/random',
  'browser/draw',
  'cli/interrupts',
  'browser/page',
  'oracle/layers',
  'oracle/edited',
  'stages/ablation',
  'oracle/subject',
  'cli/bad-input',
  'makings/batch',
  'oracle/widths',
  'server/app',
  'pipeline/determinism',
  'oracle/typefaces',
  'cli/batch',
  'stages/read',
  'oracle/bridges',
  'oracle/ease',
  'samples',
  'cli/make',
  'cli/layers',
  'stages/tone',
  'stages/bridge',
  'stages/heuristics',
  'stages/strands',
  'pipeline/pipeline',
  'makings/tones',
  'stages/ease',
];

function rank({ moduleId }: TestSpecification): number {
  const place = LONGEST.findIndex((name) => moduleId.endsWith(`/test/${name}.test.ts`));
  return place < 0 ? LONGEST.length : place;
}

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    return (await super.sort(files)).sort((one, other) => rank(one) - rank(other));
  }
}
