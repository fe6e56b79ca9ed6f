import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline } from '../../src/index.js';
import { findRegions } from '../../src/raster/labels.js';
import { oneThing, post } from '../support/scenes.js';

/*
 * Where nothing is drawn nothing is cut: in a gradient, on rough paper, in the corners of a vignette or a scan, in lights out
 * of focus. What each scene shows is drawn by us, so that the place of its one thing is known.
 */

const SIDE = 900;
/** An outline may lie so far beside the thing, in mm. */
const NEAR_MM = 1;

describe('of a picture of one thing', () => {
  it.each(oneThing)('nothing else is cut: $name', async ({ png, thing }) => {
    const { read, tone } = await createPipeline().runFor(['read', 'tone'], await png(), completeJob({})); // prettier-ignore
    const { pictureBox, pixelsPerMm } = read;
    const near = NEAR_MM * pixelsPerMm;
    const [left, top, right, bottom] = thing.map(
      (px, k) =>
        (px / SIDE) * pictureBox.width +
        [pictureBox.x, pictureBox.y][k % 2] +
        (k < 2 ? -near : near),
    );
    const { width, data } = tone.bitmap;
    let [within, beyond] = [0, 0];
    for (let i = data.indexOf(1); i >= 0; i = data.indexOf(1, i + 1)) {
      const [x, y] = [i % width, Math.floor(i / width)];
      if (x >= left && x <= right && y >= top && y <= bottom) within++;
      else beyond++;
    }
    expect(within).toBeGreaterThan(100);
    expect(beyond).toBe(0);
  });

  it('lights out of focus are no shapes, though most edges are theirs', async () => {
    const { tone } = await createPipeline().runFor(['tone'], await post.png(), completeJob({}));
    // The post, in the dark round it, stands on the frame: there is no film but what hangs together.
    expect(findRegions(tone.bitmap, 0, 4).count).toBe(1);
    expect(findRegions(tone.bitmap, 1, 8).count).toBe(1);
  });
});
