import type * as disk from 'node:fs/promises';

/** One file of a result. */
export interface ResultFile {
  readonly name: string;
  readonly bytes: Uint8Array | string;
}

/** The part of `node:fs/promises` that writing needs; tests put a failing disk in its place. */
export type Disk = Pick<
  typeof disk,
  'lstat' | 'mkdir' | 'readdir' | 'readFile' | 'rename' | 'rm' | 'rmdir' | 'unlink' | 'writeFile'
>;

/** What an act gives; undefined where what it is about is not there. */
export async function ifThere<T>(act: () => Promise<T>): Promise<T | undefined> {
  try {
    return await act();
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return undefined;
    throw error;
  }
}

/** The system's own word for what went wrong, if it was the system. */
export function codeOf(error: unknown): string | undefined {
  const code = error instanceof Error ? (error as NodeJS.ErrnoException).code : undefined;
  return typeof code === 'string' ? code : undefined;
}
