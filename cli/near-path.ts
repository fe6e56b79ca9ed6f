import { relative } from 'node:path';

/** A path as it is called from the folder that the person is in, where it lies below that; else as it is. */
export function nearPath(path: string): string {
  const way = relative('', path);
  return way === '' || way.startsWith('..') ? path : way;
}
