import type { PictureInfo } from '../api.js';
import { replaceAddress } from './address-bar.js';
import { errorMessage, isGone, isSilent, isSuperseded } from './error-message.js';
import { createStencilRequest } from './stencil-request.js';
import type { Store } from './store.js';
import { uploadAgain } from './uploads.js';

/**
 * Waits so many milliseconds for another change before it asks for the exact result: a moving slider sends several in
 * that time.
 */
const PAUSE_MS = 60;
/**
 * Milliseconds after which a server that did not answer is asked again: twice as long each time, up to the longest, since
 * a browser writes each of them to its console. Whoever comes back to the page from the server's terminal need not wait.
 */
const AGAIN_MS = { first: 3000, longest: 60_000 } as const;

/** When the exact result is asked for, and what happens where it can't be had. */
export interface ExactResult {
  readonly start: () => void;
  readonly stop: () => void;
}

export function createExactResult(store: Store): ExactResult {
  const request = createStencilRequest(store);
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let asking = new AbortController();
  let againMs: number = AGAIN_MS.first;

  const stop = () => {
    clearTimeout(waiting);
    asking.abort();
    againMs = AGAIN_MS.first;
  };

  const run = async () => {
    const { picture } = store.state;
    if (!picture) return;
    asking = new AbortController();
    const { signal } = asking;
    try {
      await request(picture, signal).catch(async (error: unknown) => {
        if (signal.aborted || !isGone(error) || !(await bringBack(store, picture))) throw error;
        const again = store.state.picture;
        if (again && !signal.aborted) await request(again, signal);
      });
    } catch (error) {
      if (signal.aborted || isSuperseded(error)) return;
      showFailure(store, error);
      if (!isSilent(error)) return;
      waiting = setTimeout(() => void run(), againMs);
      againMs = Math.min(2 * againMs, AGAIN_MS.longest);
    }
  };
  window.addEventListener('focus', () => {
    if (store.state.failure?.by !== 'server') return;
    stop();
    void run();
  });

  return {
    stop,
    start() {
      stop();
      if (!store.state.picture) return;
      store.change({ working: true });
      waiting = setTimeout(() => void run(), PAUSE_MS);
    },
  };
}

/** Gives the server a picture that it has forgotten; false where the browser has not kept it. */
async function bringBack(store: Store, { id, name }: PictureInfo): Promise<boolean> {
  const again = await uploadAgain(id);
  if (!again) return false;
  store.change({ picture: { ...again, name } });
  replaceAddress(store);
  return true;
}

/** The last good result stays, and is said to be one of earlier settings. */
function showFailure(store: Store, error: unknown): void {
  const by = isSilent(error) ? 'server' : 'settings';
  store.change({
    sketch: store.state.screen,
    working: false,
    outdated: true,
    failure: { ...errorMessage(error), by },
  });
}
