import { readFile } from 'node:fs/promises';
import { computeThreshold, decode, Image } from 'image-js';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { fieldOf } from '../../src/raster/field.js';
import { histogramOf, otsu } from '../../src/raster/histogram.js';
import { readPicture } from '../../src/stages/read/read.js';
import { photographFile, photographs, type Photograph } from '../support/photographs.js';

// Otsu's level (1979) against image-js, a general-purpose image library with its own, on the open photographs.

const bytesOf = (name: Photograph): Promise<Buffer> => readFile(photographFile(name));

describe('Otsu’s level equals a reference library’s', () => {
  it.each(photographs)('on %s, at its own size', async (name) => {
    const grey = decode(await bytesOf(name)).grey({ algorithm: 'luma709' });
    const data = Uint8Array.from(grey.getRawImage().data);
    const ours = otsu(histogramOf({ width: grey.width, height: grey.height, data })).level;
    expect(ours).toBe(computeThreshold(grey, { algorithm: 'otsu' }));
    expect(ours).toBeGreaterThan(0);
  });

  it.each(photographs)('on %s, over its frame on the card', async (name) => {
    const picture = await readPicture(await bytesOf(name), completeJob({}));
    const { width, height } = picture.pictureBox;
    const field = fieldOf(picture.gray, picture.pictureBox);
    const image = new Image(width, height, {
      data: Uint8Array.from(field.data),
      colorModel: 'GREY',
    });
    expect(otsu(histogramOf(field)).level).toBe(computeThreshold(image, { algorithm: 'otsu' }));
  });
});
