import type { Advised, JobInput, Sketch } from '../../src/index.js';
import { completeJob, meant, overlay, type SettingName } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { fromHash, readJobFile, toHash } from './address.js';
import { api, Trouble, type PictureInfo, type ScreenTold, type TypedWords } from './api.js';
import { sketchFineness } from './fineness.js';
import { without, withoutLists } from './without.js';
import { inLabels } from './words.js';
import { carried, settingsOf, wordsInfo, type PageJob } from './typed.js';
import { begin, redo, step, undo, type History } from './history.js';

/** What went wrong, for a person. */
export interface Words {
  readonly what: string;
  readonly remedy: string;
}

/** All that the page shows follows from this. */
export interface State {
  readonly picture: PictureInfo | undefined;
  /** The name of a picture that is being read. */
  readonly opening: string | undefined;
  readonly history: History<PageJob>;
  /** The settings while a control moves. */
  readonly draft: PageJob | undefined;
  /** The last exact result. */
  readonly screen: ScreenTold | undefined;
  /** What would help where the card is small for the picture, once it has been looked for. */
  readonly advised: Advised | undefined;
  /** What is drawn: newer and coarser than the exact result while a control moves. */
  readonly sketch: Sketch | undefined;
  readonly working: boolean;
  /** No stencil could be made of the present settings: the last exact result is one of earlier settings. */
  readonly outdated: boolean;
  readonly trouble: Words | undefined;
  /** The preview of the print, as an object URL. */
  readonly print: string | undefined;
}

const EMPTY: State = {
  picture: undefined,
  opening: undefined,
  history: begin<PageJob>({}),
  draft: undefined,
  screen: undefined,
  advised: undefined,
  sketch: undefined,
  working: false,
  outdated: false,
  trouble: undefined,
  print: undefined,
};

export type PageState = ReturnType<typeof createWork>;

