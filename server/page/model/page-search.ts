import { api } from '../api.js';
import { errorMessage, isGone, isSilent } from './error-message.js';
import type { Store } from './store.js';

/**
 * Looks for the page of a sketchbook in a picture, by the picture's id, so that whoever photographed one on a table is
 * offered to have it laid flat. Each picture is looked at once.
 */
export function createPageSearch(store: Store): (of: string) => Promise<void> {
  /** The corners of the page in each picture that was looked at; null where there is none. */
  const pages = new Map<string, string | null>();
  return async (of) => {
    if (store.state.pageSeen?.of === of) return;
    try {
      const known = pages.get(of);
      const corners = known === undefined ? (await api.page(of)).page : known;
      pages.set(of, corners);
      if (corners !== null) store.change({ pageSeen: { of, corners } });
    } catch (error) {
      // The result is none the worse; the next one asks again.
      if (!isSilent(error) && !isGone(error)) store.change({ trouble: errorMessage(error) });
    }
  };
}
