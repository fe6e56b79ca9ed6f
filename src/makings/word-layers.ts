import { withoutRegisterMarks } from '../geometry/register-marks.js';
import { linesOf } from '../lettering/typeset.js';
import { createUnderPipeline, createWordsPipeline, openUnder } from '../pipeline/words.js';
import type { Pipeline, StencilValues } from '../pipeline/pipeline.js';
import { sheetOf, type Job } from '../settings/job.js';
import type { UnderJob } from '../settings/lettering-settings.js';
import { Problem } from '../settings/problem.js';
import {
  assembleLayers,
  paintSteps,
  shareOn,
  type Layer,
  type LayersMade,
  type LayersOptions,
} from './layers.js';
import { makeStencil } from './stencil.js';
import { openedWords, provenanceOfWords, type RoomAround, type WordsWish } from './words.js';

/**
 * Makes words as two stencils: an outline round the letters or a shadow that they cast, to be painted first, and the
 * letters. Nothing is written.
 *
 * The shadow is the letters moved along a diagonal to the lower right, all the way; the outline is what lies within so
 * many mm of them. Film too narrow to hold between two letters of it is left out: the letters' own sheet parts them.
 *
 * @throws Problem as `makeWords`, and for a mask, a repeat, a fold, lines of glue and a picture beside the words
 */
export async function makeWordLayers(
  wish: WordsWish,
  under: UnderJob,
  job: Job,
  options: LayersOptions,
): Promise<LayersMade> {
  refuse(wish, job);
  const {
    source,
    job: edited,
    lines,
    letters,
  } = await openedWords(wish, job, undefined, aroundOf(under));
  const words = { lines, set: wish.set, letters, under: { ...under, paint: job.paint } };
  const of = options.of ?? { ...(await provenanceOfWords(wish)), made: 'layers' as const };
  const [first, last] = paintSteps(job, 2);
  const { onLayer, ...rest } = options;
  const sheet = sheetOf(job);
  const sheetMade = (
    number: number,
    from: StencilValues['source'],
    own: Job,
    pipeline: Pipeline,
  ) => {
    onLayer?.(number - 1, 2);
    return makeStencil(from, own, {
      ...rest,
      pipeline,
      says: `, layer ${number} of 2`,
      of: { ...of, made: `layer ${number} of 2` },
      timeless: true,
      words,
    });
  };
  const over = await sheetMade(2, source, { ...edited, paint: last }, createWordsPipeline());
  const says = under.under === 'outline' ? 'An outline round' : 'A shadow of';
  const why = `${says} the words “${linesOf(wish.words).join(' / ')}”.`;
  const below = await openUnder(source, over.run.values, { ...under, ...job }, why);
  // A person's edits are made on the letters.
  const plain: Job = { ...job, paint: first, bridgeEdits: [], bridgeFree: [], regionEdits: [] };
  const base = await sheetMade(1, below.source, plain, createUnderPipeline(below.bridges));
  const [lower, upper] = [base, over].map((made) =>
    withoutRegisterMarks(made.run.values.frame.openings, sheet, job),
  );
  const layers: readonly Layer[] = [
    { folder: 'layer-1', made: base, paint: first, onLayerBefore: null },
    { folder: 'layer-2', made: over, paint: last, onLayerBefore: shareOn(upper, lower, over) },
  ];
  return assembleLayers(layers, job, {
    name: options.name,
    of,
    laid: 'nested',
    overlapMm: 0,
    words,
  });
}

function refuse({ set, picture }: WordsWish, job: Job): void {
  const kinds = [
    [job.as !== 'stencil', '`as`', 'cut as a stencil'],
    [job.repeat !== 'none', '`repeat`', 'made once on the card'],
    [job.fold !== 'none', '`fold`', 'cut from a flat sheet'],
    [set.picture !== null || picture !== undefined, '`picture`', 'made of words alone'],
  ] as const;
  const found = kinds.find(([isSo]) => isSo);
  if (!found) return;
  throw new Problem(
    `An outline or a shadow under letters is ${found[2]}`,
    `\`under\`, ${found[1]}`,
    'Leave one of them out, or make two stencils',
  );
}

function aroundOf({ under, underBy }: UnderJob): RoomAround {
  return { before: under === 'outline' ? underBy : 0, after: underBy };
}
