import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { clearLeftovers } from './leftovers.js';
import {
  hasSameBytes,
  isSameResult,
  readRecord,
  recordAmong,
  provenanceInWords,
  type MadeFrom,
  type Provenance,
} from './made-from.js';
import { isClutter, type KeptFile } from './settle.js';
import { leftAlone, attempt, checkName, ifThere, mayReplace, type ResultFile } from './write.js';

/** Where a result wants to go. */
export interface FolderRequest {
  /** The folder's name, without a path. */
  readonly name: string;
  /** The name is a person's own word: where it is taken she is asked for another one. */
  readonly isChosen?: boolean;
  readonly of: Provenance;
  /** Names that other results of the same run are going to take, in the form of `nameKey`. */
  readonly reserved?: ReadonlySet<string>;
}

/** Where a result goes. */
export interface ResultFolder {
  readonly name: string;
  /** The earlier result of the same that it replaces. */
  readonly earlier?: MadeFrom;
  /** What has taken the name that was wished for, in words: "the stencil of fern.jpg". */
  readonly taken?: string;
  /** The folder holds files of a result's names, and does not say where they come from. */
  readonly isUnsure: boolean;
}

/** Some file systems tell no difference between capital and small letters, or ways to write an accent. */
export function nameKey(name: string): string {
  return name.normalize('NFC').toLowerCase();
}

/**
 * Finds the folder for a result: that of an earlier result of the same; else the name wished for, where nothing has
 * it; else that with a number, nana-2.
 *
 * @throws Problem when the name can't be a folder's, or was chosen and is another's
 */
export async function placeFor(outDir: string, wish: FolderRequest): Promise<ResultFolder> {
  checkName(wish.name);
  return attempt(outDir, async () => {
    await clearLeftovers(outDir, wish.name);
    return findPlace(outDir, wish);
  });
}

async function findPlace(
  outDir: string,
  wish: FolderRequest,
  passed?: string,
): Promise<ResultFolder> {
  const { name, isChosen = false, of, reserved = new Set() } = wish;
  let free: ResultFolder | undefined;
  let alike: (ResultFolder & { readonly earlier: MadeFrom }) | undefined;
  let taken: string | undefined;
  for (let count = 1; ; count++) {
    const candidate = count === 1 ? name : `${name}-${count}`;
    const found = await lookInto(join(outDir, candidate));
    const about = { name: candidate, ...(taken !== undefined && { taken }) };
    if (found.kind === 'result' && isSameResult(found.record, of) && candidate !== passed) {
      const folder = { ...about, earlier: found.record, isUnsure: false };
      // Of two that may be of this picture, the one of the very same bytes is.
      if (!hasSameBytes(found.record, of)) alike ??= folder;
      else if (!alike) return folder;
      else return { ...folder, taken: provenanceInWords(alike.earlier, of) };
    }
    const isAnothers =
      found.kind === 'result' ||
      found.kind === 'other' ||
      candidate === passed ||
      (count > 1 && reserved.has(nameKey(candidate)));
    if (!isAnothers) free ??= { ...about, isUnsure: found.kind === 'unsure' };
    if (count === 1 && isAnothers && !alike) {
      taken = found.kind === 'result' ? provenanceInWords(found.record, of) : 'something else';
      if (isChosen) throw leftAlone(join(outDir, name), taken);
    }
    // Numbers are given one after the other: beyond the first that is missing there is none.
    const isLast = isChosen || (count > 1 && found.kind === 'nothing');
    const place = alike ?? free;
    if (isLast && place) return place;
  }
}

/** Why a result has not the name that was wished for: a sentence without its full stop. */
export function takenInWords(name: string, taken: string): string {
  return `"${name}" holds ${taken} and was left alone, so this has a name of its own`;
}

/** What became of a file that a person had changed: a sentence without its full stop. */
export function keptInWords({ file, as }: KeptFile): string {
  return `${file} was not as it was written, so it was kept as ${as}`;
}

type Found =
  | { readonly kind: 'nothing' | 'unsure' | 'other' }
  | { readonly kind: 'result'; readonly record: MadeFrom };

async function lookInto(folder: string): Promise<Found> {
  const there = await ifThere(() => disk.lstat(folder));
  if (!there) return { kind: 'nothing' };
  if (!there.isDirectory()) return { kind: 'other' };
  const record = await readRecord(folder);
  if (record) return { kind: 'result', record };
  const names = (await disk.readdir(folder)).filter((name) => !isClutter(name));
  if (names.length === 0) return { kind: 'nothing' };
  return { kind: names.some((name) => OF_RESULTS.test(name)) ? 'unsure' : 'other' };
}

/** What files and folders of results are called like; whether they are is seen by what is in them. */
const OF_RESULTS = /\.(svg|pdf|png|dxf|json)$|^layer-\d$/;

/** Something made under a name, and its files as they are to be written. */
interface MadeSo<T> {
  readonly made: T;
  readonly files: readonly ResultFile[];
}

/**
 * Makes a result for the place that is found for it. Where a folder does not say whose it is, it is known by what is
 * in it, once that is made; and whether a picture of the same name is the same one, by its looks, once it is read. If the
 * place is another's, the result is made once more under a name of its own, as it bears it.
 *
 * @throws Problem as `placeFor`, and what `make` throws
 */
export async function makeInPlace<T>(
  outDir: string,
  wish: FolderRequest,
  make: (place: ResultFolder) => Promise<MadeSo<T>>,
): Promise<{ readonly made: T; readonly place: ResultFolder }> {
  const place = await placeFor(outDir, wish);
  const { made, files } = await make(place);
  if (await isFor(place, join(outDir, place.name), files)) return { made, place };
  const looks = recordAmong(files)?.looks;
  const seen = { ...wish, of: { ...wish.of, ...(looks !== undefined && { looks }) } };
  const other = await attempt(outDir, () => findPlace(outDir, seen, place.name));
  return { made: (await make(other)).made, place: other };
}

async function isFor(
  { earlier, isUnsure }: ResultFolder,
  folder: string,
  files: readonly ResultFile[],
): Promise<boolean> {
  const record = recordAmong(files);
  if (earlier && record) return isSameResult(earlier, record);
  return !isUnsure || (await mayReplace(folder, files));
}
