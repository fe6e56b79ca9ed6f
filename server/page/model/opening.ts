import type { PictureInfo } from '../api.js';
import { begin, type History } from '../history.js';
import { forNextPicture, type Setup } from '../setup.js';
import { isWords } from '../typed.js';
import { pushAddress } from './address-bar.js';
import { errorMessage } from './error-message.js';
import type { ExactResult } from './exact-result.js';
import type { LiveSketch } from './live-sketch.js';
import { NO_RESULT_YET, type Tray } from './page-state.js';
import type { Steps } from './steps.js';
import type { Store } from './store.js';

/** A picture that was fetched, to be shown. */
interface OpenedPicture {
  readonly picture: PictureInfo;
  /** Its own settings, where it has some. */
  readonly history?: History<Setup> | undefined;
  readonly tray?: Tray | undefined;
}

/** How one picture takes the place of another. Of several that are being opened the last one that was given wins. */
export interface Opening {
  /**
   * Shows a picture once it has come.
   *
   * @param name what is said to be opened meanwhile
   */
  readonly open: (name: string, fetchPicture: () => Promise<OpenedPicture>) => Promise<void>;
  /** Gives up what is being opened, made and sketched: something else takes its place. */
  readonly abandon: () => void;
}

export function createOpening(
  store: Store,
  exact: ExactResult,
  live: LiveSketch,
  steps: Steps,
): Opening {
  /** Counts what was opened. */
  let newest = 0;
  const show = ({ picture, history, tray }: OpenedPicture) => {
    const before = store.state;
    exact.stop();
    live.stop();
    if (before.print !== undefined) URL.revokeObjectURL(before.print);
    const setups = history ?? setupsFor(store, picture);
    store.change({ ...NO_RESULT_YET, picture, opening: undefined, tray }, setups);
    steps.endStep();
    if (before.picture?.id !== picture.id) pushAddress(store);
    exact.start();
  };
  return {
    async open(name, fetchPicture) {
      const mine = ++newest;
      store.change({ opening: name, trouble: undefined });
      try {
        const opened = await fetchPicture();
        if (mine === newest) show(opened);
      } catch (error) {
        if (mine === newest) store.change({ opening: undefined, trouble: errorMessage(error) });
      }
    },
    abandon() {
      exact.stop();
      live.stop();
      newest++;
    },
  };
}

/**
 * The settings that a picture begins with: all of them where it is the first one, or the one that failed and is given
 * again; else what does not belong to the picture before it.
 */
function setupsFor({ state, setups }: Store, { name }: PictureInfo): History<Setup> {
  const isFirst = state.picture === undefined;
  const isGivenAgain = state.failure !== undefined && state.picture?.name === name;
  const hadWords = state.picture !== undefined && isWords(state.picture);
  return (isFirst || isGivenAgain) && !hadWords ? setups : begin(forNextPicture(setups.now));
}
