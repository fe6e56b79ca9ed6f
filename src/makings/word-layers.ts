import { withoutRegisterMarks } from '../geometry/register-marks.js';
import type { Shape } from '../geometry/shape.js';
import {
  carryLayer,
  carryUnder,
  createWordsPipeline,
  type PictureBeside,
} from '../pipeline/words.js';
import type { LayerGround, WordsSource } from '../pipeline/pipeline.js';
import { sheetOf, type Job } from '../settings/job.js';
import {
  NO_EDITS,
  type LetteringTold,
  type SheetEdits,
  type SheetsJob,
  type SheetsTold,
  type UnderJob,
} from '../settings/lettering-settings.js';
import { namingThe, Problem } from '../settings/problem.js';
import {
  assembleLayers,
  paintSteps,
  sayingLayer,
  shareOn,
  type Layer,
  type LayersMade,
  type LayersOptions,
} from './paint-layers.js';
import { makeStencil, type Made } from './stencil.js';
import {
  drawBeside,
  drawWords,
  editsNow,
  layWords,
  pictureBeside,
  provenanceOfWords,
  setTold,
  type LaidWords,
  type WordsWish,
} from './words.js';
import type { PlacedWords, RoomAround } from './words-placement.js';

/** The sheets of words, and what was edited on them. */
export type SheetsWish = SheetsJob & Partial<Pick<SheetsTold, 'edits'>>;

/** Words as a set of layers, with where their letters stand, and a person's edits as they have gone with these. */
export interface WordLayersMade extends LayersMade {
  readonly letters: LaidWords['letters'];
  readonly bridgeEdits: Job['bridgeEdits'];
}

/**
 * Makes words, and a picture beside them, as several stencils, one for each paint. Nothing is written.
 *
 * The letters are on the last sheet. Of a picture, the last sheets have its layers, the darkest of them with the
 * letters. An outline round the letters or a shadow that they cast is on the first sheet: the shadow is the letters moved
 * along a diagonal to the lower right, all the way; the outline is what lies within so many mm of them. Film too narrow to
 * hold between two letters of it is left out: the letters' own sheet parts them.
 *
 * @param job its edits are those of the last sheet
 * @throws Problem as `makeWords`, and for a mask, a fold, lines of glue, layers of words alone, and a layer with nothing to
 *   cut
 */
export async function makeWordLayers(
  wish: WordsWish,
  sheets: SheetsWish,
  job: Job,
  options: LayersOptions,
): Promise<WordLayersMade> {
  refuse(wish, sheets, job);
  const laid = await layWords(wish, job, undefined, aroundOf(sheets));
  const edits = Array.from({ length: sheets.count }, (_, k) =>
    editsNow(editsOf(k, sheets, job), wish, laid),
  );
  const of = options.of ?? { ...(await provenanceOfWords(wish)), made: 'layers' as const };
  const told = {
    lines: laid.lines,
    set: setTold(wish),
    letters: laid.letters,
    sheets: { ...sheets, paint: job.paint, edits: edits.map(({ edited }) => edited) },
  };
  const paints = sheets.paints ?? paintSteps(job, sheets.count);
  const make = () =>
    madeSheets({ wish, sheets, job, laid, paints, edits, told }, { ...options, of });
  const { source } = laid.placed.beside ?? {};
  const layers = await (source === undefined ? make() : namingThe(source, make));
  const set = await assembleLayers(layers, job, {
    name: options.name,
    of,
    laid: sheets.laid,
    overlapMm: sheets.overlap,
    words: told,
  });
  const { bridgeEdits } = edits[sheets.count - 1].edited;
  return { ...set, letters: laid.letters, bridgeEdits };
}

/** All that the sheets are made from. */
interface SheetsGround {
  readonly wish: WordsWish;
  readonly sheets: SheetsJob;
  readonly job: Job;
  readonly laid: LaidWords;
  readonly paints: readonly string[];
  readonly edits: readonly ReturnType<typeof editsNow<SheetEdits>>[];
  readonly told: LetteringTold & { readonly sheets: SheetsTold };
}

