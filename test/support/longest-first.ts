import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * The files that take longest, the longest first; what stands here is only a hint. All else comes after them, so that
 * no long file runs alone at the end while the other cores have nothing to do.
 */
const LONGEST = [
  'browser/all',
  'oracle/folds',
  'oracle/glue',
  'server/app',
  'oracle/promises',
  'stages/ablation',
  'cli/interrupts',
  'fault',
  'stages/widen-lines',
  'sweep',
  'oracle/mask',
  'stages/read',
  'package',
  'fuzz',
  'makings/batch',
  'stages/tone',
  'oracle/edited',
  'oracle/subject',
  'cli/bad-input',
  'makings/tones',
  'oracle/ease',
  'cli/lettering',
  'samples',
  'oracle/random',
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
