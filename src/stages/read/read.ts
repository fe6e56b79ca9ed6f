import { pixelsPerMm, type Sheet } from '../../settings/card.js';
import { sheetOf, type Job } from '../../settings/job.js';
import { PERCENT_ROUNDING } from '../../settings/marks.js';
import { Problem, THE_PICTURE } from '../../settings/problem.js';
import { covering, contained, pixelsInsideMargin, sheetSize } from '../../raster/placement.js';
import type { Colours } from '../../raster/colours.js';
import type { Box, Gray } from '../../raster/raster.js';
import { readBytes } from './file.js';
import { greyOf } from './grey.js';
import { foldSymmetry, type FoldSymmetry } from './fold-symmetry.js';
import { drawnPart, motifBox } from './motif.js';
import { packetBox } from './packet-box.js';
import type { PixelSize } from './decoding.js';
import { textOfCorners, type Rectification } from '../../settings/rectification.js';
import { fitted, rectifiedPicture, pageIn } from './rectified.js';
import { openPicture } from './open.js';
import type { Opened } from './opened.js';

/** A picture on its sheet: upright, grey, at the raster's scale. */
export interface Picture {
  /** The whole sheet; 255 where the picture is not. */
  readonly gray: Gray;
  /** What is to be told of its grey, a sentence; empty where it is luma. */
  readonly greyWhy: string;
  /** The pixels that the picture covers, inside the margin. */
  readonly pictureBox: Box;
  readonly sheet: Sheet;
  readonly pixelsPerMm: number;
  /** What stands in the box, in colour. */
  readonly colours: Colours;
  /** The part of the upright picture that stands in the box, in shares of its width and height. */
  readonly shows: Box;
  /** Of a folded sheet: how far the picture is symmetric as the sheet is when it is opened. */
  readonly symmetry?: FoldSymmetry;
  /** What was read: size in px once upright, the kind of file, and how many pages or frames it holds where not one. */
  readonly source: {
    readonly width: number;
    readonly height: number;
    readonly format: string;
    readonly holds?: number;
  };
}

type ReadJob = Pick<Job, 'card' | 'turn' | 'margin' | 'fit' | 'crop' | 'repeat' | 'motifSize'> &
  Partial<Pick<Job, 'fineness' | 'fold' | 'foldPanels' | 'foldPicture'>> &
  Partial<Rectification>;

/** How a picture is rectified where nothing is said of it: not at all. */
const AS_IT_IS: Rectification = { pictureTurn: 'none', straighten: 0, page: null };

/**
 * Reads a picture and lays it on the sheet.
 *
 * Upright by its EXIF orientation (EXIF 2.32, tag 274); from its own colour profile to sRGB; transparency on white;
 * the first of several pictures or frames. It shrinks by the filter of Mitchell & Netravali, "Reconstruction filters
 * in computer graphics" (1988), and grows by a Catmull–Rom cubic. Grey is luma by Rec. ITU-R BT.709-6, item 3.2, or the
 * mix that keeps the contrast of its colours where luma loses it (`grey.ts`).
 *
 * A motif that is to be repeated is laid once, at its own size, without the empty paper round it.
 *
 * @param source a file's path, or its bytes
 * @param job the card; how the picture sits on it (`whole`: all of it inside the margin; `fill`: over all that is
 *   inside the margin, with the ends of its longer side cut off); the part to use, in percent. The margin must leave
 *   room on the card.
 * @throws Problem when the file can't be opened, is no picture, is damaged or is too large (over 268 megapixels; 100
 *   for HEIC), and when the crop rectangle is empty or leaves the picture
 */
