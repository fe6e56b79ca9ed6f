import type { Advised, JobInput, LayersLook, Sketch } from '../../src/index.js';
import { completeJob, meant, overlay, type SettingName } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { fromHash, readJobFile, toHash } from './address.js';
import {
  api,
  Trouble,
  type InFolder,
  type PictureInfo,
  type ScreenTold,
  type TypedWords,
} from './api.js';
import { sketchFineness } from './fineness.js';
import { begin, redo, step, swapNow, undo, type History } from './history.js';
import { keepOrigin, originOf, type PictureOrigin } from './kept-pictures.js';
import { layersAlone, layersInReport, type LayersInput } from './layers-input.js';
import { aimedAt, forNextPicture, forSameSettings, merged, type Setup } from './setup.js';
import { without } from './without.js';
import { inLabels } from './words.js';
import { carried, isWords, settingsOf, wordsInfo, type PageJob } from './typed.js';

/** What went wrong, for a person. */
export interface Words {
  readonly what: string;
  readonly remedy: string;
}

/** Why there is no result of the present settings. */
interface Failure extends Words {
  /** The server: it does not answer. The settings: no stencil can be made of them. */
  readonly by: 'server' | 'settings';
}

interface PageSeen {
  readonly of: string;
  readonly corners: string;
}

/** One of several pictures that were given together. */
export interface TrayPicture {
  readonly key: number;
  readonly name: string;
  readonly file: File;
  /** Once the server has it. */
  readonly info?: PictureInfo;
  /** Its own settings, once it has been looked at. */
  readonly steps?: History<Setup>;
}

export interface Tray {
  readonly pictures: readonly TrayPicture[];
  readonly shown: number;
  /** Whether what is set for one is set for all. */
  readonly isShared: boolean;
}

/** All that the page shows follows from this. */
export interface State {
  readonly picture: PictureInfo | undefined;
  /** The name of a picture that is being read. */
  readonly opening: string | undefined;
  readonly history: History<PageJob>;
  /** How layers of paint are wanted; undefined for one stencil. */
  readonly layers: LayersInput | undefined;
  /** The layers that were made. */
  readonly layered: LayersLook | undefined;
  /** The settings while a control moves. */
  readonly draft: PageJob | undefined;
  /** The last exact result. */
  readonly screen: ScreenTold | undefined;
  /** What would help where the card is small for the picture, once it has been looked for. */
  readonly advised: Advised | undefined;
  /** The corners of a page that lies in a picture, once it has been looked for; of that picture alone. */
  readonly pageSeen: PageSeen | undefined;
  /** What is drawn: newer and coarser than the exact result while a control moves. */
  readonly sketch: Sketch | undefined;
  readonly working: boolean;
  /** Why what is shown is of earlier settings. */
  readonly failure: Failure | undefined;
  /** No stencil could be made of the present settings: the last exact result is one of earlier settings. */
  readonly outdated: boolean;
  readonly trouble: Words | undefined;
  /** The preview of the print, as an object URL. */
  readonly print: string | undefined;
  /** Several pictures that are gone through one by one. */
  readonly tray: Tray | undefined;
}

const EMPTY: State = {
  picture: undefined,
  opening: undefined,
  history: begin<PageJob>({}),
  layers: undefined,
  layered: undefined,
  draft: undefined,
  screen: undefined,
  advised: undefined,
  pageSeen: undefined,
  sketch: undefined,
  working: false,
  failure: undefined,
  outdated: false,
  trouble: undefined,
  print: undefined,
  tray: undefined,
};

/** What is shown of a picture, before any of it has come. */
const NOTHING_YET = {
  draft: undefined,
  screen: undefined,
  advised: undefined,
  sketch: undefined,
  layered: undefined,
  failure: undefined,
  outdated: false,
  print: undefined,
} satisfies Partial<State>;

export type PageState = ReturnType<typeof createWork>;

