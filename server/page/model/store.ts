import { begin, type History } from '../history.js';
import type { Setup } from '../setup.js';
import { NOTHING_OPEN, type PageState } from './page-state.js';

type Listener = (state: PageState) => void;

/** The one place that holds the page's state. */
export interface Store {
  readonly state: PageState;
  /** The history of what is undone together; what the state shows of it follows. */
  readonly setups: History<Setup>;
  /** Changes parts of the state, the history of setups with them where one is given, and tells whoever listens. */
  readonly change: (part: Partial<PageState>, setups?: History<Setup>) => void;
  /** Returns what ends the listening. */
  readonly listen: (listener: Listener) => () => boolean;
}

export function createStore(): Store {
  let state = NOTHING_OPEN;
  let setups: History<Setup> = begin<Setup>({ job: {} });
  const listeners = new Set<Listener>();
  return {
    get state() {
      return state;
    },
    get setups() {
      return setups;
    },
    change(part, next) {
      if (next) setups = next;
      state = { ...state, ...part, ...(next && shownOf(next)) };
      for (const listener of listeners) listener(state);
    },
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

function shownOf({ past, now, future }: History<Setup>): Pick<PageState, 'history' | 'layers'> {
  const jobsOf = (each: readonly Setup[]) => each.map(({ job }) => job);
  return {
    history: { past: jobsOf(past), now: now.job, future: jobsOf(future) },
    layers: now.layers,
  };
}
