import { describe, expect, it } from 'vitest';
import { closed, dilated, eroded, opened } from '../../src/raster/morphology.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { randomPicture } from '../support/random-pictures.js';

/** By the definition: whether a pixel within the radius of another has a value. */
function hasNear({ width, height, data }: Bitmap, i: number, radius: number, value: number) {
  const [x, y] = [i % width, Math.floor(i / width)];
  for (let v = 0; v < height; v++)
    for (let u = 0; u < width; u++)
      if (data[v * width + u] === value && Math.hypot(u - x, v - y) <= radius) return true;
  return false;
}

describe('morphology with a disk', () => {
  const bitmap = randomPicture('blobs', 3, 30, 2);

  it.each([1, 2.5, 3])('is what Serra defines, by a radius of %f px', (radius) => {
    const wide = bitmap.data.map((_, i) => Number(hasNear(bitmap, i, radius, 1)));
    const core = bitmap.data.map((_, i) => Number(!hasNear(bitmap, i, radius, 0)));
    expect(dilated(bitmap, radius).data).toEqual(wide);
    expect(eroded(bitmap, radius).data).toEqual(core);
    const fits = core.map((_, i) => Number(hasNear({ ...bitmap, data: core }, i, radius, 1)));
    expect(opened(bitmap, radius).data).toEqual(fits);
    const bays = wide.map((_, i) => Number(!hasNear({ ...bitmap, data: wide }, i, radius, 0)));
    expect(closed(bitmap, radius).data).toEqual(bays);
  });
});