export async function readPicture(source: string | Uint8Array, job: ReadJob): Promise<Picture> {
  const where = typeof source === 'string' ? source : THE_PICTURE;
  const opened = await rectifiedPicture(
    await openPicture(typeof source === 'string' ? await readBytes(source) : source, where),
    { ...AS_IT_IS, ...job },
  );
  const sheet = sheetOf(job);
  const scale = pixelsPerMm(sheet, job.fineness);
  const room = pixelsInsideMargin(sheet, job.margin, scale);
  const { part, pictureBox, fit, symmetry } = await placementOf(opened, room, scale, job);
  const rgb = await opened.shown(part, pictureBox, fit);
  const colours = { width: pictureBox.width, height: pictureBox.height, data: rgb };
  const grey = await greyOf(colours);
  return {
    gray: laid(grey.data, pictureBox, sheetSize(sheet, scale)),
    greyWhy: grey.why,
    pictureBox,
    sheet,
    pixelsPerMm: scale,
    colours,
    ...(symmetry && { symmetry }),
    shows: sharesOf(fit === 'fill' ? covering(part, pictureBox) : part, opened),
    source: {
      width: Math.round(opened.width),
      height: Math.round(opened.height),
      format: opened.format,
      ...(opened.holds !== undefined && opened.holds > 1 && { holds: opened.holds }),
    },
  };
}

/** What of the picture is shown, where on the sheet, and how. */
async function placementOf(
  opened: Opened,
  room: Box,
  scale: number,
  job: ReadJob,
): Promise<ReadPlacement> {
  const part = croppedPart(opened, job.crop);
  const look = async (box: Box, size: PixelSize): Promise<Uint8Array> =>
    (await greyOf({ ...size, data: await opened.shown(box, size, 'whole') })).data;
  if (job.fold !== undefined && job.fold !== 'none') {
    return placedToFold(part, room, scale, { ...job, fold: job.fold }, look);
  }
  if (job.repeat !== 'none') {
    const drawn = await drawnPart(part, look);
    return { part: drawn, pictureBox: motifBox(drawn, room, scale, job), fit: 'whole' };
  }
  const pictureBox = job.fit === 'fill' ? room : contained(part.width, part.height, room);
  return { part, pictureBox, fit: job.fit };
}

/** What of the picture is shown, where on the sheet, and how; of a folded sheet also how symmetric it is. */
interface ReadPlacement {
  readonly part: Box;
  readonly pictureBox: Box;
  readonly fit: Job['fit'];
  readonly symmetry?: FoldSymmetry;
}

/** Over the whole sheet where the picture shows the sheet as it opens, else in the packet. */
async function placedToFold(
  part: Box,
  room: Box,
  scale: number,
  job: ReadJob & { readonly fold: Job['fold'] },
  look: (box: Box, size: PixelSize) => Promise<Uint8Array>,
): Promise<ReadPlacement> {
  const { fold, foldPanels = '2', foldPicture = 'auto', fit } = job;
  const drawn = await drawnPart(part, look);
  const measured = await foldSymmetry(drawn, { fold, foldPanels }, look);
  // A photograph has no paper round it: however alike its halves, it is a picture to be repeated.
  const isWhole =
    foldPicture === 'auto' ? drawn !== part && measured.isWhole : foldPicture === 'whole';
  if (isWhole && measured.share < LEAST_SYMMETRY) throw notSymmetric(measured.share);
  const symmetry = { share: measured.share, isWhole };
  if (isWhole) {
    const whole = contained(drawn.width, drawn.height, room);
    return { part: drawn, pictureBox: whole, fit: 'whole', symmetry };
  }
  const packet = packetBox({ fold, foldPanels, sheet: sheetOf(job) }, room, scale, job.margin);
  const pictureBox = fit === 'fill' ? packet : contained(drawn.width, drawn.height, packet);
  return { part: drawn, pictureBox, fit, symmetry };
}

/** What is less symmetric than this can't be folded back: no part of it says what the others show. */
const LEAST_SYMMETRY = 0.5;

function notSymmetric(share: number): Problem {
  return new Problem(
    `The drawing is not symmetric as a sheet folded so comes out: its parts agree by ${Math.round(100 * share)} in 100`,
    '`foldPicture`',
    'Take another fold, draw it symmetric, or give `foldPicture` part, to cut the drawing into the packet',
  );
}

