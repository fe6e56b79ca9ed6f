import type { JobInput, LetterPlace } from '../../src/index.js';
import { letterPlaces, typefaceKinds } from '../../src/settings/lettering-settings.js';
import type { PictureInfo, TypedWords } from './api.js';
import { without } from './without.js';

/** The page's settings: those of the job, and where words are typed instead of a picture, those. */
export type PageJob = JobInput & { readonly words?: TypedWords };

/** The settings that the library knows. */
export const settingsOf = (job: PageJob): JobInput => without(job, 'words');

/** What the page shows in the place of a picture's details while words are cut. */
export function wordsInfo({ lines }: TypedWords): PictureInfo {
  return { id: 'words', name: lines.join(' / '), width: 1, height: 1, format: 'words' };
}

export const isWords = ({ format }: Pick<PictureInfo, 'format'>): boolean => format === 'words';

/** One line for each that was typed. */
export const splitLines = (text: string): readonly string[] => text.split('\n');

/** The present settings, once the server has moved what was edited with its letters. */
export function carried(
  job: PageJob,
  told: { readonly job: JobInput; readonly letters: readonly LetterPlace[] },
): PageJob {
  if (!job.words) return job;
  const { bridgeEdits } = told.job;
  const words = { ...job.words, before: told.letters };
  return job.bridgeEdits && bridgeEdits ? { ...job, words, bridgeEdits } : { ...job, words };
}

/** A value that was read from a job file or a report, as words that were typed; undefined where it is none. */
export function typedWords(value: unknown): TypedWords | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  const { lines, set, letters, before, picture, font } = value as Readonly<Record<string, unknown>>;
  if (!Array.isArray(lines) || !lines.every((line) => typeof line === 'string')) return undefined;
  const own = Object.entries(typeof set === 'object' && set !== null ? set : {});
  // A path on the computer that a report was made on is nothing that the page could open.
  const isKind = (face: unknown) => (typefaceKinds as readonly unknown[]).includes(face);
  const kept = own.filter(
    ([name, one]) => name !== 'picture' && one !== null && (name !== 'face' || isKind(one)),
  );
  return {
    lines,
    set: Object.fromEntries(kept),
    before: letterPlaces(letters ?? before),
    ...(typeof picture === 'string' && { picture }),
    ...(typeof font === 'string' && { font }),
  };
}
