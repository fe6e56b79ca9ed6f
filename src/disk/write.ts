import * as disk from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { Problem } from '../settings/problem.js';
import { codeOf, ifThere, type Disk, type ResultFile } from './disk.js';
import { hiddenName } from './hidden.js';
import { isSameResult, readRecord, recordAmong, provenanceInWords } from './made-from.js';
import { settle, standsFor, type KeptFile } from './settle.js';

export { ifThere, type Disk, type ResultFile } from './disk.js';

/**
 * Writes a result as the folder `outDir`/`name`, whole or not at all: into a hidden folder beside it, which is
 * renamed when everything is in it. An earlier result there is replaced then, and kept if anything fails; what a
 * person put there or changed is never lost, it moves over into the new folder.
 *
 * @param name the folder's name, without a path
 * @param onKept called for each file that a person had changed, when it was put beside the new one of its name
 * @returns the folder's path
 * @throws Problem when the folder can't be written, or holds something that is not an earlier result of the same;
 *   nothing is left behind then
 */
export async function writeStencil(
  outDir: string,
  name: string,
  files: readonly ResultFile[],
  fs: Disk = disk,
  onKept?: (kept: KeptFile) => void,
): Promise<string> {
  checkName(name);
  const target = join(outDir, name);
  const created = await attempt(outDir, () => makeFolder(resolve(outDir), fs));
  try {
    const replaces = await checkTarget(target, files, fs);
    const kept = await attempt(outDir, () => writeAndSwap(outDir, name, files, replaces, fs));
    for (const each of kept) onKept?.(each);
  } catch (error) {
    if (created !== undefined) await removeEmpty(resolve(outDir), created, fs);
    throw error;
  }
  return target;
}

/**
 * Makes a folder where there is none.
 *
 * @throws Problem when it can't be made
 */
export async function openFolder(outDir: string, fs: Disk = disk): Promise<void> {
  await attempt(outDir, () => makeFolder(resolve(outDir), fs));
}

/**
 * Writes one file into a folder, whole or not at all, in the place of an earlier one.
 *
 * @throws Problem when it can't be written
 */
export async function writeWhole(outDir: string, file: ResultFile, fs: Disk = disk): Promise<void> {
  const target = join(outDir, file.name);
  const partial = join(outDir, hiddenName(file.name, 'partial'));
  await attempt(target, async () => {
    try {
      await fs.writeFile(partial, file.bytes);
      await fs.rename(partial, target);
    } catch (error) {
      await fs.rm(partial, { force: true });
      throw error;
    }
  });
}

/**
 * Makes a folder and those that it stands in; gives the outermost that was not there, if any. Node.js can do so
 * itself, but never comes back where the system takes no folder at all, as below /proc.
 */
async function makeFolder(folder: string, fs: Disk): Promise<string | undefined> {
  try {
    await fs.mkdir(folder);
    return folder;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST' && (await ifThere(() => fs.lstat(`${folder}/.`)))) return undefined;
    if (code !== 'ENOENT' || dirname(folder) === folder) throw error;
  }
  const outermost = await makeFolder(dirname(folder), fs);
  try {
    await fs.mkdir(folder);
  } catch (error) {
    if (outermost !== undefined) await removeEmpty(dirname(folder), outermost, fs);
    throw error;
  }
  return outermost ?? folder;
}

/** NAME_MAX of Linux's <linux/limits.h>: the usual file systems take no longer name, in bytes. */
const LONGEST_NAME_BYTES = 255;
const SEPARATORS = '/\\';

/** @throws Problem when a name can't be a folder's */
export function checkName(name: string): void {
  const usable =
    name.trim() !== '' &&
    name !== '.' &&
    name !== '..' &&
    Array.from(name).every((character) => character >= ' ' && !SEPARATORS.includes(character)) &&
    Buffer.byteLength(name) <= LONGEST_NAME_BYTES;
  if (usable) return;
  throw new Problem(
    `"${name}" can't be the name of a folder`,
    'name',
    'Give the picture a shorter name of letters and digits',
  );
}

/** Whether something stands at the target that is to be replaced. */
async function checkTarget(
  target: string,
  files: readonly ResultFile[],
  fs: Disk,
): Promise<boolean> {
  const found = await attempt(target, () => ifThere(() => fs.lstat(target)));
  if (!found) return false;
  if (!found.isDirectory()) {
    throw new Problem(
      'There is a file where the result belongs',
      target,
      'Move it away, choose another name, or another output folder',
    );
  }
  const earlier = await attempt(target, () => readRecord(target, fs));
  const fresh = recordAmong(files);
  if (earlier) {
    if (fresh && isSameResult(earlier, fresh)) return true;
    throw leftAlone(target, provenanceInWords(earlier));
  }
  const foreign = await attempt(target, () => standsFor(target, files, fs));
  if (foreign === undefined) return true;
  throw leftAlone(target, `something else (${foreign})`);
}

