import type { JobInput } from '../../../src/index.js';
import { completeJob } from '../../../src/settings/job.js';
import { api, type PictureInfo, type ScreenTold, type TypedWords } from '../api.js';
import type { LayersInput } from '../layers-input.js';
import { carried, settingsOf, type PageJob } from '../typed.js';
import { without } from '../without.js';
import { resultFile } from './downloads.js';
import { errorMessage, isSuperseded } from './error-message.js';
import { createPageSearch } from './page-search.js';
import type { PageState } from './page-state.js';
import type { Store } from './store.js';
import { requestWords } from './words-request.js';

type Request = (picture: PictureInfo, signal: AbortSignal) => Promise<void>;

/** The sheets of layers that were made last, and of what. */
interface LayersMade {
  readonly key: string;
  readonly shown: Required<Pick<PageState, 'screen' | 'layered'>>;
}

/** A result that is the one of the present settings. */
const UP_TO_DATE = { working: false, outdated: false, failure: undefined } as const;

/**
 * Asks the server for the exact result of the present settings, then for the picture of its print, and for advice where
 * that is due. Throws a Problem or a Trouble where there is no result.
 */
export function createStencilRequest(store: Store): Request {
  const lookForPage = createPageSearch(store);
  let made: LayersMade | undefined;
  return async (picture, signal) => {
    const { history, layers } = store.state;
    const { words, ...job } = history.now;
    completeJob(job);
    const key = layers && keyOf(picture, history.now, layers);
    // Other paints are the same sheets: they are there.
    if (key !== undefined && key === made?.key)
      return store.change({ ...made.shown, sketch: made.shown.screen, ...UP_TO_DATE });
    // What is drawn on a page that is to be found needs its shape.
    if (!words && job.page?.trim() === 'find') await lookForPage(picture.id);
    const screen = words
      ? await screenOfWords(store, words, job, signal)
      : await api.stencil(picture.id, job, signal);
    const layered = layers && (await layersOf(picture.id, store.state.history.now, layers, signal));
    if (key !== undefined && layered) made = { key, shown: { screen, layered } };
    // The one of the result before.
    if (store.state.print !== undefined) URL.revokeObjectURL(store.state.print);
    const result = { screen, layered, advised: undefined, sketch: screen, print: undefined };
    store.change({ ...result, ...UP_TO_DATE });
    if (!layers) await addPrintAndAdvice(store, picture.id, screen.adviceDue, signal);
    if (!words && !signal.aborted) await lookForPage(picture.id);
  };
}

/** What sheets of layers are made of: with the same key they are the same, whatever their paints. */
function keyOf(picture: PictureInfo, { words, ...job }: PageJob, layers: LayersInput): string {
  const typed = words && without(words, 'before');
  return JSON.stringify([picture.id, typed, job, without(layers, 'paints')]);
}

/** Edits of bridges have gone with their letters: the next one is made on where they are now. */
async function screenOfWords(
  store: Store,
  words: TypedWords,
  job: JobInput,
  signal: AbortSignal,
): Promise<ScreenTold> {
  const told = await requestWords(words, job, 'exact', signal);
  const { now } = store.setups;
  store.change({}, { ...store.setups, now: { ...now, job: carried(now.job, told) } });
  return told;
}

const layersOf = (
  id: string,
  { words, ...job }: PageJob,
  layers: LayersInput,
  signal: AbortSignal,
) => (words ? api.wordsLayers(words, job, layers, signal) : api.layers(id, job, layers, signal));

/** What comes after a good result; if it fails, the result is none the worse. */
async function addPrintAndAdvice(
  store: Store,
  id: string,
  isAdviceDue: boolean,
  signal: AbortSignal,
): Promise<void> {
  try {
    const job = store.state.history.now;
    const { blob } = await resultFile({ id }, 'preview', job, { signal });
    store.change({ print: URL.createObjectURL(blob) });
    if (isAdviceDue) store.change({ advised: await api.advice(id, settingsOf(job), signal) });
  } catch (error) {
    if (!signal.aborted && !isSuperseded(error)) store.change({ trouble: errorMessage(error) });
  }
}
