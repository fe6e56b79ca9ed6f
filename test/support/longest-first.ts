import { BaseSequencer, type TestSpecification } from 'vitest/node';

/**
 * The files that take longest, the longest first; what stands here is only a hint. All else comes after them, so that
 * no long file runs alone at the end while the other cores have nothing to do.
 */
const LONGEST = [
  'fault',
  'oracle/random',
  'oracle/typefaces',
  'oracle/layers',
  'stages/bridge',
  'oracle/promises',
  'cli/bad-input',
  'stages/tone',
  'stages/read',
  'oracle/mask',
  'browser/use',
  'browser/draw',
  'browser/accessible',
  'cli/interrupts',
  'cli/make',
  'package',
  'determinism',
  'oracle/subject',
  'oracle/edited',
  'fuzz',
  'sweep',
  'server/app',
  'batch',
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