/** The sheets in the order of painting; the last is made first, as the others are told what its openings cover. */
async function madeSheets(
  ground: SheetsGround,
  options: LayersOptions & Required<Pick<LayersOptions, 'of'>>,
): Promise<readonly Layer[]> {
  const { wish, sheets, job, laid, paints, edits, told } = ground;
  const { count } = sheets;
  const { onLayer, of, ...rest } = options;
  const picture = await pictureLayers(laid.placed, sheets);
  const layers: Layer[] = [];
  let letters: { readonly source: WordsSource; readonly made: Made } | undefined;
  let above: readonly Shape[] = [];
  for (let k = count - 1; k >= 0; k--) {
    onLayer?.(k, count);
    const own: Job = { ...job, ...edits[k].edited, paint: paints[k] };
    const { source, made } = await sayingLayer(k + 1, count, async () => {
      const beside = await picture.on(k, own);
      const below = k === 0 && letters ? await underLetters(letters, sheets, own, told.lines) : [];
      const findings = k === count - 1 ? [...laid.findings, ...edits[k].findings] : [];
      const source = await (k === count - 1
        ? drawWords(laid.placed, wish.set, { job: own, findings, beside })
        : drawBeside(laid.placed, own, [...below, ...beside]));
      const made = await makeStencil(source, own, {
        ...rest,
        pipeline: createWordsPipeline(),
        says: `, layer ${k + 1} of ${count}`,
        of: { ...of, made: `layer ${k + 1} of ${count}` },
        timeless: true,
        words: { ...told, sheets: { ...told.sheets, number: k + 1 } },
      });
      return { source, made };
    });
    letters ??= { source, made };
    const openings = withoutRegisterMarks(made.run.values.frame.openings, sheetOf(job), job);
    const next = layers.at(0);
    if (next) layers[0] = { ...next, onLayerBefore: shareOn(above, openings, made) };
    const level = picture.levelOf(k);
    layers.unshift({
      folder: `layer-${k + 1}`,
      made,
      ...(level !== undefined && { level }),
      paint: paints[k],
      onLayerBefore: null,
    });
    above = openings;
  }
  return layers;
}

/** What the sheets have of the picture beside the words: nothing, where there is none. */
async function pictureLayers({ beside }: PlacedWords, sheets: SheetsJob) {
  const before = sheets.count - sheets.layers;
  let ground: LayerGround | undefined;
  if (beside && sheets.layers > 1) {
    const wanted = { ...sheets, count: sheets.layers };
    ground = await beside.picture.part(beside.job, wanted);
  }
  let painted: readonly Shape[] = [];
  return {
    levelOf: (k: number): number | undefined => ground?.levels.at(k - before),
    /** On the sheet of this place, from the last one to the first. */
    async on(k: number, job: Job): Promise<PictureBeside[]> {
      if (!beside || k < before) return [];
      const toned = ground?.toned(k - before, painted);
      const one = await pictureBeside(beside, job, (own) =>
        toned ? carryLayer(toned, own) : beside.picture.carry(own),
      );
      painted = [...painted, ...one.picture.bridge.openings];
      return [one];
    },
  };
}

/** What is painted under letters that are made, where that is wanted. */
async function underLetters(
  { source, made }: { readonly source: WordsSource; readonly made: Made },
  { under, underBy }: UnderJob,
  job: Job,
  lines: readonly string[],
): Promise<PictureBeside[]> {
  if (under === 'none') return [];
  const says = under === 'outline' ? 'An outline round' : 'A shadow of';
  const why = `${says} the words “${lines.join(' / ')}”.`;
  const { values } = made.run;
  return [
    { picture: await carryUnder(source, values, { ...job, under, underBy }, why), x: 0, y: 0 },
  ];
}

/** What a person edited on a sheet. */
function editsOf(k: number, { count, edits }: SheetsWish, job: Job): SheetEdits {
  const { bridgeEdits, bridgeFree, regionEdits } = job;
  if (k === count - 1) return { bridgeEdits, bridgeFree, regionEdits };
  return edits?.at(k) ?? NO_EDITS;
}

function refuse({ set, picture }: WordsWish, { layers }: SheetsJob, job: Job): void {
  const kinds = [
    [job.as !== 'stencil', '`as`', 'cut as stencils'],
    [job.fold !== 'none', '`fold`', 'cut from flat sheets'],
  ] as const;
  const found = kinds.find(([isSo]) => isSo);
  if (found) {
    throw new Problem(
      `Words in several paints are ${found[2]}`,
      `\`under\`, \`layers\`, ${found[1]}`,
      'Leave one of them out, or make two stencils',
    );
  }
  if (job.repeat !== 'none' && (set.picture !== null || picture !== undefined)) {
    throw new Problem(
      'Motifs of words and a picture are painted in one colour',
      '`repeat`, `under`, `layers`',
      'Leave one of them out, or repeat the words alone',
    );
  }
  if (layers === 1 || set.picture !== null || picture !== undefined) return;
  throw new Problem(
    'Words alone have no darks and lights that could be parted into layers',
    '`layers`',
    'Put a picture beside them (`picture`), or an outline or a shadow under them (`under`)',
  );
}

function aroundOf({ under, underBy }: UnderJob): RoomAround {
  if (under === 'none') return { before: 0, after: 0 };
  return { before: under === 'outline' ? underBy : 0, after: underBy };
}
