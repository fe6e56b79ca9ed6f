import type { JobInput } from '../../../src/index.js';
import { api, type TypedWords, type WordsTold } from '../api.js';

/** This page among others that are open, in what it asks of the server about words. */
const PAGE = Math.random().toString(36).slice(2);

/** A stencil of words. A newer request for the same view takes the place of one that is not answered yet. */
export const requestWords = (
  words: TypedWords,
  job: JobInput,
  view: 'exact' | 'live',
  signal?: AbortSignal,
): Promise<WordsTold> => api.words(words, job, `${PAGE}${view}`, signal);
