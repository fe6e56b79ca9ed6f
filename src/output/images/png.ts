import { crc32, deflate } from 'node:zlib';
import { promisify } from 'node:util';
import type { Colours } from '../../raster/colours.js';
import type { Bitmap, Gray } from '../../raster/raster.js';

const deflated = promisify(deflate);

/** PNG specification (ISO/IEC 15948): the first eight bytes; colour types of IHDR; the unit of pHYs. */
const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
const TRUE_COLOUR = 2;
const INDEXED_COLOUR = 3;
const METRE = 1;
/**
 * Of zlib, 1 fast to 9 small: previews of the samples are 2 to 4 % larger than at 9 and take a sixth of its time, on a card
 * of 600 × 400 mm half of it.
 */
const LEVEL = 4;

/**
 * A PNG of indexed colours that knows its true size: ISO/IEC 15948, with a `pHYs` chunk.
 *
 * @param indices one palette index a pixel
 * @param palette up to 256 colours, three bytes each
 * @param pixelsPerMm px a millimetre of the card
 */
export async function indexedPng(
  indices: Gray,
  palette: Uint8Array,
  pixelsPerMm: number,
): Promise<Uint8Array> {
  const { width, height } = indices;
  const perMetre = Math.round(pixelsPerMm * 1000);
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', [...uint32(width), ...uint32(height), 8, INDEXED_COLOUR, 0, 0, 0]),
    chunk('pHYs', [...uint32(perMetre), ...uint32(perMetre), METRE]),
    chunk('PLTE', palette),
    chunk('IDAT', await deflated(unfilteredRows(indices), { level: LEVEL })),
    chunk('IEND', []),
  ]);
}

/** The dark of a bitmap that is shown: near black. */
const INK = [0x1d, 0x1d, 0x1f] as const;

/**
 * A bitmap as a PNG of one bit a pixel: openings dark, film clear (ISO/IEC 15948, with a `tRNS` chunk).
 *
 * @param pixelsPerMm px a millimetre of the card
 */
export async function bitmapPng(bitmap: Bitmap, pixelsPerMm: number): Promise<Uint8Array> {
  const { width, height } = bitmap;
  const perMetre = Math.round(pixelsPerMm * 1000);
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', [...uint32(width), ...uint32(height), 1, INDEXED_COLOUR, 0, 0, 0]),
    chunk('pHYs', [...uint32(perMetre), ...uint32(perMetre), METRE]),
    chunk('PLTE', [0xff, 0xff, 0xff, ...INK]),
    chunk('tRNS', [0, 0xff]),
    chunk('IDAT', await deflated(packedRows(bitmap), { level: LEVEL })),
    chunk('IEND', []),
  ]);
}

/**
 * A PNG in sRGB colours that knows its true size, as `indexedPng` does.
 *
 * @param pixelsPerMm px a millimetre of the card
 */
export async function colourPng(
  { width, height, data }: Colours,
  pixelsPerMm: number,
): Promise<Uint8Array> {
  const perMetre = Math.round(pixelsPerMm * 1000);
  const bytes = { width: 3 * width, height, data };
  return Buffer.concat([
    SIGNATURE,
    chunk('IHDR', [...uint32(width), ...uint32(height), 8, TRUE_COLOUR, 0, 0, 0]),
    chunk('pHYs', [...uint32(perMetre), ...uint32(perMetre), METRE]),
    chunk('IDAT', await deflated(unfilteredRows(bytes), { level: LEVEL })),
    chunk('IEND', []),
  ]);
}

/** Eight pixels a byte, the leftmost in the highest bit; each row behind a zero as below. */
function packedRows({ width, height, data }: Bitmap): Uint8Array {
  const stride = 1 + Math.ceil(width / 8);
  const rows = new Uint8Array(stride * height);
  for (let row = 0, i = 0; row < height; row++) {
    const start = row * stride + 1;
    for (let x = 0; x < width; x++, i++) rows[start + (x >> 3)] |= data[i] << (7 - (x & 7));
  }
  return rows;
}

/** Each row behind a zero: filter type "none", which suits indices; there is no near or far among them. */
function unfilteredRows({ width, height, data }: Gray): Uint8Array {
  const rows = new Uint8Array((width + 1) * height);
  for (let row = 0; row < height; row++) {
    rows.set(data.subarray(row * width, (row + 1) * width), row * (width + 1) + 1);
  }
  return rows;
}

function chunk(type: string, data: ArrayLike<number>): Uint8Array {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), Uint8Array.from(data)]);
  return Buffer.concat([
    Uint8Array.from(uint32(data.length)),
    body,
    Uint8Array.from(uint32(crc32(body))),
  ]);
}

/** Four bytes, the highest first. */
function uint32(value: number): readonly number[] {
  return [value >>> 24, (value >>> 16) & 255, (value >>> 8) & 255, value & 255];
}
