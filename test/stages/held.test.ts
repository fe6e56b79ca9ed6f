import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { cornersIn, heldPlaces } from '../../src/settings/held.js';
import { completeJob } from '../../src/settings/job.js';
import { copyPicture, findPage, readPicture } from '../../src/stages/read/read.js';

const AS_IT_IS = { pictureTurn: 'none', straighten: 0, page: null } as const;

/** A page photographed aslant on a dark table, a black dot a quarter of the way along and down it. */
const CORNERS = [
  [60, 40],
  [340, 70],
  [320, 270],
  [80, 250],
] as const;
const photographed = (): Promise<Buffer> => {
  const at = (u: number, v: number) => {
    const top = CORNERS[0].map((c, k) => c + u * (CORNERS[1][k] - c));
    const under = CORNERS[3].map((c, k) => c + u * (CORNERS[2][k] - c));
    return top.map((c, k) => c + v * (under[k] - c));
  };
  const [x, y] = at(0.25, 0.25);
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300"><rect width="400" height="300" fill="#543"/><polygon points="${CORNERS.join(' ')}" fill="#eee"/><circle cx="${x}" cy="${y}" r="9" fill="#000"/></svg>`;
  return sharp(Buffer.from(svg)).png().toBuffer();
};

describe('a page laid flat', () => {
  it('is found by its corners', async () => {
    const found = cornersIn(await findPage(await photographed()));
    const wanted = CORNERS.map(([x, y]) => [x / 4, y / 3]);
    found?.forEach(([x, y], i) => {
      // A little inside of them: the page's edge is no line of the drawing.
      expect(Math.hypot(x - wanted[i][0], y - wanted[i][1])).toBeLessThan(2.5);
    });
    expect(found).toHaveLength(4);
  });

  it('leaves the table and its own edge off', async () => {
    const job = completeJob({ card: '60x60mm', fineness: 5 });
    const { gray, frame } = await readPicture(await photographed(), { ...job, page: 'find' });
    const values: number[] = [];
    for (let y = frame.y; y < frame.y + frame.height; y++)
      for (const x of [frame.x, frame.x + frame.width - 1]) values.push(gray.data[y * gray.width + x]); // prettier-ignore
    expect(Math.min(...values)).toBeGreaterThan(200);
    // What was drawn on it is there, near a quarter of the way.
    const [x, y] = [0.25 * frame.width, 0.25 * frame.height].map(Math.round);
    expect(gray.data[(frame.y + y) * gray.width + frame.x + x]).toBeLessThan(60);
  });

  it('says so where there is none', async () => {
    const white = await sharp({ create: { width: 80, height: 60, channels: 3, background: '#fff' } }).png().toBuffer(); // prettier-ignore
    expect(await findPage(white)).toBeNull();
    const held = { ...AS_IT_IS, page: 'find' };
    await expect(copyPicture(white, 80, 1e6, held)).rejects.toThrow('No page was found');
  });
});

describe('a turned picture', () => {
  const halves = () =>
    sharp({ create: { width: 60, height: 40, channels: 3, background: '#fff' } })
      .composite([
        {
          input: { create: { width: 30, height: 40, channels: 3, background: '#000' } },
          left: 0,
          top: 0,
        },
      ]) // prettier-ignore
      .png()
      .toBuffer();

  // Where the black half goes by a turn clockwise: sharp, which this is read by, turns the same.
  it.each(['right', 'half', 'left'] as const)(
    'goes %s as the image library turns it',
    async (pictureTurn) => {
      const bytes = await halves();
      const { rgb, width, height } = await copyPicture(bytes, 60, 1e6, {
        ...AS_IT_IS,
        pictureTurn,
      });
      const degrees = { right: 90, half: 180, left: 270 }[pictureTurn];
      const { data, info } = await sharp(bytes)
        .rotate(degrees)
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      expect([width, height]).toEqual([info.width, info.height]);
      expect(Buffer.from(rgb).equals(data)).toBe(true);
    },
  );

  it('is straightened without an empty corner', () => {
    const { width, height, from } = heldPlaces({ width: 300, height: 200 }, { pictureTurn: 'none', straighten: 7 }, undefined); // prettier-ignore
    for (const [x, y] of [
      [0, 0],
      [width, 0],
      [0, height],
      [width, height],
    ]) {
      const [sx, sy] = from(x, y);
      expect(Math.min(sx, sy, 300 - sx, 200 - sy)).toBeGreaterThan(-1e-6);
    }
    expect(width / height).toBeCloseTo(1.5, 9);
  });
});
