/** What a program may import. */
export type { Batch, BatchOptions, FailedRow, Figures, Gone, MadeRow, Row } from './batch.js';
export { namedCards, parseCard, type NamedCard, type Sheet, type Turn } from './card.js';
export type { Area, BridgeEdit, Place, RegionEdit } from './edits.js';
export { STROKE_WIDTH, type Loop, type Mark, type Spot } from './marks.js';
export {
  checkSettings,
  completeJob,
  overlay,
  settings,
  sheetOf,
  toolLimits,
  type Job,
  type JobInput,
  type Origin,
  type Setting,
  type SettingName,
} from './job.js';
export {
  filmFiles,
  layOnFilm,
  openStencils,
  readStencil,
  stencilOf,
  subjectOfFilm,
  writeFilm,
  type Card,
  type Film,
  type FilmSheet,
  type Held,
  type Stencil,
} from './film.js';
export { checkHand, handSettings, type Hand, type HandInput } from './hands.js';
export { findHand, forgetHand, readHands, saveHand } from './hands-file.js';
export {
  showPicture,
  showSketch,
  showStencil,
  stagesToAdvise,
  stagesToRank,
  stagesToShow,
  stagesToSketch,
  tellAdvice,
  type Advised,
  type Screen,
  type Shown,
  type Sketch,
} from './look.js';
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
  type Drawing,
  type Kept,
  type Made,
  type MadeFrom,
  type MakeOptions,
  usualOutputs,
  type OutputName,
  type Shelf,
  type Subject,
  type Wish,
} from './make.js';
export {
  createPipeline,
  createSketchPipeline,
  toneChoices,
  type Bridge,
  type Bridged,
  type Checked,
  type CutPlan,
  type Finding,
  type Likeness,
  type Picture,
  type Pipeline,
  type PlannedPiece,
  type StencilRun,
  type StencilStage,
  type StencilValues,
  type Survival,
  type Tone,
  type ToneChoice,
  type ToneSettings,
} from './pipeline.js';
export { practiceRows, type Skill } from './practice.js';
export { makePractice, writePractice } from './practise.js';
export { counted } from './counted.js';
export { didYouMean, nearest } from './nearest.js';
export { Problem } from './problem.js';
export { readLayersTold, readSettingsFile, type LayersTold } from './settings-file.js';
export { unusedByOutputs, unusedSettings } from './unused.js';
export { visible, visibleJson } from './visible.js';
export { spelt } from './spelling.js';
export { costOf, optionsOf, titleOf, type ToneInput, type Tried } from './tried.js';

/** See `makeBatch` in batch.ts, which is loaded when it is first called: one picture needs nothing of it. */
export const makeBatch: typeof import('./batch.js').makeBatch = async (...given) => {
  const batch = await import('./batch.js');
  return batch.makeBatch(...given);
};

/** See `tryTones` in tones.ts, which is loaded when it is first called. */
export const tryTones: typeof import('./tones.js').tryTones = async (...given) => {
  const tones = await import('./tones.js');
  return tones.tryTones(...given);
};

/** See `writeTones` in tones.ts. */
export const writeTones: typeof import('./tones.js').writeTones = async (...given) => {
  const tones = await import('./tones.js');
  return tones.writeTones(...given);
};
export {
  completeLayers,
  layerSettings,
  type LayerPlace,
  type LayersJob,
  type LayerSettingName,
} from './layer-settings.js';
export type { Layer, LayersMade, LayersOptions } from './layers.js';

/** See `makeLayers` in layers.ts, which is loaded when it is first called: one stencil needs nothing of it. */
export const makeLayers: typeof import('./layers.js').makeLayers = async (...given) => {
  const layers = await import('./layers.js');
  return layers.makeLayers(...given);
};

/** See `writeLayers` in layers.ts. */
export const writeLayers: typeof import('./layers.js').writeLayers = async (...given) => {
  const layers = await import('./layers.js');
  return layers.writeLayers(...given);
};

/** See `makeLayerAgain` in layers.ts. */
export const makeLayerAgain: typeof import('./layers.js').makeLayerAgain = async (...given) => {
  const layers = await import('./layers.js');
  return layers.makeLayerAgain(...given);
};

/** See `filesOfLayers` in layers.ts. */
export const filesOfLayers = async (
  ...given: Parameters<typeof import('./layers.js').filesOfLayers>
): Promise<ReturnType<typeof import('./layers.js').filesOfLayers>> => {
  const layers = await import('./layers.js');
  return layers.filesOfLayers(...given);
};
