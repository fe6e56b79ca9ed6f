import { checkSettings } from '../../src/settings/job.js';
import { readLayersInput, type LayersInput } from './layers-input.js';
import { typedWords, type PageJob } from './typed.js';

/** What the page's address says: the picture that the server holds, and the settings. */
export interface Address {
  readonly picture: string | undefined;
  readonly job: PageJob;
  /** How layers of paint are wanted, where they are. */
  readonly layers?: LayersInput | undefined;
}

/** The part of an address after its #. */
export function toHash({ picture, job, layers }: Address): string {
  const words = new URLSearchParams();
  if (picture !== undefined) words.set('picture', picture);
  if (Object.keys(job).length > 0) words.set('job', JSON.stringify(job));
  if (layers) words.set('layers', JSON.stringify(layers));
  return words.toString();
}

/** Reads that part again; settings that can't be read are left out, as are a picture's id of another form. */
export function fromHash(hash: string): Address {
  const words = new URLSearchParams(hash.replace(/^#/, ''));
  const picture = words.get('picture') ?? '';
  return {
    picture: /^[0-9a-f]{32}$/.test(picture) ? picture : undefined,
    job: readJob(words.get('job')),
    ...readLayers(words.get('layers')),
  };
}

function readLayers(text: string | null): Pick<Address, 'layers'> {
  if (text === null) return {};
  try {
    const layers = readLayersInput(JSON.parse(text));
    return layers ? { layers } : {};
  } catch {
    // As with settings that can't be read.
    return {};
  }
}

function readJob(text: string | null): PageJob {
  if (text === null) return {};
  try {
    return readJobFile(text);
  } catch {
    // An address that was cut or typed by hand: the page begins anew rather than not at all.
    return {};
  }
}

/**
 * Reads a job file: settings by name, or a whole report, whose `job` is one; with the words, where it is of words. Throws
 * a Problem or a SyntaxError.
 */
export function readJobFile(text: string): PageJob {
  const found = JSON.parse(text.replace(/^\uFEFF/, '')) as unknown;
  if (!isObject(found)) throw new SyntaxError('no settings in it');
  const { words: told, ...rest } = found;
  const job = isObject(found.job) ? found.job : rest;
  const words = typedWords(told);
  return words ? { ...checkSettings(job), words } : checkSettings(job);
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
