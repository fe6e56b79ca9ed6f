import { completeJob } from '../../../src/settings/job.js';
import { api, type PictureInfo } from '../api.js';
import { sketchFineness } from '../fineness.js';
import type { PageJob } from '../typed.js';
import { errorMessage, isSuperseded, isToldWithResult } from './error-message.js';
import type { Store } from './store.js';
import { requestWords } from './words-request.js';

/** Sketches while a control moves. */
export interface LiveSketch {
  readonly start: () => void;
  readonly stop: () => void;
}

/** Asks for one sketch after another while a control moves: always of the latest settings, never two at a time. */
export function createLiveSketch(store: Store): LiveSketch {
  let busy = false;
  let again = false;

  const run = async () => {
    const { picture, draft } = store.state;
    if (!picture || !draft) return;
    busy = true;
    again = false;
    try {
      const sketch = await requestSketch(picture, draft);
      if (store.state.draft) store.change({ sketch });
    } catch (error) {
      // Why no exact one comes is told once the control rests.
      if (store.state.draft && !isSuperseded(error) && !isToldWithResult(error))
        store.change({ trouble: errorMessage(error) });
    }
    busy = false;
    if (again) void run();
  };

  return {
    stop() {
      again = false;
    },
    start() {
      again = true;
      if (!busy) void run();
    },
  };
}

/** A coarse stencil, for the hand that moves a control. */
async function requestSketch({ id }: PictureInfo, { words, ...given }: PageJob) {
  const coarse = { ...given, fineness: sketchFineness(completeJob(given)) };
  return words ? requestWords(words, coarse, 'live') : api.sketch(id, coarse, 'large', false);
}
