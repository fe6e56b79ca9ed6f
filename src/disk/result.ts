import * as disk from 'node:fs/promises';
import { durableDisk } from './durable.js';
import { clearLeftovers } from './leftovers.js';
import type { KeptFile } from './settle.js';
import { attempt, writeStencil, type Disk, type ResultFile } from './write.js';

/** Says when a piece of work is to stop; an `AbortSignal` is one. */
export interface StopSign {
  readonly aborted: boolean;
}

/** How a result is written. */
export interface WriteOptions {
  /** The folder's name, where it is not the result's. */
  readonly name?: string;
  /** Called for each file that a person had changed, when it was put beside the new one. */
  readonly onKept?: (kept: KeptFile) => void;
  /** Waits until the disk has it all, so that a power cut can't take it. */
  readonly durably?: boolean;
  /** Looked at before each file: the writing ends with `Stopped` then, and nothing is left of it. */
  readonly signal?: StopSign;
}

/** Thrown where writing was asked to stop by its signal. */
export class Stopped extends Error {}

/** The disk that a result is written to. */
export function diskFor({ durably = false, signal }: WriteOptions): Disk {
  const fs: Disk = durably ? durableDisk : disk;
  if (!signal) return fs;
  const unlessStopped = (): void => {
    if (signal.aborted) throw new Stopped('The writing was stopped');
  };
  return {
    ...fs,
    mkdir: (async (...given: Parameters<Disk['mkdir']>) => {
      unlessStopped();
      return fs.mkdir(...given);
    }) as Disk['mkdir'],
    writeFile: async (...given) => {
      unlessStopped();
      return fs.writeFile(...given);
    },
  };
}

/**
 * Writes a result as the folder `outDir`/`name`, whole or not at all, and clears away what runs that were killed left
 * half-written in `outDir`.
 *
 * @returns the folder's path
 * @throws Problem when it can't be written; an earlier result of that name is then still there
 */
export async function writeResult(
  outDir: string,
  name: string,
  files: readonly ResultFile[],
  how: WriteOptions = {},
): Promise<string> {
  await attempt(outDir, () => clearLeftovers(outDir));
  return writeStencil(outDir, how.name ?? name, files, diskFor(how), how.onKept);
}
