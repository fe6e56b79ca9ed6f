import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * The files that take longest, the longest first; what stands here is only a hint. All else comes after them, so that
 * no long file runs alone at the end while the other cores have nothing to do.
 */
const LONGEST = [
  'browser/use',
  'oracle/glue',
  'browser/page',
  'browser/draw',
  'cli/interrupts',
  'oracle/promises',
  'server/app',
  'fault',
  'package',
  'sweep',
  'makings/batch',
  'stages/ablation',
  'oracle/edited',
  'fuzz',
  'stages/widen-lines',
  'stages/read',
  'cli/lettering',
  'stages/tone',
  'cli/bad-input',
  'oracle/subject',
  'samples',
  'oracle/random',
  'oracle/mask',
  'oracle/folds',
  'makings/tones',
  'stages/strands',
  'oracle/typefaces',
  'oracle/layers',
  'pipeline/determinism',
  'oracle/widths',
  'stages/ease',
  'cli/output',
  'cli/make',
  'cli/layers',
  'pipeline/pipeline',
  'stages/repeat',
  'stages/faces',
  'stages/widen',
  'stages/read-kinds',
  'cli/batch',
  'pipeline/edited',
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
