import { api, type PictureInfo } from '../api.js';
import type { LayersInput } from '../layers-input.js';
import { settingsOf, type PageJob } from '../typed.js';
import { errorMessage } from './error-message.js';
import type { Store } from './store.js';

/** Milliseconds that an object URL is kept for a browser that saves from it: it has begun long before. Common practice, no source. */
const SAVING_MS = 60_000;

/** Files of the result, saved or printed. */
export function createDownloadActions(store: Store) {
  return {
    /** Saves a file of the result. */
    async take(which: string) {
      const { picture, history, layers } = store.state;
      if (!picture) return;
      store.change({ trouble: undefined });
      try {
        const { name, blob } =
          layers && which === 'all' && !history.now.words
            ? await api.layersFiles(picture.id, settingsOf(history.now), layers)
            : await resultFile(picture, which, history.now, { layers });
        save(name, blob);
      } catch (error) {
        store.change({ trouble: errorMessage(error) });
      }
    },
    /** Opens the true-size print in a tab of its own, from which the browser prints. */
    async print() {
      const { picture, history } = store.state;
      if (!picture) return;
      // Opened at once: a window that waits for an answer first is taken for an advertisement.
      const tab = window.open('', '_blank');
      try {
        const { blob } = await resultFile(picture, 'template', history.now);
        if (tab) tab.location.href = URL.createObjectURL(blob);
        else save(`${picture.name}-template.pdf`, blob);
      } catch (error) {
        tab?.close();
        store.change({ trouble: errorMessage(error) });
      }
    },
  };
}

/** A file of the result: of a picture, or of words. */
export function resultFile(
  { id }: Pick<PictureInfo, 'id'>,
  which: string,
  { words, ...job }: PageJob,
  { layers, signal }: { layers?: LayersInput | undefined; signal?: AbortSignal } = {},
) {
  return words
    ? api.wordsFile(which, { words, job, layers }, signal)
    : api.file(id, which, job, signal);
}

export function save(name: string, blob: Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), SAVING_MS);
}
