import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { hiddenKind, isRunning } from './hidden.js';
import { ifThere, removeResult } from './write.js';

/**
 * Clears a folder of what processes that were killed while they wrote results left in it: what was half-written goes,
 * and an earlier result that was set aside is put back where no new one took its place.
 *
 * @throws Error as the disk answers
 */
export async function clearLeftovers(outDir: string): Promise<void> {
  for (const name of (await ifThere(() => disk.readdir(outDir))) ?? []) {
    const hidden = hiddenKind(name);
    if (!hidden || isRunning(hidden.pid)) continue;
    const path = join(outDir, name);
    if (hidden.kind === 'partial') await disk.rm(path, { recursive: true, force: true });
    else await settleEarlier(path, outDir);
  }
}

async function settleEarlier(aside: string, outDir: string): Promise<void> {
  const name = await nameOf(aside);
  // The report goes last when a result is removed: without one, the removal had begun.
  if (name !== undefined && !(await ifThere(() => disk.lstat(join(outDir, name))))) {
    await disk.rename(aside, join(outDir, name));
  } else {
    await removeOurs(aside);
  }
}

/** The name of a result, as its report has it. */
async function nameOf(result: string): Promise<string | undefined> {
  const report = await ifThere(() => disk.readFile(join(result, 'report.json'), 'utf8'));
  return report === undefined ? undefined : (JSON.parse(report) as { name: string }).name;
}

async function removeOurs(result: string): Promise<void> {
  try {
    await removeResult(result, disk);
  } catch (error) {
    // A person's own file is in it: that stays, and so does the folder.
    if ((error as NodeJS.ErrnoException).code !== 'ENOTEMPTY') throw error;
  }
}
