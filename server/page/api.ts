import type {
  Advised,
  Job,
  JobInput,
  LayersLook,
  LetterPlace,
  Screen,
  Sketch,
  TypefaceSample,
} from '../../src/index.js';
import { sheetsOf, type LayersInput } from './layers-input.js';

/** A picture that the server holds. */
export interface PictureInfo {
  readonly id: string;
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly format: string;
}

/** A checked stencil as the server tells of it: its pictures as base64, and the whole job. */
export type ScreenTold = Omit<Screen, 'tonePng' | 'widenPng' | 'subjectPng'> & {
  readonly tonePng: string;
  readonly widenPng: string;
  readonly subjectPng?: string;
  readonly job: Job;
};

export interface SampleInfo {
  readonly name: string;
  readonly title: string;
}

/** Words that were typed, and how they are cut. */
export interface TypedWords {
  readonly lines: readonly string[];
  readonly set: Readonly<Record<string, unknown>>;
  /** Where the letters stood when bridges were edited. */
  readonly before?: readonly LetterPlace[];
  /** A picture beside them that the server holds. */
  readonly picture?: string;
  /** A font file of her own that the server holds. */
  readonly font?: string;
}

/** A stencil of words, and where its letters stand. */
export type WordsTold = ScreenTold & { readonly letters: readonly LetterPlace[] };

export type DownloadKind = 'job' | 'all' | (string & {});

/** One of several pictures that are taken away together. */
export interface InFolder {
  readonly id: string;
  readonly job: JobInput;
  readonly layers?: LayersInput;
}

/** What the server could not do, in words. */
export class Trouble extends Error {
  constructor(
    readonly status: number,
    readonly what: string,
    readonly remedy: string,
  ) {
    super(`${what}. ${remedy}.`);
  }
}

/**
 * What is told of a picture and its settings comes as an answer (RFC 7240), its status in it: a browser writes every other
 * refusal to its console as an error.
 */
const PREFERENCE = { prefer: 'refusals=answers' } as const;

/** No answer at all: the status that the Fetch Standard (WHATWG, 2.2.6) gives a network error. */
export const NO_ANSWER = 0;

interface Asked extends Omit<RequestInit, 'headers'> {
  readonly headers?: Readonly<Record<string, string>>;
}

async function ask(path: string, { headers, ...init }: Asked = {}): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, { ...init, headers: { ...PREFERENCE, ...headers } });
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new Trouble(
      NO_ANSWER,
      'The server does not answer',
      'See whether it still runs in its terminal. The page asks again by itself, and keeps your picture and settings meanwhile',
    );
  }
  if (response.ok && !response.headers.has('preference-applied')) return response;
  const told = (await response.json().catch(() => undefined)) as
    | { status?: number; what?: string; remedy?: string }
    | undefined;
  throw new Trouble(
    told?.status ?? response.status,
    told?.what ?? `The server answers ${response.status}`,
    told?.remedy ?? 'Try again',
  );
}

function post(path: string, body: unknown, signal?: AbortSignal): Promise<Response> {
  return ask(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
    ...(signal && { signal }),
  });
}

const send = (path: string, file: Blob, name: string): Promise<Response> =>
  ask(`${path}?name=${encodeURIComponent(name)}`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body: file,
  });

const read = async <T>(response: Promise<Response>): Promise<T> =>
  (await response).json() as Promise<T>;

const at = (id: string, rest = '') => `/api/pictures/${encodeURIComponent(id)}${rest}`;

export const api = {
  samples: () => read<readonly SampleInfo[]>(ask('/api/samples')),
  startSample: (name: string) =>
    read<PictureInfo>(ask(`/api/samples/${encodeURIComponent(name)}`, { method: 'POST' })),
  upload: (file: Blob, name: string) => read<PictureInfo>(send('/api/pictures', file, name)),
  page: (id: string) => read<{ readonly page: string | null }>(ask(at(id, '/page'))),
  picture: (id: string) => read<PictureInfo>(ask(at(id))),
  copyUrl: (id: string) => at(id, '/copy'),
  sketch: (id: string, job: JobInput, view: string, contact: boolean, signal?: AbortSignal) =>
    read<Sketch>(post(at(id, '/sketch'), { job, view, contact }, signal)),
  stencil: (id: string, job: JobInput, signal?: AbortSignal) =>
    read<ScreenTold>(post(at(id, '/stencil'), { job }, signal)),
  layers: (id: string, job: JobInput, layers: LayersInput, signal?: AbortSignal) =>
    read<LayersLook>(post(at(id, '/layers'), { job, layers }, signal)),
  layersFiles: async (id: string, job: JobInput, layers: LayersInput) =>
    taken(await post(at(id, '/layers/files'), { job, layers }), 'layers.zip'),
  folder: async (pictures: readonly InFolder[]) =>
    taken(await post('/api/folder', { pictures }), 'stencils.zip'),
  advice: (id: string, job: JobInput, signal?: AbortSignal) =>
    read<Advised>(post(at(id, '/advice'), { job }, signal)),
  file: async (id: string, which: DownloadKind, job: JobInput, signal?: AbortSignal) =>
    taken(await post(at(id, `/files/${which}`), { job }, signal), which),
  words: (words: TypedWords, job: JobInput, view: string, signal?: AbortSignal) =>
    read<WordsTold>(post('/api/words/stencil', { words, job, view }, signal)),
  typefaces: (
    lines: readonly string[],
    job: JobInput,
    font: string | undefined,
    signal?: AbortSignal,
  ) => read<readonly TypefaceSample[]>(post('/api/words/typefaces', { lines, job, font }, signal)),
  uploadFont: (file: Blob, name: string) =>
    read<{ readonly id: string }>(send('/api/fonts', file, name)),
  wordsLayers: (words: TypedWords, job: JobInput, layers: LayersInput, signal?: AbortSignal) =>
    read<LayersLook>(post('/api/words/layers', { words, job, sheets: sheetsOf(layers) }, signal)),
  /** @param layers where they are wanted: what all files and a job file are of */
  wordsFile: async (
    which: DownloadKind,
    { words, job, layers }: { words: TypedWords; job: JobInput; layers?: LayersInput | undefined },
    signal?: AbortSignal,
  ) => {
    const sheets = layers && { sheets: sheetsOf(layers) };
    return taken(await post(`/api/words/files/${which}`, { words, job, ...sheets }, signal), which);
  },
};

/** A file that comes to be saved, and its name. */
async function taken(
  response: Response,
  usual: string,
): Promise<{ readonly name: string; readonly blob: Blob }> {
  const [, name] =
    /filename\*=UTF-8''(.+)$/.exec(response.headers.get('content-disposition') ?? '') ?? [];
  return { name: decodeURIComponent(name ?? usual), blob: await response.blob() };
}
