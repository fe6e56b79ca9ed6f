import { settingsOf } from './typed.js';
import { fromHash } from './address.js';
import { begin } from './history.js';
import { pushAddress, replaceAddress } from './model/address-bar.js';
import { createDownloadActions } from './model/downloads.js';
import type { ErrorMessage } from './model/error-message.js';
import { createExactResult } from './model/exact-result.js';
import { createOpenJob, isJobFile } from './model/job-file.js';
import { createLiveSketch } from './model/live-sketch.js';
import { createOpening, type Opening } from './model/opening.js';
import { NOTHING_OPEN } from './model/page-state.js';
import { createTrayActions } from './model/picture-tray.js';
import { createSettingActions, createSteps } from './model/steps.js';
import { createStore, type Store } from './model/store.js';
import { createOpenWords, createWordsActions, type OpenWords } from './model/typed-words.js';
import { findPicture, upload } from './model/uploads.js';
import { forNextPicture, type Setup } from './setup.js';

export { errorMessage } from './model/error-message.js';
export type { PageState, Tray } from './model/page-state.js';

export type PageModel = ReturnType<typeof createPageModel>;

/**
 * The page's memory: the picture, the settings and their history, what the server made of them, and all that a person
 * can do to them. Components draw the state and call these; nothing else changes it.
 */
export function createPageModel() {
  const store = createStore();
  const exact = createExactResult(store);
  const live = createLiveSketch(store);
  const steps = createSteps(store, exact, live);
  const opening = createOpening(store, exact, live, steps);
  const openWords = createOpenWords(store, opening, steps);
  const openJob = createOpenJob(store, steps, openWords);
  const { openTray, ...trayActions } = createTrayActions(store, opening);
  return {
    get state() {
      return store.state;
    },
    listen: store.listen,
    openJob,
    openWords,
    ...createSettingActions(store, steps, live),
    ...createWordsActions(store, openWords),
    ...createDownloadActions(store),
    ...createVisitActions(store, opening, openWords),
    ...trayActions,
    /** Opens what a person gives: a job file as settings, all else as pictures. */
    async receive(...files: readonly File[]) {
      for (const file of files.filter(isJobFile)) await openJob(file);
      const pictures = files
        .filter((file) => !isJobFile(file))
        .map((file) => ({ file, name: file.name || 'pasted.png' }));
      if (pictures.length === 0) return;
      if (pictures.length > 1) return openTray(pictures);
      const [{ file, name }] = pictures;
      return opening.open(name, async () => ({
        picture: await upload({ kind: 'file', name, file }),
      }));
    },
    openSample: (name: string, title: string) =>
      opening.open(title, async () => ({ picture: await upload({ kind: 'sample', name, title }) })),
    hush: () => store.change({ trouble: undefined }),
    tell: (trouble: ErrorMessage) => store.change({ trouble }),
  };
}

/** Coming to the page by its address, and going back to its beginning. */
function createVisitActions(store: Store, { open, abandon }: Opening, openWords: OpenWords) {
  return {
    /** Begins where the page's address says, and goes where Back and Forward lead. */
    async restore() {
      const { picture: id, job, layers } = fromHash(location.hash);
      abandon();
      // What was taken back of the same settings can be done again still.
      const isSameJob = JSON.stringify(job) === JSON.stringify(store.setups.now.job);
      const history = isSameJob ? store.setups : begin<Setup>(layers ? { job, layers } : { job });
      store.change(NOTHING_OPEN, history);
      if (job.words) return openWords(job.words, settingsOf(job), { isBack: true, layers });
      if (id === undefined) return;
      await open('your picture', async () => ({ picture: await findPicture(id), history }));
      replaceAddress(store);
    },
    /** To the beginning; Back comes back. */
    leave() {
      abandon();
      if (store.state.picture === undefined) return store.change(NOTHING_OPEN, store.setups);
      store.change(NOTHING_OPEN, begin(forNextPicture(store.setups.now)));
      pushAddress(store);
    },
  };
}
