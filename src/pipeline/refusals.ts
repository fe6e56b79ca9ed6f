import { Problem, THE_PICTURE } from '../settings/problem.js';
import { countOpening } from '../raster/count.js';
import type { Job } from '../settings/job.js';
import type { Lines } from '../stages/lines/lines.js';
import type { Picture } from '../stages/read/read.js';
import type { Repeated } from '../stages/repeat/repeat.js';
import type { Reached } from '../stages/reach/reach.js';
import type { FramedDesign } from '../stages/frame/frame.js';
import type { Strokes } from '../stages/strokes/strokes.js';
import type { Widened } from '../stages/widen/widen.js';

/** Greys, of 256, that an even picture may still wander by: what a strong JPEG does to one flat colour. */
const EVEN_GREYS = 6;
/** Greys, of 256: the darkest third is told as dark, the lightest as light. */
const DARK_GREY = 85;
const LIGHT_GREY = 170;
/** Share of the picture from which on it is dark all over, where what is light in it is smaller than a line of glue. */
const ALL_DARK = 0.9;
/** Share of the picture that must stay film for there to be a shape in it. */
const LEAST_FILM = 0.002;

/**
 * Lets a picture through that has something in it.
 *
 * @throws Problem "Nothing to cut" when it is one even tone
 */
export function refuseBlank(picture: Picture): Picture {
  const { gray, pictureBox } = picture;
  let darkest = 255;
  let lightest = 0;
  for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++) {
    const end = y * gray.width + pictureBox.x + pictureBox.width;
    for (let i = end - pictureBox.width; i < end; i++) {
      const value = gray.data[i];
      if (value < darkest) darkest = value;
      if (value > lightest) lightest = value;
    }
  }
  if (lightest - darkest > EVEN_GREYS) return picture;
  const shade = lightest < DARK_GREY ? 'dark' : darkest > LIGHT_GREY ? 'light' : 'one even grey';
  throw new Problem(
    `Nothing to cut: the picture is ${shade} all over, there is no shape in it`,
    THE_PICTURE,
    'Take a picture with dark and light in it; a drawing on a transparent ground must be dark',
  );
}

/**
 * Lets the levels of layers through when there are as many as were wanted.
 *
 * @throws Problem when the picture has fewer tones
 */
export function refuseFewTones(levels: readonly number[], wanted: number): void {
  if (levels.length >= wanted) return;
  throw new Problem(
    `The picture has too few tones for ${wanted} layers`,
    '`count`',
    levels.length > 1 ? `Make ${levels.length} layers` : 'Make one stencil of it',
  );
}

/**
 * Lets a widened design through that has both opening and film.
 *
 * @throws Problem "Nothing to cut" when the one or the other is missing
 */
export function refuseEmpty(
  widened: Widened,
  { bitmap, designBox, changes }: Reached,
  { as }: Pick<Job, 'as'>,
): Widened {
  const area = designBox.width * designBox.height;
  const openings = countOpening(widened.bitmap);
  const wanted = countOpening(bitmap);
  const [cut, hadCut] = as === 'stencil' ? [openings, wanted] : [area - openings, area - wanted];
  if (cut <= 0 && changes.some(({ how }) => how === 'left-out')) {
    throw new Problem(
      'Nothing to cut: no opening comes to a fold or an open edge of the packet, where scissors can begin',
      '`foldPlace`',
      'Move the picture over a fold, make it larger there, leave the place to be found, or cut with a craft knife',
    );
  }
  if (cut <= 0) {
    throw hadCut <= 0
      ? new Problem(
          'Nothing to cut: at this tone no part of the picture is dark',
          '`tone`',
          'Choose another tone, raise the level, or swap dark and light',
        )
      : new Problem(
          'Nothing to cut: every dark part of the picture is smaller than you can cut',
          as === 'stencil' ? '`smallestOpening`' : '`smallestIsland`',
          'Take a larger card, crop the picture closer, or lower the limits',
        );
  }
  if (as === 'stencil' && area - openings < LEAST_FILM * area) {
    throw new Problem(
      'Nothing to cut: the picture is dark all over, there is no shape in it',
      '`tone`',
      'Choose another tone or lower the level',
    );
  }
  return widened;
}

/**
 * Lets a bridged stencil or mask through that has something left to cut.
 *
 * @throws Problem "Nothing to cut" when nothing is
 */
export function refuseNothing(cut: FramedDesign): FramedDesign {
  if (cut.cuts.length > 0) return cut;
  throw new Problem(
    'Nothing to cut: with its bridges no opening is large enough to cut',
    '`smallestOpening`, `bridgeWidth`',
    'Take a larger card, crop the picture closer, or lower the limits',
  );
}

/**
 * Lets strokes through when a person has left some.
 *
 * @throws Problem "Nothing to draw" when all were taken away
 */
export function refuseNoStrokes(strokes: Strokes): Strokes {
  if (strokes.drawn.strokes.length > 0) return strokes;
  throw new Problem(
    'Nothing to draw: every stroke was taken away',
    '`strokeEdits`',
    'Put one back, or draw one',
  );
}

/**
 * Lets a drawing through that has a line in it.
 *
 * @throws Problem "Nothing to draw" when it has none, or when it is one mass that fills the picture
 */
export function refuseNoLines(
  lines: Lines,
  { bitmap, pictureBox }: Pick<Repeated, 'bitmap' | 'pictureBox'>,
  { beadWidth }: Pick<Job, 'beadWidth'>,
): Lines {
  const isFull = countOpening(bitmap) >= ALL_DARK * pictureBox.width * pictureBox.height;
  if (isFull && lines.masses === 1 && lines.graph.edges.length === 1) {
    throw new Problem(
      `Nothing to draw: with lines of ${beadWidth} mm the picture is one dark mass from edge to edge, there is no shape in it`,
      '`tone`',
      'Choose another tone, lower the level, swap dark and light, or draw a narrower line',
    );
  }
  if (lines.graph.edges.length > 0) return lines;
  throw lines.partsDropped + lines.endsDropped > 0
    ? new Problem(
        'Nothing to draw: every dark part of the picture is smaller than a line of glue',
        '`beadWidth`',
        'Take a larger card, crop the picture closer, or draw a narrower line',
      )
    : new Problem(
        'Nothing to draw: at this tone no part of the picture is dark',
        '`tone`',
        'Choose another tone, raise the level, or swap dark and light',
      );
}
