import type { Job } from '../../settings/job.js';
import { pixelsInsideMargin } from '../../raster/placement.js';
import type { Bitmap, Box } from '../../raster/raster.js';
import type { Picture } from '../read/read.js';
import { motifPlaces, type MotifPlace } from './places.js';
import type { Tone } from '../tone/tone.js';

/** The tone picture of the whole card, its motif as often as the job wants it. */
export interface Repeated {
  readonly bitmap: Bitmap;
  /** The pixels that the design covers, inside the margin. */
  readonly pictureBox: Box;
  /** How many motifs there are, whole or cut off; 1 where nothing is repeated. */
  readonly motifs: number;
  /** Where the motif lies; left out where nothing is repeated. */
  readonly places?: readonly MotifPlace[];
}

type RepeatJob = Pick<Job, 'repeat' | 'motifGap' | 'motifEdge' | 'margin'>;

/**
 * Repeats the motif in the picture's box over all that is inside the margin; with `none` the tone picture passes
 * as it is, untouched and uncopied.
 *
 * It is repeated before anything is widened or bridged, so that all promises are kept, and checked, on the whole.
 *
 * @throws Problem when whole motifs are wanted and there is no place for one where the arrangement needs it
 */
export function repeat(
  { bitmap }: Pick<Tone, 'bitmap'>,
  { pictureBox, sheet, pixelsPerMm }: Pick<Picture, 'pictureBox' | 'sheet' | 'pixelsPerMm'>,
  job: RepeatJob,
): Repeated {
  const { repeat: arrangement, motifEdge } = job;
  if (arrangement === 'none') return { bitmap, pictureBox, motifs: 1 };
  const room = pixelsInsideMargin(sheet, job.margin, pixelsPerMm);
  const gapPx = job.motifGap * pixelsPerMm;
  const places = motifPlaces(pictureBox, gapPx, room, { repeat: arrangement, motifEdge });
  const data = new Uint8Array(bitmap.data.length);
  for (const place of places) lay(bitmap, pictureBox, place, room, data);
  return { bitmap: { ...bitmap, data }, pictureBox: room, motifs: places.length, places };
}

/** A print of the whole card as it is where the motif lies whole, on the motif's own pixels, for each of these places. */
export function motifsOf(
  print: Bitmap,
  motif: Box,
  { places = [], pictureBox: room }: Pick<Repeated, 'places' | 'pictureBox'>,
): readonly { readonly print: Bitmap; readonly place: MotifPlace }[] {
  const isWhole = ({ x, y }: MotifPlace): boolean =>
    x >= room.x &&
    y >= room.y &&
    x + motif.width <= room.x + room.width &&
    y + motif.height <= room.y + room.height;
  return places.filter(isWhole).map((place) => {
    const data = new Uint8Array(print.data.length);
    for (let y = 0; y < motif.height; y++) {
      const row = place.y + (place.flipY ? motif.height - 1 - y : y);
      for (let x = 0; x < motif.width; x++) {
        const column = place.x + (place.flipX ? motif.width - 1 - x : x);
        data[(motif.y + y) * print.width + motif.x + x] = print.data[row * print.width + column];
      }
    }
    return { print: { ...print, data }, place };
  });
}

/** Copies the motif's openings to a place, as far as they lie in the room. */
function lay(from: Bitmap, motif: Box, place: MotifPlace, room: Box, onto: Uint8Array): void {
  const { width } = from;
  const top = Math.max(place.y, room.y);
  const bottom = Math.min(place.y + motif.height, room.y + room.height);
  const left = Math.max(place.x, room.x);
  const right = Math.min(place.x + motif.width, room.x + room.width);
  for (let y = top; y < bottom; y++) {
    const down = y - place.y;
    const row = (motif.y + (place.flipY ? motif.height - 1 - down : down)) * width + motif.x;
    for (let x = left; x < right; x++) {
      const across = x - place.x;
      onto[y * width + x] |= from.data[row + (place.flipX ? motif.width - 1 - across : across)];
    }
  }
}