/**
 * Changes of one kind that follow each other within so many milliseconds are one step of a person: a held key repeats
 * far faster. Common practice, no source.
 */
const ONE_STEP_MS = 1200;

/** The page's memory: the picture, the settings and their history, and what the server made of them. */
export function createWork() {
  let state = EMPTY;
  let steps: History<Setup> = begin<Setup>({ job: {} });
  const listeners = new Set<(state: State) => void>();
  const change = (part: Partial<State>) => {
    state = { ...state, ...part };
    for (const listener of listeners) listener(state);
  };
  const show = (history: History<Setup>): Partial<State> => {
    steps = history;
    const jobs = (setups: readonly Setup[]) => setups.map(({ job }) => job);
    return {
      history: { past: jobs(history.past), now: history.now.job, future: jobs(history.future) },
      layers: history.now.layers,
    };
  };

  const addressNow = () => {
    const { job, layers } = steps.now;
    const hash = toHash({ picture: state.picture?.id, job, layers });
    return hash === '' ? location.pathname : `#${hash}`;
  };
  const remember = () => window.history.replaceState(null, '', addressNow());

  const exact = createExact(() => state, change, {
    bringBack: async (picture) => {
      const origin = await originOf(picture.id);
      if (!origin) return false;
      const again = await uploaded(origin);
      change({ picture: { ...again, name: picture.name } });
      remember();
      return true;
    },
    carry: (told) =>
      change(show({ ...steps, now: { ...steps.now, job: carried(steps.now.job, told) } })),
  });
  const live = createLive(() => state, change);

  const go = (history: History<Setup>) => {
    const { words } = history.now.job;
    change({ ...show(history), draft: undefined, ...(words && { picture: wordsInfo(words) }) });
    live.stop();
    remember();
    exact.start();
  };

  let last: { readonly kind: string; readonly at: number } | undefined;
  /** One more step; or, of the same kind as the one just before, the same step. */
  const goOn = (next: Setup, kind?: string) => {
    const now = performance.now();
    const isSame = kind !== undefined && last?.kind === kind && now - last.at < ONE_STEP_MS;
    last = kind === undefined ? undefined : { kind, at: now };
    go(isSame ? swapNow(steps, next) : step(steps, next));
  };

  /** Which of the pictures that are being opened is the newest: the last one that was given wins. */
  let newest = 0;

  const open = async (name: string, bring: () => Promise<Opened>) => {
    const mine = ++newest;
    change({ opening: name, trouble: undefined });
    try {
      const { picture, history, tray } = await bring();
      if (mine !== newest) return;
      exact.stop();
      live.stop();
      if (state.print !== undefined) URL.revokeObjectURL(state.print);
      const isFirst = state.picture === undefined;
      const isBack = state.failure !== undefined && state.picture?.name === picture.name;
      const hadWords = state.picture !== undefined && isWords(state.picture);
      const next = (isFirst || isBack) && !hadWords ? steps : begin(forNextPicture(steps.now));
      const before = state.picture?.id;
      change({ ...NOTHING_YET, picture, opening: undefined, tray, ...show(history ?? next) });
      last = undefined;
      if (before !== picture.id) window.history.pushState(null, '', addressNow());
      exact.start();
    } catch (error) {
      if (mine === newest) change({ opening: undefined, trouble: inWords(error) });
    }
  };

  /** Begins with words instead of a picture, or goes on with others. */
  const openWords = (
    words: TypedWords,
    job: JobInput,
    { isBack = false, layers }: { isBack?: boolean; layers?: LayersInput | undefined } = {},
  ) => {
    const isGoingOn = state.picture && steps.now.job.words !== undefined;
    const wanted = layers ?? (isGoingOn ? steps.now.layers : undefined);
    const next: Setup = {
      job: { ...job, words },
      layers: words.picture === undefined ? layersAlone(wanted) : wanted,
    };
    if (isGoingOn) return goOn(next);
    exact.stop();
    newest++;
    change({ ...EMPTY, picture: wordsInfo(words) });
    if (!isBack) window.history.pushState(null, '', addressNow());
    go(begin(next));
  };

  const openFile = (file: File, name: string) =>
    open(name, async () => ({ picture: await uploaded({ kind: 'file', name, file }) }));

  /** Takes settings from a job file or a report. */
  const openJob = async (file: Blob) => {
    try {
      const text = await file.text();
      const job = readJobFile(text);
      // Checks them together too, and lets what only followed from card and tool follow again.
      const settings = settingsOf(job);
      completeJob(settings);
      const meantBy = overlay(settings, { swap: settings.swap ?? false });
      const words = job.words ?? (state.picture && steps.now.job.words);
      if (words) openWords(words, meantBy, { layers: layersInReport(text) });
      else goOn({ ...steps.now, job: meantBy });
    } catch (error) {
      change({ trouble: error instanceof SyntaxError ? NO_JOB : inWords(error) });
    }
  };

  const isJobFile = ({ name, type }: File) => /\.json$/i.test(name) || type === 'application/json';

  /** The tray with the picture that is shown as it stands now. */
  const trayNow = (): Tray | undefined => {
    const { tray, picture } = state;
    if (!tray || !picture) return tray;
    const pictures = tray.pictures.map((each, i) =>
      i === tray.shown ? { ...each, info: picture, steps } : each,
    );
    return { ...tray, pictures };
  };

  const infoOf = async ({ info, file, name }: TrayPicture): Promise<PictureInfo> =>
    info ?? uploaded({ kind: 'file', name, file });

  /** The setup of one of the tray's pictures. */
  const setupIn = (tray: Tray, place: number): Setup => {
    const own = tray.pictures[place].steps;
    if (own && !tray.isShared) return own.now;
    const shared = forSameSettings(steps.now);
    return own ? { ...shared, job: { ...ofPicture(own.now.job), ...shared.job } } : shared;
  };

  /** Shows one of several pictures. */
  const showInTray = (tray: Tray, place: number) => {
    const shown = tray.pictures[place];
    return open(shown.name, async () => {
      const picture = await infoOf(shown);
      const pictures = tray.pictures.with(place, { ...shown, info: picture });
      const own = shown.steps;
      const setup = setupIn(tray, place);
      const history = own ? step(own, setup) : begin(setup);
      return { picture, history, tray: { ...tray, pictures, shown: place } };
    });
  };

  return {
    get state() {
      return state;
    },
    listen(listener: (state: State) => void) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    /** Opens what a person gives: a job file as settings, all else as pictures. */
    async receive(...files: readonly File[]) {
      const pictures = files.filter((file) => !isJobFile(file));
      for (const file of files.filter(isJobFile)) await openJob(file);
      if (pictures.length === 0) return;
      const named = pictures.map((file) => file.name || 'pasted.png');
      if (pictures.length === 1) return openFile(pictures[0], named[0]);
      const tray: Tray = {
        pictures: pictures.map((file, key) => ({ key, file, name: named[key] })),
        shown: 0,
        isShared: true,
      };
      steps = begin(state.picture ? forNextPicture(steps.now) : steps.now);
      return showInTray(tray, 0);
    },
    openJob,
    openWords,
    /** Lays a picture beside the words. */
    async putBeside(file: File) {
      const { words, ...job } = steps.now.job;
      if (!words) return;
      try {
        const { id } = await api.upload(file, file.name);
        openWords({ ...words, picture: id }, job);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    /** Sets the words in a font file of her own. */
    async setInFont(file: File) {
      const { words, ...job } = steps.now.job;
      if (!words) return;
      try {
        const { id } = await api.uploadFont(file, file.name);
        // One that can't be used is told now, and the typeface before it stays.
        await api.typefaces(words.lines, {}, id);
        openWords({ ...words, font: id }, job);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    openSample: (name: string, title: string) =>
      open(title, async () => ({ picture: await uploaded({ kind: 'sample', name, title }) })),
    /** Goes to another picture of the tray. */
    turnTo(place: number) {
      const tray = trayNow();
      return tray && showInTray(tray, place);
    },
    shareSettings(isShared: boolean) {
      const tray = trayNow();
      change({ tray: tray && { ...tray, isShared } });
    },
    /** Saves all pictures of the tray as one folder. */
    async takeTray() {
      const tray = trayNow();
      if (!tray) return;
      change({ trouble: undefined });
      try {
        const asked: InFolder[] = [];
        for (const [place, picture] of tray.pictures.entries()) {
          const { id } = await infoOf(picture);
          const { job, layers } = setupIn(tray, place);
          asked.push({ id, job: settingsOf(job), ...(layers && { layers }) });
        }
        const { name, blob } = await api.folder(asked);
        save(name, blob);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    /** Begins where the page's address says, and goes where Back and Forward lead. */
    async restore() {
      const { picture: id, job, layers } = fromHash(location.hash);
      const setup = layers ? { job, layers } : { job };
      exact.stop();
      live.stop();
      newest++;
      // What was taken back of the same settings can be done again still.
      const isSame = JSON.stringify(setup.job) === JSON.stringify(steps.now.job);
      const history = isSame ? steps : begin<Setup>(setup);
      change({ ...EMPTY, ...show(history) });
      if (job.words) return openWords(job.words, settingsOf(job), { isBack: true, layers });
      if (id === undefined) return;
      await open('your picture', async () => ({ picture: await foundAgain(id), history }));
      remember();
    },
    /**
     * Changes settings; undefined and null unset one. While `live`, only a sketch follows. Those of one `kind` that
     * follow each other closely are one step.
     */
    set(part: Partial<Record<SettingName, unknown>>, isLive = false, kind?: string) {
      // A level that is set by itself means the tone level.
      const next = merged(steps.now.job, meant(part as JobInput));
      if (isLive) {
        change({ draft: next });
        live.start();
      } else {
        goOn({ ...steps.now, job: next }, kind);
      }
    },
    /** Leaves the settings as they are, after a control moved and came back. */
    drop() {
      live.stop();
      change({ draft: undefined, sketch: state.screen });
    },
    /** Puts whole settings in the place of the present ones. */
    replace: (job: PageJob, kind?: string) => goOn({ ...steps.now, job }, kind),
    /** Says what is wanted: settings, and layers of paint or one stencil. */
    aim: (part: JobInput, layers: LayersInput | undefined) =>
      goOn(aimedAt(steps.now, part, layers)),
    undo: () => go(undo(steps)),
    redo: () => go(redo(steps)),
    /** Saves a file of the result. */
    async take(which: string) {
      const { picture, history, layers } = state;
      if (!picture) return;
      change({ trouble: undefined });
      try {
        const { name, blob } =
          layers && which === 'all' && !history.now.words
            ? await api.layersFiles(picture.id, settingsOf(history.now), layers)
            : await fileOf(picture, which, history.now, { layers });
        save(name, blob);
      } catch (error) {
        change({ trouble: inWords(error) });
      }
    },
    /** Opens the true-size print in a tab of its own, from which the browser prints. */
    async print() {
      const { picture, history } = state;
      if (!picture) return;
      // Opened at once: a window that waits for an answer first is taken for an advertisement.
      const tab = window.open('', '_blank');
      try {
        const { blob } = await fileOf(picture, 'template', history.now);
        const url = URL.createObjectURL(blob);
        if (tab) tab.location.href = url;
        else save(`${picture.name}-template.pdf`, blob);
      } catch (error) {
        tab?.close();
        change({ trouble: inWords(error) });
      }
    },
    /** To the beginning; Back comes back. */
    leave() {
      exact.stop();
      live.stop();
      newest++;
      if (state.picture === undefined) return change({ ...EMPTY, ...show(steps) });
      change({ ...EMPTY, ...show(begin(forNextPicture(steps.now))) });
      window.history.pushState(null, '', addressNow());
    },
    hush: () => change({ trouble: undefined }),
    tell: (trouble: Words) => change({ trouble }),
  };
}

interface Opened {
  readonly picture: PictureInfo;
  /** Its own settings, where it has some. */
  readonly history?: History<Setup> | undefined;
  readonly tray?: Tray | undefined;
}

/** A file of the result: of a picture, or of words. */
function fileOf(
  { id }: Pick<PictureInfo, 'id'>,
  which: string,
  { words, ...job }: PageJob,
  { layers, signal }: { layers?: LayersInput | undefined; signal?: AbortSignal } = {},
) {
  return words
    ? api.wordsFile(which, { words, job, layers }, signal)
    : api.file(id, which, job, signal);
}

/** What of settings belongs to one picture. */
function ofPicture(job: JobInput): JobInput {
  const shared = forSameSettings({ job }).job;
  return Object.fromEntries(Object.entries(job).filter(([name]) => !(name in shared)));
}

/** Hands a picture to the server, and keeps it for when the server has forgotten it. */
async function uploaded(origin: PictureOrigin): Promise<PictureInfo> {
  const picture =
    origin.kind === 'sample'
      ? await api.startSample(origin.name)
      : await api.upload(origin.file, origin.name);
  await keepOrigin(picture.id, origin);
  return picture;
}

/** A picture by its id; where the server has forgotten it, as the browser kept it. */
async function foundAgain(id: string): Promise<PictureInfo> {
  try {
    return await api.picture(id);
  } catch (error) {
    const origin = isGone(error) ? await originOf(id) : undefined;
    if (!origin) throw error;
    return uploaded(origin);
  }
}

const NO_JOB: Words = {
  what: 'This file holds no settings',
  remedy: 'Open a job file that was saved here, or the report of a stencil',
};

type Change = (part: Partial<State>) => void;

/**
 * Waits so many milliseconds for another change before it asks for the exact result: a moving slider sends several in
 * that time.
 */
const PAUSE_MS = 60;
/**
 * Milliseconds after which a server that did not answer is asked again: twice as long each time, up to the longest, since
 * a browser writes each of them to its console. Whoever comes back to the page from the server's terminal need not wait.
 */
const AGAIN_MS = { first: 3000, longest: 60_000 } as const;

interface Recovery {
  /** Gives the server a picture that it has forgotten; false where the browser has not kept it. */
  readonly bringBack: (picture: PictureInfo) => Promise<boolean>;
  /** Takes over what the server moved along with its letters. */
  readonly carry: (told: Parameters<typeof carried>[1]) => void;
}

/** This page among others that are open, in what it asks of the server about words. */
const PAGE = Math.random().toString(36).slice(2);

/** Asks for the exact result, then for the picture of its print, and for advice where that is due. */
function createExact(now: () => State, change: Change, { bringBack, carry }: Recovery) {
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let asking = new AbortController();
  let againMs: number = AGAIN_MS.first;

  const stop = () => {
    clearTimeout(waiting);
    asking.abort();
    againMs = AGAIN_MS.first;
  };

  /** The sheets that were made last, and of what. */
  let layersMade:
    | { readonly key: string; readonly shown: Required<Pick<State, 'screen' | 'layered'>> }
    | undefined;

  /** That of the result before. */
  const forgetPrint = () => {
    const { print } = now();
    if (print !== undefined) URL.revokeObjectURL(print);
  };

  const make = async (picture: PictureInfo, signal: AbortSignal) => {
    const { history, layers } = now();
    const { words, ...job } = history.now;
    completeJob(job);
    const typed = words && without(words, 'before');
    const key = layers && JSON.stringify([picture.id, typed, job, without(layers, 'paints')]);
    const good = { working: false, outdated: false, failure: undefined };
    // Other paints are the same sheets: they are there.
    if (key !== undefined && key === layersMade?.key)
      return change({ ...layersMade.shown, sketch: layersMade.shown.screen, ...good });
    // What is drawn on a page that is to be found needs its shape.
    if (!words && job.page?.trim() === 'find') await lookForPage(picture.id);
    const screen = words
      ? await ofWords(words, job, signal)
      : await api.stencil(picture.id, job, signal);
    const layered = layers && (await layersOf(picture.id, now().history.now, layers, signal));
    if (key !== undefined && layered) layersMade = { key, shown: { screen, layered } };
    forgetPrint();
    change({ screen, layered, advised: undefined, sketch: screen, print: undefined, ...good });
    if (!layers) await follow(picture.id, screen.adviceDue, signal);
    if (!words && !signal.aborted) await lookForPage(picture.id);
  };

  /** The corners of the page in each picture that was looked at; null where there is none. */
  const pages = new Map<string, string | null>();

  /** Whoever photographed a sketch on a table is offered to have it laid flat. */
  const lookForPage = async (of: string) => {
    if (now().pageSeen?.of === of) return;
    try {
      const known = pages.get(of);
      const corners = known === undefined ? (await api.page(of)).page : known;
      pages.set(of, corners);
      if (corners !== null) change({ pageSeen: { of, corners } });
    } catch (error) {
      // The result is none the worse; the next one asks again.
      if (!isSilent(error) && !isGone(error)) change({ trouble: inWords(error) });
    }
  };

  const run = async () => {
    const { picture } = now();
    if (!picture) return;
    asking = new AbortController();
    const { signal } = asking;
    try {
      await make(picture, signal).catch(async (error: unknown) => {
        if (signal.aborted || !isGone(error) || !(await bringBack(picture))) throw error;
        const again = now().picture;
        if (again && !signal.aborted) await make(again, signal);
      });
    } catch (error) {
      if (signal.aborted || isSuperseded(error)) return;
      const { screen } = now();
      const by = isSilent(error) ? 'server' : 'settings';
      const failure: Failure = { ...inWords(error), by };
      change({ sketch: screen, working: false, outdated: true, failure });
      if (by !== 'server') return;
      waiting = setTimeout(() => void run(), againMs);
      againMs = Math.min(2 * againMs, AGAIN_MS.longest);
    }
  };
  window.addEventListener('focus', () => {
    if (now().failure?.by !== 'server') return;
    stop();
    void run();
  });

  const layersOf = (
    id: string,
    { words, ...job }: PageJob,
    layers: LayersInput,
    signal: AbortSignal,
  ) => (words ? api.wordsLayers(words, job, layers, signal) : api.layers(id, job, layers, signal));

  /** Edits of bridges have gone with their letters: the next one is made on where they are now. */
  const ofWords = async (words: TypedWords, job: JobInput, signal: AbortSignal) => {
    const told = await api.words(words, job, `${PAGE}exact`, signal);
    carry(told);
    return told;
  };

  /** What comes after a good result; if it fails, the result is none the worse. */
  const follow = async (id: string, isAdviceDue: boolean, signal: AbortSignal) => {
    try {
      const job = now().history.now;
      const { blob } = await fileOf({ id }, 'preview', job, { signal });
      change({ print: URL.createObjectURL(blob) });
      if (isAdviceDue) change({ advised: await api.advice(id, settingsOf(job), signal) });
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
      if (now().draft) change({ sketch });
    } catch (error) {
      // Why no exact one comes is told once the control rests.
      if (now().draft && !isSuperseded(error) && !isToldOff(error))
        change({ trouble: inWords(error) });
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
/** HTTP status, RFC 9110, 15.5.5: the server has no such picture, or has none any more. */
const isGone = (error: unknown) => error instanceof Trouble && error.status === 404;
/** No answer at all. */
const isSilent = (error: unknown) => error instanceof Trouble && error.status === 0;
/** The settings are told off, or the server is away: the exact result says so. */
const isToldOff = (error: unknown) =>
  error instanceof Problem || (error instanceof Trouble && [0, 404, 422].includes(error.status));

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
