import { completeJob, overlay } from '../../../src/settings/job.js';
import { readJobFile } from '../address.js';
import { layersInReport } from '../layers-input.js';
import { settingsOf } from '../typed.js';
import { errorMessage, type ErrorMessage } from './error-message.js';
import type { Steps } from './steps.js';
import type { Store } from './store.js';
import type { OpenWords } from './typed-words.js';

const NO_JOB: ErrorMessage = {
  what: 'This file holds no settings',
  remedy: 'Open a job file that was saved here, or the report of a stencil',
};

export const isJobFile = ({ name, type }: File): boolean =>
  /\.json$/i.test(name) || type === 'application/json';

/** Takes settings from a job file or a report. */
export const createOpenJob =
  (store: Store, { goOn }: Steps, openWords: OpenWords) =>
  async (file: Blob): Promise<void> => {
    try {
      const text = await file.text();
      const job = readJobFile(text);
      // Checks them together too, and lets what only followed from card and tool follow again.
      const settings = settingsOf(job);
      completeJob(settings);
      const meantBy = overlay(settings, { swap: settings.swap ?? false });
      const { now } = store.setups;
      const words = job.words ?? (store.state.picture && now.job.words);
      if (words) openWords(words, meantBy, { layers: layersInReport(text) });
      else goOn({ ...now, job: meantBy });
    } catch (error) {
      store.change({ trouble: error instanceof SyntaxError ? NO_JOB : errorMessage(error) });
    }
  };
