import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';

/** What of the picture is its subject. */
export interface Subject {
  /** The whole sheet: 1 is subject; undefined when nothing is told apart, and all of the picture counts. */
  readonly mask: Bitmap | undefined;
  /** One sentence for the artist; empty when nothing was asked. */
  readonly why: string;
  /** Most of what was marked went with the background. */
  readonly isMostlyLost?: boolean;
}

export type SubjectJob = Pick<Job, 'subject' | 'marks'>;

/** What telling apart needs of a picture. */
export type SubjectPicture = Pick<Picture, 'gray' | 'pictureBox' | 'colours' | 'shows'>;
