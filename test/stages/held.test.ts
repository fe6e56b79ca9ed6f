import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { cornersIn, heldPlaces } from '../../src/settings/held.js';
import { completeJob } from '../../src/settings/job.js';
import { copyPicture, findPage, readPicture } from '../../src/stages/read/read.js';

const AS_IT_IS = { pictureTurn: 'none', straighten: 0, page: null } as const;

/** A page photographed aslant on a dark table, with a black dot in its middle: where its diagonals cross. */
const CORNERS = [
  [60, 40],
  [340, 70],
  [320, 270],
  [80, 250],
] as const;
/** @param lamp in place of an even light: how much of it is left in the far corner */
const photographed = (lamp?: number): Promise<Buffer> => {
  const [x, y] = crossing(...CORNERS);
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="300"><rect width="400" height="300" fill="#543"/><polygon points="${CORNERS.join(' ')}" fill="#eee"/><circle cx="${x}" cy="${y}" r="9" fill="#000"/><path d="M150 120H250V200H150Z" fill="none" stroke="#000" stroke-width="3"/>${lamp === undefined ? '' : shade(lamp)}</svg>`;
  return sharp(Buffer.from(svg)).png().toBuffer();
};

type Place = readonly [number, number];

/** Where the diagonals of four corners cross. */
function crossing(a: Place, b: Place, c: Place, d: Place): Place {
  const [ux, uy] = [c[0] - a[0], c[1] - a[1]];
  const [vx, vy] = [d[0] - b[0], d[1] - b[1]];
  const along = ((b[0] - a[0]) * vy - (b[1] - a[1]) * vx) / (ux * vy - uy * vx);
  return [a[0] + along * ux, a[1] + along * uy];
}

const shade = (left: number) =>
  `<linearGradient id="s" x2="1" y2="1"><stop stop-opacity="0"/><stop offset="1" stop-opacity="${1 - left}"/></linearGradient><rect width="400" height="300" fill="url(#s)"/>`;

describe('a page laid flat', () => {
  it.each([
    ['in even light', undefined],
    // Its far corner is darker than the table near the lamp.
    ['under a lamp', 0.2],
  ])('is found by its corners %s', async (_, lamp) => {
    const found = cornersIn(await findPage(await photographed(lamp)));
    const wanted = CORNERS.map(([x, y]) => [x / 4, y / 3]);
    found?.forEach(([x, y], i) => {
      expect(Math.hypot(x - wanted[i][0], y - wanted[i][1])).toBeLessThan(0.6);
    });
    expect(found).toHaveLength(4);
  });

  it('is none where a drawing fills the picture, with a frame of its own', async () => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="320" height="240"><rect width="320" height="240" fill="#eee"/><path d="M30 30H290V210H30Z" fill="none" stroke="#000" stroke-width="4"/>${shade(0.4)}</svg>`;
    expect(await findPage(await sharp(Buffer.from(svg)).png().toBuffer())).toBeNull();
  });

  it('leaves the table and its own edge off', async () => {
    const job = completeJob({ card: '60x60mm', fineness: 5 });
    const { gray, frame } = await readPicture(await photographed(), { ...job, page: 'find' });
    const values: number[] = [];
    for (let y = frame.y; y < frame.y + frame.height; y++)
      for (const x of [frame.x, frame.x + frame.width - 1]) values.push(gray.data[y * gray.width + x]); // prettier-ignore
    expect(Math.min(...values)).toBeGreaterThan(200);
    // What was drawn in its middle is there: a projective map leaves diagonals straight.
    const [x, y] = [0.5 * frame.width, 0.5 * frame.height].map(Math.round);
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
