/** What a program may import. */
export type {
  Batch,
  BatchOptions,
  FailedRow,
  Figures,
  Gone,
  MadeRow,
  SummaryRow,
} from './makings/batch/batch.js';
export {
  LARGEST_MM,
  MM_PER_INCH,
  namedCards,
  parseCard,
  unitOf,
  type NamedCard,
  type Sheet,
  type CardTurn,
} from './settings/card.js';
export type { Area, BridgeEdit, Place, RegionEdit, StrokeEdit } from './settings/edits.js';
export { STROKE_WIDTH, type Loop, type Mark, type Spot } from './settings/marks.js';
export {
  checkSettings,
  completeJob,
  overlay,
  settings,
  sheetOf,
  toolLimits,
  type Job,
  type JobInput,
  type SettingsOrigin,
  type Setting,
  type SettingName,
} from './settings/job.js';
export {
  filmFiles,
  layOnFilm,
  openStencils,
  readStencil,
  stencilOf,
  provenanceOfFilm,
  writeFilm,
  type Card,
  type FullSheets,
  type FilmSheet,
  type PathContents,
  type Stencil,
} from './makings/full-sheets/full-sheets.js';
export {
  checkHand,
  glueMeasures,
  glueSettings,
  handSettings,
  handSettingsFor,
  scissorsSettings,
  type SavedHand,
  type HandInput,
} from './makings/practice/hands.js';
export { findHand, forgetHand, readHands, saveHand } from './makings/practice/hands-file.js';
export type { Rectification } from './settings/rectification.js';
export {
  showLayers,
  showPage,
  showPicture,
  showSketch,
  showStencil,
  stagesToAdvise,
  stagesToRank,
  stagesToShow,
  stagesToSketch,
  tellAdvice,
  type Advised,
  type LayersLook,
  type Screen,
  type PictureLook,
  type Sketch,
} from './makings/look.js';
export {
  figuresOf,
  keptInWords,
  makeFor,
  makeInPlace,
  makeStencil,
  nameKey,
  outputNames,
  outputsIn,
  pictureAt,
  pictureGiven,
  prepareDrawing,
  Stopped,
  takenInWords,
  withEarlier,
  writeMade,
  type DrawingThread,
  type KeptFile,
  type Made,
  type MadeFrom,
  type MakeOptions,
  usualOutputs,
  type OutputName,
  type ResultFolder,
  type Provenance,
  type FolderRequest,
} from './makings/stencil.js';
export {
  createPipeline,
  createSketchPipeline,
  toneChoices,
  type Bridge,
  type Bridged,
  type Checked,
  type CutPlan,
  type Finding,
  type KeptLikeness,
  type Picture,
  type Pipeline,
  type PlannedPiece,
  type StencilRun,
  type StencilStage,
  type StencilValues,
  type DrawnStrokes,
  type Survival,
  type Tone,
  type ToneChoice,
  type ToneSettings,
} from './pipeline/pipeline.js';
export { practiceRows, SNIP_LAYERS, SNIPS, type Skill } from './makings/practice/practice-strip.js';
export { makePractice, writePractice } from './makings/practice/practice.js';
export { counted } from './settings/words/counted.js';
export { inUnit } from './settings/words/lengths.js';
export { shortfallIn } from './settings/words/shortfall.js';
export { didYouMean, nearestWord } from './settings/words/nearest.js';
export { Problem } from './settings/problem.js';
export {
  readLayersTold,
  readSettingsFile,
  readWordsTold,
  type LayersTold,
} from './disk/settings-file.js';
export { unusedByOutputs, unusedOnSheets, unusedSettings } from './pipeline/unused-settings.js';
export { visible, visibleJson } from './settings/words/visible.js';
export { spelt } from './settings/words/spelling.js';
export type { TriedTone } from './makings/tones.js';
export { costOf, optionsOf, toneTitle, type ToneInput } from './settings/words/tone.js';

/** See `makeBatch` in batch.ts, which is loaded when it is first called: one picture needs nothing of it. */
export const makeBatch: typeof import('./makings/batch/batch.js').makeBatch = async (...given) => {
  const batch = await import('./makings/batch/batch.js');
  return batch.makeBatch(...given);
};

/** See `tryTones` in tones.ts, which is loaded when it is first called. */
export const tryTones: typeof import('./makings/tones.js').tryTones = async (...given) => {
  const tones = await import('./makings/tones.js');
  return tones.tryTones(...given);
};

