import type { JobInput } from '../../../src/index.js';
import { api, type TypedWords } from '../api.js';
import { begin } from '../history.js';
import { layersAlone, type LayersInput } from '../layers-input.js';
import type { Setup } from '../setup.js';
import { wordsInfo } from '../typed.js';
import { pushAddress } from './address-bar.js';
import { errorMessage } from './error-message.js';
import type { Opening } from './opening.js';
import { NOTHING_OPEN } from './page-state.js';
import type { Steps } from './steps.js';
import type { Store } from './store.js';

/** What is known of words that are opened. */
interface WordsOpened {
  /** The browser's Back or Forward led to them: they have an address. */
  readonly isBack?: boolean;
  readonly layers?: LayersInput | undefined;
}

/** Begins with words instead of a picture, or goes on with others. */
export type OpenWords = (words: TypedWords, job: JobInput, how?: WordsOpened) => void;

export const createOpenWords =
  (store: Store, { abandon }: Opening, { go, goOn }: Steps): OpenWords =>
  (words, job, { isBack = false, layers } = {}) => {
    const { now } = store.setups;
    const isGoingOn = store.state.picture && now.job.words !== undefined;
    const wanted = layers ?? (isGoingOn ? now.layers : undefined);
    const next: Setup = {
      job: { ...job, words },
      layers: words.picture === undefined ? layersAlone(wanted) : wanted,
    };
    if (isGoingOn) return goOn(next);
    abandon();
    store.change({ ...NOTHING_OPEN, picture: wordsInfo(words) });
    if (!isBack) pushAddress(store);
    go(begin(next));
  };

/** What is given to words that are typed. */
export function createWordsActions(store: Store, openWords: OpenWords) {
  /** Goes on with the words that `change` makes of the present ones, where there are some. */
  const goOnWith = async (change: (words: TypedWords) => Promise<TypedWords>) => {
    const { words, ...job } = store.setups.now.job;
    if (!words) return;
    try {
      openWords(await change(words), job);
    } catch (error) {
      store.change({ trouble: errorMessage(error) });
    }
  };
  return {
    /** Lays a picture beside the words. */
    putBeside: (file: File) =>
      goOnWith(async (words) => ({ ...words, picture: (await api.upload(file, file.name)).id })),
    /** Sets the words in a font file of her own. */
    setInFont: (file: File) =>
      goOnWith(async (words) => {
        const { id } = await api.uploadFont(file, file.name);
        // One that can't be used is told now, and the typeface before it stays.
        await api.typefaces(words.lines, {}, id);
        return { ...words, font: id };
      }),
  };
}
