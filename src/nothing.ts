import { Problem } from './problem.js';
import { countOpening } from './raster/count.js';
import type { Bridged } from './stages/bridge.js';
import type { Picture } from './stages/read.js';
import type { Repeated } from './stages/repeat.js';
import type { Widened } from './stages/widen.js';

/** Greys, of 256, that an even picture may still wander by: what a strong JPEG does to one flat colour. */
const EVEN_GREYS = 6;
const DARK_GREY = 85;
const LIGHT_GREY = 170;
/** Share of the picture that must stay film for there to be a shape in it. */
const LEAST_FILM = 0.002;

/**
 * Lets a picture through that has something in it.
 *
 * @throws Problem "Nothing to cut" when it is one even tone
 */
export function refuseBlank(picture: Picture): Picture {
  const { gray, frame } = picture;
  let darkest = 255;
  let lightest = 0;
  for (let y = frame.y; y < frame.y + frame.height; y++) {
    const end = y * gray.width + frame.x + frame.width;
    for (let i = end - frame.width; i < end; i++) {
      const value = gray.data[i];
      if (value < darkest) darkest = value;
      if (value > lightest) lightest = value;
    }
  }
  if (lightest - darkest > EVEN_GREYS) return picture;
  const shade = lightest < DARK_GREY ? 'dark' : darkest > LIGHT_GREY ? 'light' : 'one even grey';
  throw new Problem(
    `Nothing to cut: the picture is ${shade} all over, there is no shape in it`,
    'picture',
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
    'count',
    levels.length > 1 ? `Make ${levels.length} layers` : 'Make one stencil of it',
  );
}

/**
 * Lets a widened tone through that has both opening and film.
 *
 * @throws Problem "Nothing to cut" when the one or the other is missing
 */
export function refuseEmpty(widened: Widened, { bitmap, frame }: Repeated): Widened {
  const openings = countOpening(widened.bitmap);
  if (openings === 0) {
    throw countOpening(bitmap) === 0
      ? new Problem(
          'Nothing to cut: at this tone no part of the picture is dark',
          'tone',
          'Choose another tone, raise the level, or swap dark and light',
        )
      : new Problem(
          'Nothing to cut: every dark part of the picture is smaller than you can cut',
          'smallestOpening',
          'Take a larger card, crop the picture closer, or lower the limits',
        );
  }
  const area = frame.width * frame.height;
  if (area - openings < LEAST_FILM * area) {
    throw new Problem(
      'Nothing to cut: the picture is dark all over, there is no shape in it',
      'tone',
      'Choose another tone or lower the level',
    );
  }
  return widened;
}

/**
 * Lets a bridged stencil through that has an opening left.
 *
 * @throws Problem "Nothing to cut" when none is
 */
export function refuseNoOpening(bridged: Bridged): Bridged {
  if (bridged.openings.length > 0) return bridged;
  throw new Problem(
    'Nothing to cut: with its bridges no opening is large enough to cut',
    'smallestOpening, bridgeWidth',
    'Take a larger card, crop the picture closer, or lower the limits',
  );
}
