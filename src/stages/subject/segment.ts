import type { Face } from '../../faces/face.js';
import { PERCENT_ROUNDING, type Mark } from '../../settings/marks.js';
import { Problem } from '../../settings/problem.js';
import { gaussianBlur } from '../../raster/blur.js';
import { coarserColours } from '../../raster/colours.js';
import { finerMarks } from '../../raster/field.js';
import type { Bitmap } from '../../raster/raster.js';
import type { SubjectPicture, Subject, SubjectJob } from './subject-mask.js';
import { BACKGROUND, coarseCut, fineCut, type Cells } from './graph-cut.js';
import { seedsOf, type SubjectGrid } from './seeds.js';
import { suggestPeople, withPeople } from './people.js';
import { suggest } from './suggest.js';
import { withoutSmallComponents } from './small-components.js';

/**
 * The contour is followed on a grid with no more cells than this along the picture's longer side: about 0.2 mm on a
 * card of 4 in, in little time.
 */
const MOST_CELLS = 480;
/** Rounds the steps of that grid off, in cells. */
const ROUNDED = 0.7;
const FIND = 'find';

/**
 * Tells the subject of a picture apart from its background.
 *
 * @throws Problem when the box leaves the picture, or when no subject is found in what is marked
 */
export function segmentSubject(
  picture: SubjectPicture,
  faces: readonly Pick<Face, 'box'>[],
  job: SubjectJob,
): Subject {
  const { colours, shows } = picture;
  const factor = Math.ceil(Math.max(colours.width, colours.height) / MOST_CELLS);
  const grid = coarserColours(colours, factor);
  const slope = colours.height / shows.height / (colours.width / shows.width);
  const ground: SubjectGrid = { width: grid.width, height: grid.height, shows, slope };
  const marks = [...boxMark(job.subject), ...job.marks];
  if (marks.length === 0) {
    const people = faces.length > 0 ? suggestPeople(grid, ground, faces) : undefined;
    if (people) return subjectOf(people, factor, picture, PEOPLE);
    const found = suggest(grid, ground);
    return found ? subjectOf(found, factor, picture, FOUND) : { mask: undefined, why: UNSURE };
  }
  const known = withPeople(seedsOf(marks, ground), ground, faces);
  if (!known.data.some((what) => what !== BACKGROUND)) throw nothingThere();
  const cells = withoutSmallComponents(fineCut(grid, known, coarseCut(grid, known)), known);
  if (!cells.data.includes(1)) throw nothingThere();
  const isMostlyLost = isMostlyGone(cells, known);
  const loss = isMostlyLost ? LOST : '';
  return { ...subjectOf(cells, factor, picture, MARKED + loss), isMostlyLost };
}

/** Of what was marked, less than this being the subject is worth a word: a box is mostly background seldom. */
const LITTLE = 0.3;

const LOST = ', and most of what was marked went with the background: stroke over what is missing';

function isMostlyGone(cells: Cells, { data }: Cells): boolean {
  const marked = data.reduce((sum, what) => sum + (what === BACKGROUND ? 0 : 1), 0);
  const kept = cells.data.reduce((sum, value) => sum + value, 0);
  return kept < LITTLE * marked;
}

const PEOPLE = 'The people were told apart from their background by their faces';
const FOUND = 'The subject stands out and was told apart from its background';
const MARKED = 'The subject was told apart from its background as marked';
const UNSURE =
  'No subject stands out for sure, so the whole picture was used: draw a box round it, or mark it.';

function subjectOf(cells: Cells, factor: number, picture: SubjectPicture, what: string): Subject {
  const share = cells.data.reduce((sum, value) => sum + value, 0) / cells.data.length;
  return {
    mask: maskOnSheet(cells, factor, picture),
    why: `${what}; it takes ${Math.round(100 * share)} % of the picture.`,
  };
}

function nothingThere(): Problem {
  return new Problem(
    'No subject was found in what is marked',
    '`subject`',
    'Draw the box closer round it, or stroke over a part that is the subject',
  );
}

/** The subject's box as a mark. */
function boxMark(subject: string | null): Mark[] {
  if (subject === null || subject.trim() === FIND) return [];
  const [left, top, width, height] = subject.split(',').map(Number);
  if (width === 0 || height === 0) {
    throw new Problem(
      `The box ${subject} round the subject is empty`,
      '`subject`',
      'Its width and height, the last two numbers, must be more than 0',
    );
  }
  if (Math.max(left + width, top + height) > 100 + PERCENT_ROUNDING) {
    throw new Problem(
      `The box ${subject} round the subject leaves the picture`,
      '`subject`',
      'Left and width may come to 100 together and no more; so may top and height',
    );
  }
  return [{ do: 'box', from: [left, top], to: [left + width, top + height] }];
}

/** The cells as a mask of the whole sheet, their steps rounded off. */
function maskOnSheet(
  { width, height, data }: Cells,
  factor: number,
  { gray, pictureBox }: SubjectPicture,
): Bitmap {
  const field = { width, height, data: Float32Array.from(data) };
  return finerMarks(gaussianBlur(field, ROUNDED), factor, pictureBox, gray, 0.5, 0);
}