/** What is said of a folder that has the result's name, and something in it that is not to be replaced. */
export function leftAlone(folder: string, by: string): Problem {
  return new Problem(
    `The folder for the result holds ${by}, so it was left alone`,
    folder,
    'Move that folder away, choose another name, or another output folder',
  );
}

/** Whether a folder may be replaced by these files; see `writeStencil`. */
export async function mayReplace(
  target: string,
  files: readonly ResultFile[],
  fs: Disk = disk,
): Promise<boolean> {
  try {
    await checkTarget(target, files, fs);
    return true;
  } catch (error) {
    if (error instanceof Problem) return false;
    throw error;
  }
}

async function writeAndSwap(
  outDir: string,
  name: string,
  files: readonly ResultFile[],
  replaces: boolean,
  fs: Disk,
): Promise<readonly KeptFile[]> {
  const partial = join(outDir, hiddenName(name, 'partial'));
  try {
    await fs.mkdir(partial);
    const folders = new Set(files.map(({ name }) => dirname(name)).filter((name) => name !== '.'));
    for (const folder of folders) await fs.mkdir(join(partial, folder));
    for (const file of files) await fs.writeFile(join(partial, file.name), file.bytes);
    if (replaces)
      return await swap(partial, join(outDir, name), join(outDir, hiddenName(name, 'earlier')), fs);
    await fs.rename(partial, join(outDir, name));
    return [];
  } catch (error) {
    await fs.rm(partial, { recursive: true, force: true });
    throw error;
  }
}

/** Puts `fresh` in the place of `target`; `aside` is where the earlier result waits until that is done. */
async function swap(
  fresh: string,
  target: string,
  aside: string,
  fs: Disk,
): Promise<readonly KeptFile[]> {
  await fs.rename(target, aside);
  try {
    await fs.rename(fresh, target);
  } catch (error) {
    await orProblem('An earlier result could not be put back; it is kept here', aside, () =>
      fs.rename(aside, target),
    );
    throw error;
  }
  return orProblem(
    'The new result is written, but the earlier one could not be removed, and what you had put there is still in it',
    aside,
    () => settle(aside, target, fs),
  );
}

async function orProblem<T>(what: string, where: string, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (cause) {
    throw new Problem(what, where, 'Look into that hidden folder and move it yourself', { cause });
  }
}

/** Removes the folders from `inner` out to `outer` as long as they are empty. */
async function removeEmpty(inner: string, outer: string, fs: Disk): Promise<void> {
  for (let folder = inner; folder.length >= outer.length; folder = dirname(folder)) {
    try {
      await fs.rmdir(folder);
    } catch {
      // Something is in it by now, or it can't be removed: it is an empty folder at worst, and the caller
      // has a graver problem to tell.
      return;
    }
  }
}

/** Runs an act on the disk; what the disk answers becomes a sentence for a person. */
export async function attempt<T>(where: string, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (error) {
    const code = codeOf(error);
    if (error instanceof Problem || code === undefined) throw error;
    const [what, remedy] = fileErrors[code] ?? [
      `The result can't be written there (the system says ${code})`,
      'Choose another output folder',
    ];
    throw new Problem(what, where, remedy, { cause: error });
  }
}

/** What is wrong and what to do, for several error numbers each (POSIX.1-2017, <errno.h>). */
const NOT_ALLOWED = [
  "This account isn't allowed to write to the output folder",
  'Choose another output folder, or change who may write to this one',
] as const;
const DISK_FULL = [
  'The disk is full',
  'Free some space or choose an output folder on another disk; nothing was changed',
] as const;
const IS_A_FILE = [
  'The output folder is a file',
  'Choose a folder, or a name that is not taken',
] as const;

const fileErrors: Readonly<Record<string, readonly [what: string, remedy: string]>> = {
  EACCES: NOT_ALLOWED,
  EPERM: NOT_ALLOWED,
  EROFS: ['The output folder is on a disk that can only be read', 'Choose another output folder'],
  ENOSPC: DISK_FULL,
  EDQUOT: DISK_FULL,
  ENOTDIR: IS_A_FILE,
  EEXIST: IS_A_FILE,
  EISDIR: [
    'There is a folder where a file belongs',
    'Move it away, or choose another output folder',
  ],
  ENAMETOOLONG: ["The output folder's name is too long", 'Choose a shorter one'],
};
