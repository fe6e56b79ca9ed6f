import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { hiddenKind, isAbandoned, type Hidden } from './hidden.js';
import { ifThere, removeResult } from './write.js';

/**
 * Clears a folder of what processes that were killed while they wrote results left in it: what was half-written goes,
 * and an earlier result that was set aside is put back where no new one took its place. What another account left is
 * left to it.
 *
 * @throws Error as the disk answers
 */
export async function clearLeftovers(outDir: string): Promise<void> {
  for (const name of (await ifAllowed(() => disk.readdir(outDir))) ?? []) {
    const hidden = hiddenKind(name);
    if (hidden) await ifAllowed(() => clearHidden(join(outDir, name), hidden, outDir));
  }
}

async function clearHidden(path: string, hidden: Hidden, outDir: string): Promise<void> {
  const { mtimeMs, ctimeMs } = await disk.lstat(path);
  if (!isAbandoned(hidden, Math.max(mtimeMs, ctimeMs))) return;
  if (hidden.kind === 'partial') await disk.rm(path, { recursive: true, force: true });
  else await settleEarlier(path, hidden.name, outDir);
}

/** Undefined, too, where nothing is there any more: another run was quicker. */
async function ifAllowed<T>(act: () => Promise<T>): Promise<T | undefined> {
  try {
    return await ifThere(act);
  } catch (error) {
    const { code = '' } = error as NodeJS.ErrnoException;
    if (code === 'EACCES' || code === 'EPERM') return undefined;
    throw error;
  }
}

async function settleEarlier(aside: string, shortName: string, outDir: string): Promise<void> {
  const name = await nameOf(aside, shortName);
  // Its mark goes last when a result is removed: without one, the removal had begun.
  if (name !== undefined && !(await ifThere(() => disk.lstat(join(outDir, name))))) {
    await disk.rename(aside, join(outDir, name));
  } else {
    await removeOurs(aside);
  }
}

/** What results without a report are known by. */
const MARKS = ['film.json', 'practice.svg'] as const;

/** The name of a result, as its report has it, or else as it was set aside by; undefined for what is no whole result. */
async function nameOf(result: string, shortName: string): Promise<string | undefined> {
  const report = await ifThere(() => disk.readFile(join(result, 'report.json'), 'utf8'));
  if (report !== undefined) return nameIn(report) ?? shortName;
  for (const mark of MARKS) {
    if (await ifThere(() => disk.lstat(join(result, mark)))) return shortName;
  }
  return undefined;
}

function nameIn(report: string): string | undefined {
  try {
    return (JSON.parse(report) as { readonly name?: string } | null)?.name;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

async function removeOurs(result: string): Promise<void> {
  try {
    await removeResult(result, disk);
  } catch (error) {
    // A person's own file is in it: that stays, and so does the folder.
    if ((error as NodeJS.ErrnoException).code !== 'ENOTEMPTY') throw error;
  }
}
