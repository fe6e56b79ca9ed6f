import type { Metadata, Sharp } from 'sharp';
import { Problem } from '../../settings/problem.js';
import { covering } from '../../raster/placement.js';
import type { Box } from '../../raster/raster.js';
import { bmpHeader, decodeBmp } from './bmp.js';
import { decoding, sharpOn, type PixelSize } from './decoding.js';
import type { FileKind } from './format.js';
import { decodeHeic } from './heic.js';
import type { Opened } from './opened.js';
import { convertToSrgb } from './profile.js';

/**
 * The largest camera pictures have 200 megapixels; beyond this, 268 million pixels, a picture is a mistake or a trap.
 */
const MOST_PIXELS = 16_384 ** 2;
/** Pixels: the HEIC decoder holds the whole picture in memory several times over. */
const MOST_HEIC_PIXELS = 100_000_000;
/** Pixels: a small file can unroll to many. */
const MOST_PACKED_PIXELS = 100_000_000;

/**
 * Opens a picture made of pixels.
 *
 * @throws Problem when its header can't be read, or states more than 268 megapixels (100 for HEIC)
 */
export async function openPhoto(
  bytes: Uint8Array,
  kind: Exclude<FileKind, 'svg' | 'bmp'>,
  where: string,
): Promise<Opened> {
  const header = await decoding(where, async () => sharpOn(bytes).metadata());
  const { width, height } = header.autoOrient;
  const isHeic = header.compression === 'hevc';
  refuseTooLarge({ width, height }, isHeic ? MOST_HEIC_PIXELS : MOST_PIXELS, where);
  return {
    width,
    height,
    format: isHeic ? 'heic' : kind === 'heif' ? 'avif' : kind,
    holds: header.pages ?? 1,
    shown: (part, size, fit) =>
      decoding(where, async () =>
        isHeic
          ? shownFromHeic(bytes, header, part, size, fit)
          : resampled(uprightSrgb(bytes, header), { width, height }, part, size, fit),
      ),
  };
}

/**
 * Opens a BMP, of any depth; packed in runs, or not.
 *
 * @throws Problem when its headers can't be read, or state more than 268 megapixels (100 where they are packed)
 */
export async function openBmp(bytes: Uint8Array, where: string): Promise<Opened> {
  const header = await decoding(where, () => Promise.resolve().then(() => bmpHeader(bytes)));
  const { width, height, packing } = header;
  refuseTooLarge(header, packing === 'runs' ? MOST_PACKED_PIXELS : MOST_PIXELS, where);
  return {
    width,
    height,
    format: 'bmp',
    shown: (part, size, fit) =>
      decoding(where, () => {
        const { data, channels } = decodeBmp(bytes, header);
        const pixels = sharpOn(data, { raw: { width, height, channels } });
        return resampled(pixels, { width, height }, part, size, fit);
      }),
  };
}

function uprightSrgb(bytes: Uint8Array, header: Metadata): Sharp {
  const pipeline = sharpOn(bytes).autoOrient();
  // unless it is told, sharp takes 16-bit pictures with a profile to Display P3 and leaves them there
  const endsInP3 = header.depth === 'ushort' && header.hasProfile;
  return endsInP3 ? pipeline.withIccProfile('srgb', { attach: false }) : pipeline;
}

async function shownFromHeic(
  bytes: Uint8Array,
  header: Metadata,
  ...[part, size, fit]: Parameters<Opened['shown']>
): Promise<Uint8Array> {
  const { data, ...decoded } = await decodeHeic(bytes, header.pagePrimary ?? 0);
  const pipeline = sharpOn(data, { raw: { ...decoded, channels: 4 } });
  const rgb = await resampled(pipeline, decoded, part, size, fit);
  return header.icc ? convertToSrgb(rgb, size, header.icc) : rgb;
}

/** One pipeline from the file to the size that is wanted, so that decoders which can shrink on load do. */
export function resampled(
  pipeline: Sharp,
  whole: PixelSize,
  ...[part, size, fit]: Parameters<Opened['shown']>
): Promise<Uint8Array> {
  const shown = wholePixels(part, whole);
  // a small picture that has to cover its box: what would be cut off is not enlarged first
  const grows = size.width > shown.width || size.height > shown.height;
  const region = fit === 'fill' && grows ? covering(shown, size) : shown;
  const isAll = region.width === whole.width && region.height === whole.height;
  const taken = isAll
    ? pipeline
    : pipeline.extract({
        left: region.x,
        top: region.y,
        width: region.width,
        height: region.height,
      });
  return taken
    .flatten({ background: '#ffffff' })
    .resize(size.width, size.height, { fit: fit === 'fill' ? 'cover' : 'fill', kernel: 'mitchell' })
    .toColourspace('srgb')
    .raw()
    .toBuffer();
}

function wholePixels(part: Box, whole: PixelSize): Box {
  const [x, width] = wholeSpan(part.x, part.width, whole.width);
  const [y, height] = wholeSpan(part.y, part.height, whole.height);
  return { x, y, width, height };
}

function wholeSpan(
  start: number,
  length: number,
  whole: number,
): readonly [first: number, count: number] {
  const first = Math.min(whole - 1, Math.round(start));
  const end = Math.min(whole, Math.max(first + 1, Math.round(start + length)));
  return [first, end - first];
}

function refuseTooLarge({ width, height }: PixelSize, most: number, where: string): void {
  if (width * height <= most) return;
  const megapixels = (pixels: number): string => (pixels / 1e6).toFixed(0);
  throw new Problem(
    `The picture is too large: ${width} × ${height} px, ${megapixels(width * height)} megapixels`,
    where,
    `Save it smaller, under ${megapixels(most)} megapixels; a card needs far less`,
  );
}
