import fc from 'fast-check';
import type { Bitmap } from '../../src/raster/raster.js';

/** Small bitmaps of any size and content. */
export function bitmaps(least: number, most: number): fc.Arbitrary<Bitmap> {
  return fc
    .tuple(fc.integer({ min: least, max: most }), fc.integer({ min: least, max: most }))
    .chain(([width, height]) =>
      fc
        .array(fc.integer({ min: 0, max: 1 }), {
          minLength: width * height,
          maxLength: width * height,
        })
        .map((bits) => ({ width, height, data: Uint8Array.from(bits) })),
    );
}

/** A bitmap from a drawing in text: `#` is opening, anything else film. */
export function drawn(...rows: readonly string[]): Bitmap {
  const width = rows[0].length;
  const data = Uint8Array.from(rows.join(''), (sign) => (sign === '#' ? 1 : 0));
  return { width, height: rows.length, data };
}

/** A bitmap that is opening where a rule says so, at the pixel's centre in px. */
export function painted(
  width: number,
  height: number,
  inside: (x: number, y: number) => boolean,
): Bitmap {
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) {
    data[i] = inside((i % width) + 0.5, Math.floor(i / width) + 0.5) ? 1 : 0;
  }
  return { width, height, data };
}

/** 1 where a value, one for each pixel, is above a limit. A plain loop: mapping while copying takes thirty times as long. */
export function above(
  values: ArrayLike<number>,
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  limit: number,
): Bitmap {
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = values[i] > limit ? 1 : 0;
  return { width, height, data };
}

/** A pseudo-random source with a seed: 0 up to and without 1 (mulberry32, public domain). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
