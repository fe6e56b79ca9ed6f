import { Problem } from '../../settings/problem.js';
import { decoding, sharpOn, type PixelSize } from './decoding.js';
import { drawnWhole, isBusy, scaledPart } from './busy-drawing.js';
import { emptyRoot, mostPixelsStated } from './format.js';
import type { Opened } from './opened.js';
import { resampled } from './photo.js';

/** What the SVG renderer can draw, px a side. */
const LARGEST_DRAWN = 32_767;
/** The most that the renderer can count, px a side; a drawing that states more is a mistake or a trap. */
const MOST_STATED = 10_000_000;
/** The density, in pixels to the inch, at which the renderer takes a drawing's px for a pixel. */
const DENSITY = 72;
/** A shape is measured at up to so many times that density: what it is off by then is a hundredth of a pixel. */
const MOST_FINER = 100;

/**
 * Opens an SVG. The renderer gets bytes and never a file's place, so that it has nowhere from which to follow a
 * reference: it draws what the drawing itself holds, and nothing else on this computer or beyond.
 *
 * @throws Problem when it can't be drawn, has no size, or states one over 10 million px
 */
export async function openDrawing(bytes: Uint8Array, where: string): Promise<Opened> {
  if (mostPixelsStated(bytes) > MOST_STATED) {
    throw new Problem(
      'The drawing is too large: it states a size of more than 10 million',
      where,
      'Give its page a smaller size and save it again',
    );
  }
  const draw = <T>(run: () => Promise<T>): Promise<T> =>
    decoding(
      where,
      async () =>
        run().catch((error: unknown) => {
          throw tooLong(error, where);
        }),
      'The drawing is damaged or has no size',
      'Open it in a drawing program, give its page a width and a height and save it anew',
    );
  if (isBusy(bytes, where)) return openBusy(bytes, where, draw);
  const whole = await draw(() => sizeOf(bytes));
  return {
    ...whole,
    format: 'svg',
    shown: (part, size, fit) => draw(() => drawn(bytes, whole, part, size, fit)),
  };
}

/** The renderer's reader of XML takes no single text of more than ten million letters. */
function tooLong(error: unknown, where: string): unknown {
  if (!(error instanceof Error && /limit exceeded/i.test(error.message))) return error;
  return new Problem(
    'The drawing is too large: one of its paths, or a picture inside it, is over 10 million letters long',
    where,
    'Save it as a picture in PNG',
    { cause: error },
  );
}

/** A drawing of very many shapes is drawn once, and then looked at as a photograph is. */
async function openBusy(
  bytes: Uint8Array,
  where: string,
  draw: <T>(run: () => Promise<T>) => Promise<T>,
): Promise<Opened> {
  const root = emptyRoot(bytes);
  if (root === undefined) {
    throw new Problem(
      'The drawing has very many shapes, and states no size',
      where,
      'Open it in a drawing program, give its page a width and a height and save it anew',
    );
  }
  const whole = await draw(() => sizeOf(root));
  return {
    ...whole,
    format: 'svg',
    shown: (part, size, fit) =>
      draw(async () => {
        const { rgb, size: drawn } = await drawnWhole(bytes, root);
        const pixels = sharpOn(rgb, { raw: { ...drawn, channels: 3 } });
        return resampled(pixels, drawn, scaledPart(part, whole, drawn), size, fit);
      }),
  };
}

/**
 * The size of a drawing. The renderer tells whole pixels only, so the shape is measured at a higher density. There,
 * millimetres and inches grow by more than px do; the shape stays the same.
 */
async function sizeOf(bytes: Uint8Array): Promise<PixelSize> {
  const usual = await sharpOn(bytes).metadata();
  const longer = Math.max(usual.width, usual.height);
  const finer = Math.min(MOST_FINER, Math.sqrt(LARGEST_DRAWN / longer));
  if (finer <= 1) return { width: usual.width, height: usual.height };
  const fine = await sharpOn(bytes, { density: DENSITY * finer }).metadata();
  const scale = longer / Math.max(fine.width, fine.height);
  return { width: fine.width * scale, height: fine.height * scale };
}

/** Draws the whole at the scale at which the part has the size that is wanted, and takes the part from it. */
async function drawn(
  bytes: Uint8Array,
  whole: PixelSize,
  ...[part, size, fit]: Parameters<Opened['shown']>
): Promise<Uint8Array> {
  const across = size.width / part.width;
  const down = size.height / part.height;
  const covering = Math.max(across, down);
  const [wide, high] = fit === 'fill' ? [covering, covering] : [across, down];
  // a very small part is drawn as large as can be, and enlarged from there
  const share = Math.min(1, LARGEST_DRAWN / Math.max(whole.width * wide, whole.height * high));
  const x = span(part.x + part.width / 2, size.width, whole.width, wide, share);
  const y = span(part.y + part.height / 2, size.height, whole.height, high, share);
  const rgb = await sharpOn(bytes)
    .flatten({ background: '#ffffff' })
    .resize(x.whole, y.whole, { fit: 'fill' })
    .extract({ left: x.first, top: y.first, width: x.count, height: y.count })
    .toColourspace('srgb')
    .raw()
    .toBuffer();
  return share === 1 ? rgb : enlarged(rgb, { width: x.count, height: y.count }, size);
}

/** Along one side, in drawn pixels: how many the whole has, and which of them show the part. */
function span(
  middle: number,
  wanted: number,
  whole: number,
  scale: number,
  share: number,
): { readonly whole: number; readonly first: number; readonly count: number } {
  const count = Math.max(1, Math.round(wanted * share));
  const all = Math.max(count, Math.round(whole * scale * share));
  const first = Math.round(middle * scale * share - count / 2);
  return { whole: all, first: Math.min(all - count, Math.max(0, first)), count };
}

async function enlarged(rgb: Uint8Array, from: PixelSize, to: PixelSize): Promise<Uint8Array> {
  const pipeline = sharpOn(rgb, { raw: { ...from, channels: 3 } });
  return pipeline.resize(to.width, to.height, { fit: 'fill' }).raw().toBuffer();
}
