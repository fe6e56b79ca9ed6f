import type { Job } from '../../settings/job.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';

/** What of the picture is its subject. */
export interface Subject {
  /** The whole sheet: 1 is subject; undefined when nothing is told apart, and all of the picture counts. */
  readonly mask: Bitmap | undefined;
  /** One sentence for the artist; empty when nothing was asked. */
  readonly why: string;
}

export type SubjectJob = Pick<Job, 'subject' | 'marks'>;

/** What telling apart needs of a picture. */
export type PictureInFrame = Pick<Picture, 'gray' | 'frame' | 'colours' | 'shows'>;

/**
 * Tells the subject apart from its background, as far as a box, marks or `find` ask for it; without them it does
 * nothing, and loads nothing.
 *
 * @throws Problem when the box leaves the picture, or when no subject is found in what is marked
 */
export async function subject(picture: PictureInFrame, job: SubjectJob): Promise<Subject> {
  if (job.subject === null && job.marks.length === 0) return { mask: undefined, why: '' };
  const { tellSubject } = await import('./tell.js');
  return tellSubject(picture, job);
}