/** The page's memory: the picture, the settings and their history, and what the server made of them. */
export function createWork() {
  let state = EMPTY;
  const listeners = new Set<(state: State) => void>();
  const change = (part: Partial<State>) => {
    state = { ...state, ...part };
    for (const listener of listeners) listener(state);
  };

  const remember = () => {
    const hash = toHash({ picture: state.picture?.id, job: state.history.now });
    window.history.replaceState(null, '', hash === '' ? location.pathname : `#${hash}`);
  };

  const exact = createExact(() => state, change);
  const live = createLive(() => state, change);

  const go = (history: History<PageJob>) => {
    const { words } = history.now;
    change({ history, draft: undefined, ...(words && { picture: wordsInfo(words) }) });
    live.stop();
    remember();
    exact.start();
  };

  const open = async (name: string, bring: () => Promise<PictureInfo>) => {
    change({ opening: name, trouble: undefined });
    try {
      const picture = await bring();
      exact.stop();
      live.stop();
      if (state.print !== undefined) URL.revokeObjectURL(state.print);
      const kept = withoutPlaces(state.history.now);
      change({
        picture,
        opening: undefined,
        history: begin(state.picture ? kept : state.history.now),
        draft: undefined,
        screen: undefined,
        advised: undefined,
        sketch: undefined,
        outdated: false,
        print: undefined,
      });
      remember();
      exact.start();
    } catch (error) {
      change({ opening: undefined, trouble: inWords(error) });
    }
  };

  /** Begins with words instead of a picture, or goes on with others. */
  const openWords = (words: TypedWords, job: JobInput) => {
    const next = { ...job, words };
    if (state.picture && state.history.now.words) return go(step(state.history, next));
    exact.stop();
    change({ ...EMPTY, picture: wordsInfo(words) });
    go(begin<PageJob>(next));
  };

  const openFile = (file: Blob, name: string) => open(name, () => api.upload(file, name));
  /** Takes settings from a job file or a report. */
  const openJob = async (file: Blob) => {
    try {
      const job = readJobFile(await file.text());
      // Checks them together too, and lets what only followed from card and tool follow again.
      const settings = settingsOf(job);
      completeJob(settings);
      const meantBy = overlay(settings, { swap: settings.swap ?? false });
      const words = job.words ?? (state.picture && state.history.now.words);
      if (words) openWords(words, meantBy);
      else go(step(state.history, meantBy));
    } catch (error) {
      change({ trouble: error instanceof SyntaxError ? NO_JOB : inWords(error) });
    }
  };

  return {
    get state() {
      return state;
    },
    listen(listener: (state: State) => void) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    /** Opens what a person gives: a job file as settings, all else as a picture. */
    receive: (file: File) =>
      /\.json$/i.test(file.name) || file.type === 'application/json'
        ? openJob(file)
        : openFile(file, file.name || 'pasted.png'),
    openJob,
    openWords,
    /** Lays a picture beside the words. */
    async putBeside(file: File) {
      const { words, ...job } = state.history.now;
      if (!words) return;
      try {
        const { id } = await api.upload(file, file.name);
        openWords({ ...words, picture: id }, job);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    openSample: (name: string, title: string) => open(title, () => api.startSample(name)),
    /** Begins where the page's address says. */
    async restore() {
      const { picture, job } = fromHash(location.hash);
      if (job.words) return openWords(job.words, settingsOf(job));
      change({ history: begin(job) });
      if (picture !== undefined) await open('your picture', () => api.picture(picture));
    },
    /** Changes settings; undefined and null unset one. While `live`, only a sketch follows. */
    set(part: Partial<Record<SettingName, unknown>>, isLive = false) {
      // A level that is set by itself means the tone level.
      const next = merged(state.history.now, meant(part as JobInput));
      if (isLive) {
        change({ draft: next });
        live.start();
      } else {
        go(step(state.history, next));
      }
    },
    /** Puts whole settings in the place of the present ones. */
    replace: (job: PageJob) => go(step(state.history, job)),
    undo: () => go(undo(state.history)),
    redo: () => go(redo(state.history)),
    /** Saves a file of the result. */
    async take(which: string) {
      const { picture, history } = state;
      if (!picture) return;
      change({ trouble: undefined });
      try {
        const { words, ...job } = history.now;
        const { name, blob } = words
          ? await api.wordsFile(which, words, job)
          : await api.file(picture.id, which, job);
        save(name, blob);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    /** Back to the beginning. */
    leave() {
      exact.stop();
      live.stop();
      change({ ...EMPTY, history: begin(withoutPlaces(state.history.now)) });
      remember();
    },
    hush: () => change({ trouble: undefined }),
    tell: (trouble: Words) => change({ trouble }),
  };
}

const NO_JOB: Words = {
  what: 'This file holds no settings',
  remedy: 'Open a job file that was saved here, or the report of a stencil',
};

/** What belongs to one picture only goes with it. */
function withoutPlaces(job: PageJob): JobInput {
  return withoutLists(without(settingsOf(job), 'crop'));
}

function merged(job: PageJob, part: Partial<Record<SettingName, unknown>>): PageJob {
  const all = Object.entries({ ...job, ...part });
  return Object.fromEntries(all.filter(([, value]) => value !== undefined && value !== null));
}

type Change = (part: Partial<State>) => void;

/**
 * Waits so many milliseconds for another change before it asks for the exact result: a moving slider sends several in
 * that time.
 */
const PAUSE_MS = 60;

/** This page among others that are open, in what it asks of the server about words. */
const PAGE = Math.random().toString(36).slice(2);

/** Asks for the exact result, then for the picture of its print, and for advice where that is due. */
function createExact(now: () => State, change: Change) {
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let asking = new AbortController();

  const stop = () => {
    clearTimeout(waiting);
    asking.abort();
  };

  /** That of the result before. */
  const forgetPrint = () => {
    const { print } = now();
    if (print !== undefined) URL.revokeObjectURL(print);
  };

  const run = async () => {
    const { picture, history } = now();
    if (!picture) return;
    asking = new AbortController();
    const { signal } = asking;
    try {
      const { words, ...job } = history.now;
      completeJob(job);
      const screen = words
        ? await ofWords(words, job, signal)
        : await api.stencil(picture.id, job, signal);
      forgetPrint();
      const good = { working: false, outdated: false, trouble: undefined };
      change({ screen, advised: undefined, sketch: screen, print: undefined, ...good });
      await follow(picture.id, screen.adviceDue, signal);
    } catch (error) {
      if (signal.aborted || isSuperseded(error)) return;
      const { screen } = now();
      change({ sketch: screen, working: false, outdated: true, trouble: inWords(error) });
    }
  };

  /** Edits of bridges have gone with their letters: the next one is made on where they are now. */
  const ofWords = async (words: TypedWords, job: JobInput, signal: AbortSignal) => {
    const told = await api.words(words, job, `${PAGE}exact`, signal);
    const { history } = now();
    change({ history: { ...history, now: carried(history.now, told) } });
    return told;
  };

  /** What comes after a good result; if it fails, the result is none the worse. */
  const follow = async (id: string, isAdviceDue: boolean, signal: AbortSignal) => {
    try {
      const { words, ...job } = now().history.now;
      const { blob } = words
        ? await api.wordsFile('preview', words, job, signal)
        : await api.file(id, 'preview', job, signal);
      change({ print: URL.createObjectURL(blob) });
      if (isAdviceDue) change({ advised: await api.advice(id, job, signal) });
    } catch (error) {
      if (!signal.aborted && !isSuperseded(error)) change({ trouble: inWords(error) });
    }
  };

  return {
    stop,
    start() {
      stop();
      if (!now().picture) return;
      change({ working: true });
      waiting = setTimeout(() => void run(), PAUSE_MS);
    },
  };
}

/** Asks for one sketch after another while a control moves: always of the latest settings, never two at a time. */
function createLive(now: () => State, change: Change) {
  let busy = false;
  let again = false;

  const run = async () => {
    const { picture, draft } = now();
    if (!picture || !draft) return;
    busy = true;
    again = false;
    try {
      const { words, ...given } = draft;
      const coarse = { ...given, fineness: sketchFineness(completeJob(given)) };
      const sketch = words
        ? await api.words(words, coarse, `${PAGE}live`)
        : await api.sketch(picture.id, coarse, 'large', false);
      if (now().draft) change({ sketch, trouble: undefined });
    } catch (error) {
      if (now().draft && !isSuperseded(error)) change({ trouble: inWords(error) });
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

/** HTTP status, RFC 9110, 15.5.10 (Conflict): a newer request for the same picture has taken this one's place. */
const SUPERSEDED = 409;

const isSuperseded = (error: unknown) => error instanceof Trouble && error.status === SUPERSEDED;

export function inWords(error: unknown): Words {
  if (error instanceof Trouble || error instanceof Problem) {
    return { what: inLabels(error.what), remedy: inLabels(error.remedy) };
  }
  return { what: 'Something went wrong on this page', remedy: 'Load it again; your settings stay' };
}

function save(name: string, blob: Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  // The browser has begun to save by then.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
