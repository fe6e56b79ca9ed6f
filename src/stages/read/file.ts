import { readFile, stat } from 'node:fs/promises';
import { Problem } from '../../settings/problem.js';

/** No picture that a person draws or takes is larger; a wrong file may be. */
const MOST_BYTES = 2 ** 30;

/**
 * The bytes of a picture's file.
 *
 * @throws Problem when there is no such file, when it is a folder or no ordinary file, when it may not be read,
 *   and when it is over 1 GiB
 */
export async function readBytes(path: string): Promise<Uint8Array> {
  try {
    const about = await stat(path);
    if (about.isDirectory()) {
      throw new Problem('This is a folder, not a picture', path, 'Name a picture inside it');
    }
    if (!about.isFile()) {
      throw new Problem(
        'This is not a file',
        path,
        'Name a picture that is saved on this computer',
      );
    }
    if (about.size > MOST_BYTES) {
      throw new Problem(
        `The file is too large: ${(about.size / MOST_BYTES).toFixed(1)} GiB`,
        path,
        'Save the picture smaller, under 1 GiB; a card needs far less',
      );
    }
    return await readFile(path);
  } catch (error) {
    throw error instanceof Problem ? error : cannotOpen(path, error);
  }
}

function cannotOpen(path: string, error: unknown): Problem {
  const options = { cause: error };
  const { code = '' } = error as NodeJS.ErrnoException;
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return new Problem(
        'There is no such file',
        path,
        'Check the name, its ending and the folder; a name with spaces needs quotes round it',
        options,
      );
    case 'EACCES':
    case 'EPERM':
      return new Problem(
        'You are not allowed to read this file',
        path,
        "Change the file's permissions, or copy it to a folder of your own",
        options,
      );
    default:
      return new Problem(
        'The file could not be opened',
        path,
        'Check that the disk it is on is connected and working, or copy the file and name the copy',
        options,
      );
  }
}