function sharesOf(part: Box, { width, height }: PixelSize): Box {
  return {
    x: part.x / width,
    y: part.y / height,
    width: part.width / width,
    height: part.height / height,
  };
}

/** A whole picture in colour, no larger than asked for. */
export interface Copy {
  /** Upright, on white, in sRGB, three bytes a pixel. */
  readonly rgb: Uint8Array;
  readonly width: number;
  readonly height: number;
  /** The picture itself: size in px once upright, and the kind of file. */
  readonly source: Picture['source'];
}

/**
 * A copy of a picture for a screen.
 *
 * @param longest px of the longer side at most; a smaller picture is not enlarged
 * @param mostPixels what a picture may have; more is refused before any of it is decoded
 * @param how how it is to be turned, straightened or laid flat
 * @throws Problem when the picture can't be opened, as `readPicture` says, or has more pixels
 */
export async function copyPicture(
  bytes: Uint8Array,
  longest: number,
  mostPixels: number,
  how: Rectification = AS_IT_IS,
): Promise<Copy> {
  const opened = await openPicture(bytes, THE_PICTURE);
  if (opened.width * opened.height > mostPixels)
    throw tooLarge(opened.width * opened.height, mostPixels);
  const { width, height, format, shown } = await rectifiedPicture(opened, how);
  const size = fitted({ width, height }, longest);
  const rgb = await shown({ x: 0, y: 0, width, height }, size, 'whole');
  const source = { width: Math.round(width), height: Math.round(height), format };
  return { rgb, ...size, source };
}

function tooLarge(pixels: number, most: number): Problem {
  const mega = (px: number) => Math.round(px / 1e6);
  return new Problem(
    `The picture is too large: ${mega(pixels)} megapixels`,
    THE_PICTURE,
    `Save it smaller, under ${mega(most)} megapixels; a card needs far less`,
  );
}

/** The part of the picture to use, in its pixels (or fractions of them). */
function croppedPart({ width, height }: Opened, crop: string | null): Box {
  if (crop === null) return { x: 0, y: 0, width, height };
  const numbers = crop.split(',').map(Number);
  const [left = NaN, top = NaN, across = NaN, down = NaN] = numbers;
  if (numbers.length !== 4 || !numbers.every((number) => number >= 0)) {
    throw new Problem(
      `"${crop}" is not a crop rectangle`,
      '`crop`',
      'Give left, top, width and height in percent of the picture, as in 10,5,80,90',
    );
  }
  if (across === 0 || down === 0) {
    throw new Problem(
      `The crop rectangle ${crop} is empty`,
      '`crop`',
      'Its width and height, the last two numbers, must be more than 0',
    );
  }
  if (Math.max(left + across, top + down) > 100 + PERCENT_ROUNDING) {
    throw new Problem(
      `The crop rectangle ${crop} leaves the picture`,
      '`crop`',
      'Left and width may come to 100 together and no more; so may top and height',
    );
  }
  return {
    x: (left / 100) * width,
    y: (top / 100) * height,
    width: (across / 100) * width,
    height: (down / 100) * height,
  };
}

function laid(
  pixels: Uint8Array,
  pictureBox: Box,
  { width, height }: { readonly width: number; readonly height: number },
): Gray {
  const data = new Uint8Array(width * height).fill(255);
  for (let row = 0; row < pictureBox.height; row++) {
    const line = pixels.subarray(row * pictureBox.width, (row + 1) * pictureBox.width);
    data.set(line, (pictureBox.y + row) * width + pictureBox.x);
  }
  return { width, height, data };
}

/** The corners of the page that a picture shows, in percent of it; null where there is none. */
export async function findPage(bytes: Uint8Array): Promise<string | null> {
  const found = await pageIn(await openPicture(bytes, THE_PICTURE));
  return found ? textOfCorners(found) : null;
}
