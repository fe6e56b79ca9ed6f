import { sharpOn, type PixelSize } from './decoding.js';

/**
 * Converts decoded pixels from a colour profile to sRGB. sharp takes profiles only with files, so they go to it as one.
 *
 * @param rgb three bytes a pixel
 * @param profile an ICC profile's bytes
 */
export async function convertToSrgb(
  rgb: Uint8Array,
  size: PixelSize,
  profile: Uint8Array,
): Promise<Uint8Array> {
  const pipeline = sharpOn(tiffWithProfile(rgb, size, profile));
  return pipeline.toColourspace('srgb').raw().toBuffer();
}

/** TIFF 6.0 field types. */
const [SHORT, LONG, UNDEFINED] = [3, 4, 7];

/**
 * An uncompressed TIFF (TIFF 6.0) of `rgb` with its colour profile (ICC.1:2022, annex B: tag 34675).
 */
function tiffWithProfile(
  rgb: Uint8Array,
  { width, height }: PixelSize,
  profile: Uint8Array,
): Uint8Array {
  const fields = 10;
  const bits = 8 + 2 + fields * 12 + 4;
  const pixels = bits + 6;
  const icc = pixels + rgb.length;
  const tiff = Buffer.alloc(icc + profile.length);
  tiff.write('II*\0', 'latin1');
  tiff.writeUInt32LE(8, 4);
  tiff.writeUInt16LE(fields, 8);
  const entries: readonly (readonly [tag: number, type: number, count: number, value: number])[] = [
    [256, LONG, 1, width],
    [257, LONG, 1, height],
    [258, SHORT, 3, bits],
    [259, SHORT, 1, 1], // no compression
    [262, SHORT, 1, 2], // RGB
    [273, LONG, 1, pixels],
    [277, SHORT, 1, 3], // samples a pixel
    [278, LONG, 1, height], // all rows in one strip
    [279, LONG, 1, rgb.length],
    [34675, UNDEFINED, profile.length, icc],
  ];
  entries.forEach(([tag, type, count, value], i) => {
    const at = 10 + i * 12;
    tiff.writeUInt16LE(tag, at);
    tiff.writeUInt16LE(type, at + 2);
    tiff.writeUInt32LE(count, at + 4);
    tiff.writeUInt32LE(value, at + 8); // little-endian: a SHORT is read from the first two bytes
  });
  for (let i = 0; i < 3; i++) tiff.writeUInt16LE(8, bits + 2 * i);
  tiff.set(rgb, pixels);
  tiff.set(profile, icc);
  return tiff;
}