/** See `writeTones` in tones.ts. */
export const writeTones: typeof import('./makings/tones.js').writeTones = async (...given) => {
  const tones = await import('./makings/tones.js');
  return tones.writeTones(...given);
};
export {
  completeLayers,
  layerSettings,
  type LayerPlace,
  type LayersJob,
  type LayerSettingName,
} from './settings/layer-settings.js';
export type { Layer, LayersMade, LayersOptions } from './makings/paint-layers.js';

/** See `makeLayers` in paint-layers.ts, which is loaded when it is first called: one stencil needs nothing of it. */
export const makeLayers: typeof import('./makings/paint-layers.js').makeLayers = async (
  ...given
) => {
  const layers = await import('./makings/paint-layers.js');
  return layers.makeLayers(...given);
};

/** See `writeLayers` in paint-layers.ts. */
export const writeLayers: typeof import('./makings/paint-layers.js').writeLayers = async (
  ...given
) => {
  const layers = await import('./makings/paint-layers.js');
  return layers.writeLayers(...given);
};

/** See `makeLayerAgain` in paint-layers.ts. */
export const makeLayerAgain: typeof import('./makings/paint-layers.js').makeLayerAgain = async (
  ...given
) => {
  const layers = await import('./makings/paint-layers.js');
  return layers.makeLayerAgain(...given);
};

/** See `filesOfLayers` in paint-layers.ts. */
export const filesOfLayers = async (
  ...given: Parameters<typeof import('./makings/paint-layers.js').filesOfLayers>
): Promise<ReturnType<typeof import('./makings/paint-layers.js').filesOfLayers>> => {
  const layers = await import('./makings/paint-layers.js');
  return layers.filesOfLayers(...given);
};
export {
  completeLettering,
  completeSheets,
  letteringSettings,
  NO_EDITS,
  sheetSettings,
  typefaceKinds,
  type LetteringJob,
  type LetteringTold,
  type LetterPlace,
  type SheetsJob,
  type SheetsTold,
} from './settings/lettering-settings.js';
export type {
  TypefaceOffer,
  TypefaceSample,
  WordsOptions,
  WordsShown,
  FontGiven,
  WordsWish,
} from './makings/words.js';

/** The functions of words.ts, which is loaded when one is first called: a picture alone needs nothing of it. */
const lettering = (): Promise<typeof import('./makings/words.js')> => import('./makings/words.js');

/** See words.ts, as of all below. */
export const makeWords = async (
  ...given: Parameters<typeof import('./makings/words.js').makeWords>
): ReturnType<typeof import('./makings/words.js').makeWords> =>
  (await lettering()).makeWords(...given);

/** See `makeWordLayers` in word-layers.ts. */
export const makeWordLayers: typeof import('./makings/word-layers.js').makeWordLayers = async (
  ...given
) => {
  const layers = await import('./makings/word-layers.js');
  return layers.makeWordLayers(...given);
};

export const showWords = async (
  ...given: Parameters<typeof import('./makings/words.js').showWords>
): ReturnType<typeof import('./makings/words.js').showWords> =>
  (await lettering()).showWords(...given);

export const typefaceSamples = async (
  ...given: Parameters<typeof import('./makings/words.js').typefaceSamples>
): ReturnType<typeof import('./makings/words.js').typefaceSamples> =>
  (await lettering()).typefaceSamples(...given);

export const nameOfWords = async (
  ...given: Parameters<typeof import('./makings/words.js').nameOfWords>
): Promise<string> => (await lettering()).nameOfWords(...given);

export const provenanceOfWords = async (
  ...given: Parameters<typeof import('./makings/words.js').provenanceOfWords>
): ReturnType<typeof import('./makings/words.js').provenanceOfWords> =>
  (await lettering()).provenanceOfWords(...given);

export const typefaceOffers = async (
  ...given: Parameters<typeof import('./makings/words.js').typefaceOffers>
): ReturnType<typeof import('./makings/words.js').typefaceOffers> =>
  (await lettering()).typefaceOffers(...given);

export const writeSpecimen = async (
  ...given: Parameters<typeof import('./makings/words.js').writeSpecimen>
): ReturnType<typeof import('./makings/words.js').writeSpecimen> =>
  (await lettering()).writeSpecimen(...given);
