import type { Picture } from '../read/read.js';
import type { Finding } from './finding.js';

/** What a file can hold several of, by its kind, and which of them is taken. */
const HELD: Readonly<Record<string, readonly [what: string, taken: string]>> = {
  tiff: ['pages', 'the first'],
  gif: ['frames', 'the first'],
  webp: ['frames', 'the first'],
  avif: ['pictures', 'the main one'],
  heic: ['pictures', 'the main one'],
};

/** Says which was taken, of a file of several pages or frames. */
export function firstOfMany({ source: { format, holds } }: Pick<Picture, 'source'>): Finding[] {
  if (holds === undefined) return [];
  const [what, taken] = HELD[format] ?? ['pictures', 'the first'];
  const message = `The file holds ${holds} ${what}; the stencil is made of ${taken}.`;
  return [{ level: 'note', code: 'first-of-many', message }];
}
