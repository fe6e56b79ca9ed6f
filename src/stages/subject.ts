import type { Job } from '../job.js';
import type { Bitmap } from '../raster/raster.js';
import type { Picture } from './read.js';

/** What of the picture is its subject. */
export interface Subject {
  /** The whole sheet: 1 is subject; undefined when nothing is told apart, and all of the picture counts. */
  readonly mask: Bitmap | undefined;
  /** One sentence for the artist; empty when nothing was asked. */
  readonly why: string;
}

export type SubjectJob = Pick<Job, 'subject' | 'marks'>;

/** What telling apart needs of a picture. */
export type Shown = Pick<Picture, 'gray' | 'frame' | 'colours' | 'shows'>;

/**
 * Tells the subject apart from its background, as far as a box, marks or `find` ask for it; without them it does
 * nothing, and loads nothing.
 *
 * @throws Problem when the box leaves the picture, or when no subject is found in what is marked
 */
export async function subject(picture: Shown, job: SubjectJob): Promise<Subject> {
  if (job.subject === null && job.marks.length === 0) return { mask: undefined, why: '' };
  const { tellSubject } = await import('./subject/tell.js');
  return tellSubject(picture, job);
}
