import type { Face } from '../../faces/face.js';
import type { SubjectPicture, Subject, SubjectJob } from './subject-mask.js';

export type { Subject } from './subject-mask.js';

/**
 * Tells the subject apart from its background, as far as a box, marks or `find` ask for it; without them it does
 * nothing, and loads nothing.
 *
 * @throws Problem when the box leaves the picture, or when no subject is found in what is marked
 */
export async function subject(
  picture: SubjectPicture,
  faces: readonly Pick<Face, 'box'>[],
  job: SubjectJob,
): Promise<Subject> {
  if (job.subject === null && job.marks.length === 0) return { mask: undefined, why: '' };
  const { segmentSubject } = await import('./segment.js');
  return segmentSubject(picture, faces, job);
}
