import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { hiddenKind, isAbandoned, type Hidden } from './hidden.js';
import { settle } from './settle.js';
import { ifThere } from './write.js';

/**
 * Clears a folder of what processes that were killed while they wrote results left in it: what was half-written goes;
 * an earlier result that was set aside is put back where no new one took its place, and else what a person had put
 * there moves over into the new one. What another account left is left to it.
 *
 * @param of the name of a result: only what belongs to it, or to one numbered after it, is cleared
 * @throws Error as the disk answers
 */
export async function clearLeftovers(outDir: string, of?: string): Promise<void> {
  for (const name of (await ifAllowed(() => disk.readdir(outDir))) ?? []) {
    const hidden = hiddenKind(name);
    if (!hidden || (of !== undefined && !hidden.name.startsWith(hiddenPart(of)))) continue;
    await ifAllowed(() => clearHidden(join(outDir, name), hidden, outDir));
  }
}

async function clearHidden(path: string, hidden: Hidden, outDir: string): Promise<void> {
  const { mtimeMs, ctimeMs } = await disk.lstat(path);
  if (!isAbandoned(hidden, Math.max(mtimeMs, ctimeMs))) return;
  if (hidden.kind === 'partial') await disk.rm(path, { recursive: true, force: true });
  else await settleEarlier(path, outDir, hidden.name);
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

/**
 * Characters of a result's name that stand in a hidden folder's: enough to know it by, and short of the 255 bytes with
 * what is added.
 */
const SHOWN = 40;

const hiddenPart = (name: string): string => name.slice(0, SHOWN);

async function settleEarlier(aside: string, outDir: string, shown: string): Promise<void> {
  const name = shown.length < SHOWN ? shown : await nameIn(aside);
  if (name === undefined) return;
  const target = join(outDir, name);
  if ((await disk.readdir(aside)).length === 0) await disk.rmdir(aside);
  else if (await ifThere(() => disk.lstat(target))) await settle(aside, target, disk);
  else await disk.rename(aside, target);
}

/** The name of a result, as its report has it: a long one is not whole in the hidden folder's. */
async function nameIn(result: string): Promise<string | undefined> {
  const report = await ifThere(() => disk.readFile(join(result, 'report.json'), 'utf8'));
  try {
    const { name } = JSON.parse(report ?? '') as { name?: unknown };
    return typeof name === 'string' && !/[/\\]/.test(name) ? name : undefined;
  } catch {
    // Whose it is can't be told: it stays, out of sight, and nothing of it is lost.
    return undefined;
  }
}
