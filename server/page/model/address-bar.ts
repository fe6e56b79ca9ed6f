import { toHash } from '../address.js';
import type { Store } from './store.js';

/** The address under which the page as it stands is found again. */
function addressOf({ state, setups }: Store): string {
  const { job, layers } = setups.now;
  const hash = toHash({ picture: state.picture?.id, job, layers });
  return hash === '' ? location.pathname : `#${hash}`;
}

/** Puts the page as it stands in the place of its last address: Back does not lead to that. */
export const replaceAddress = (store: Store): void =>
  window.history.replaceState(null, '', addressOf(store));

/** Adds the page as it stands to the browser's history: Back leads to what was before. */
export const pushAddress = (store: Store): void =>
  window.history.pushState(null, '', addressOf(store));
