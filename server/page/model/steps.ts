import type { JobInput } from '../../../src/index.js';
import { meant, type SettingName } from '../../../src/settings/job.js';
import { redo, step, swapNow, undo, type History } from '../history.js';
import type { LayersInput } from '../layers-input.js';
import { aimedAt, merged, type Setup } from '../setup.js';
import { wordsInfo, type PageJob } from '../typed.js';
import { replaceAddress } from './address-bar.js';
import type { ExactResult } from './exact-result.js';
import type { LiveSketch } from './live-sketch.js';
import type { Store } from './store.js';

/**
 * Changes of one kind that follow each other within so many milliseconds are one step of a person: a held key repeats
 * far faster. Common practice, no source.
 */
const ONE_STEP_MS = 1200;

/** Changes of settings, which can be undone. */
export interface Steps {
  /** Shows a history, and asks for the result of its present setup. */
  readonly go: (history: History<Setup>) => void;
  /** One more step; or, where the one just before was of the same kind, still that step. */
  readonly goOn: (next: Setup, kind?: string) => void;
  /** The next change is a step of its own, whatever its kind. */
  readonly endStep: () => void;
}

export function createSteps(store: Store, exact: ExactResult, live: LiveSketch): Steps {
  let last: { readonly kind: string; readonly at: number } | undefined;
  const go = (history: History<Setup>) => {
    const { words } = history.now.job;
    store.change({ draft: undefined, ...(words && { picture: wordsInfo(words) }) }, history);
    live.stop();
    replaceAddress(store);
    exact.start();
  };
  return {
    go,
    goOn(next, kind) {
      const now = performance.now();
      const isSameStep = kind !== undefined && last?.kind === kind && now - last.at < ONE_STEP_MS;
      last = kind === undefined ? undefined : { kind, at: now };
      go(isSameStep ? swapNow(store.setups, next) : step(store.setups, next));
    },
    endStep() {
      last = undefined;
    },
  };
}

/** What the page's controls do to settings. */
export function createSettingActions(store: Store, { go, goOn }: Steps, live: LiveSketch) {
  return {
    /**
     * Changes settings; undefined and null unset one. While `isLive`, only a sketch follows. Those of one `kind` that
     * follow each other closely are one step.
     */
    set(part: Partial<Record<SettingName, unknown>>, isLive = false, kind?: string) {
      const { now } = store.setups;
      // A level that is set by itself means the tone level.
      const job = merged(now.job, meant(part as JobInput));
      if (!isLive) return goOn({ ...now, job }, kind);
      store.change({ draft: job });
      live.start();
    },
    /** Leaves the settings as they are, after a control moved and came back. */
    drop() {
      live.stop();
      store.change({ draft: undefined, sketch: store.state.screen });
    },
    /** Puts whole settings in the place of the present ones. */
    replace: (job: PageJob, kind?: string) => goOn({ ...store.setups.now, job }, kind),
    /** Says what is wanted: settings, and layers of paint or one stencil. */
    aim: (part: JobInput, layers: LayersInput | undefined) =>
      goOn(aimedAt(store.setups.now, part, layers)),
    undo: () => go(undo(store.setups)),
    redo: () => go(redo(store.setups)),
  };
}
