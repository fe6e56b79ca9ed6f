import type { Face } from '../../faces/face.js';
import type { Colours } from '../../raster/colours.js';
import type { Mark, Spot } from '../../settings/marks.js';
import { onShown } from '../../raster/placement.js';
import {
  BACKGROUND,
  SUBJECT,
  UNKNOWN,
  coarseCut,
  fineCut,
  type Cells,
  type Known,
} from './graph-cut.js';
import { seedsOf, type SubjectGrid } from './seeds.js';
import { withoutSmallComponents } from './small-components.js';

/** The picture's rim that is taken for background, in percent of its sides; people stand on its lower edge. */
const RIM = 1.5;
/**
 * What certainly is a person's: strokes down the middle of the face, from its hair to the chin, and of the chest and the
 * coat below it. From where to where, in heights of the face's box from its top, and how wide, in widths of it. By eye on 14
 * photographs.
 */
const STROKES = [
  { from: -0.12, to: 0.75, wide: 0.5 },
  { from: 1.15, to: 1.6, wide: 0.55 },
  { from: 1.75, to: 2.4, wide: 1 },
] as const;
/** People who take less of the picture than this, or more, were not told apart. */
const LEAST_SHARE = 0.03;
const MOST_SHARE = 0.85;

/**
 * Tells people apart from their background: faces and chests are theirs, the rim of the picture is not, and the rest is cut
 * by colour and contour.
 *
 * @returns undefined when that leaves next to nothing, or nearly all
 */
export function suggestPeople(
  colours: Colours,
  ground: SubjectGrid,
  faces: readonly Pick<Face, 'box'>[],
): Cells | undefined {
  const known = seedsOf(
    [rimOf(ground), ...faces.flatMap((face) => strokesOf(face, ground))],
    ground,
  );
  const cells = withoutSmallComponents(fineCut(colours, known, coarseCut(colours, known)), known);
  const share = cells.data.reduce((sum, value) => sum + value, 0) / cells.data.length;
  return share < LEAST_SHARE || share > MOST_SHARE ? undefined : cells;
}

/**
 * What is known from marks, and from the faces among what was marked: hair, collar and coat of a person in a box are hers,
 * also where they look like the background.
 */
export function withPeople(
  known: Known,
  ground: SubjectGrid,
  faces: readonly Pick<Face, 'box'>[],
): Known {
  const isMarked = ({ box: [left, top, width, height] }: Pick<Face, 'box'>): boolean => {
    const [[x, y]] = onShown([[left + width / 2, top + height / 2]], ground.shows, ground);
    const place = Math.floor(y) * known.width + Math.floor(x);
    return known.startsFull && known.data[place] !== BACKGROUND;
  };
  const people = faces.filter(isMarked);
  if (people.length === 0) return known;
  const theirs = seedsOf(people.flatMap((face) => strokesOf(face, ground)), ground).data; // prettier-ignore
  const data = known.data.map((what, i) =>
    what === UNKNOWN && theirs[i] === SUBJECT ? SUBJECT : what,
  );
  return { ...known, data };
}

function rimOf({ shows: { x, y, width, height } }: SubjectGrid): Mark {
  const [across, down] = [RIM * width, RIM * height];
  return {
    do: 'box',
    from: [100 * x + across, 100 * y + down],
    to: [100 * (x + width) - across, 100 * (y + height) + 1],
  };
}

function strokesOf(
  { box: [left, top, width, height] }: Pick<Face, 'box'>,
  { slope }: SubjectGrid,
): Mark[] {
  const middle = left + width / 2;
  const at = (share: number): Spot => [middle, top + share * height];
  // A stroke's width is in percent of the picture's longer side.
  const wide = width / Math.max(1, slope);
  return STROKES.map((stroke) => ({
    do: 'this',
    along: [at(stroke.from), at(stroke.to)],
    width: stroke.wide * wide,
  }));
}
