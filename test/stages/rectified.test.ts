import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { cornersIn, rectified } from '../../src/settings/rectification.js';
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

/** How much of the light a table gives back at a place in px of a picture 400 wide, 0 to 1. */
const TABLES: Readonly<Record<string, (x: number, y: number) => number>> = {
  'dark wood': (x, y) => 0.12 + 0.05 * Math.sin(y / 3 + Math.sin(x / 60)),
  'pale planks': (x, y) => (y % 70 < 2 ? 0.3 : 0.5 + 0.04 * Math.sin(y / 4 + x / 90)),
  'a checked cloth': (x, y) => 0.12 + 0.25 * ((Math.floor(x / 50) & 1) + (Math.floor(y / 50) & 1)),
  'a striped cloth': (x, y) => 0.12 + 0.4 * (Math.floor((x + y / 10) / 25) & 1),
};
/** Where the lamp stands over the table, and how high, in px. */
const LAMPS = [
  [30, 20, 140],
  [350, 40, 100],
] as const;

/**
 * A picture of a table by lamplight: its light falls off with the square of how far it comes and with how aslant it lies.
 *
 * @param page a sheet that lies on it, with a stroke over it from edge to edge
 */
async function underLamp(
  table: (x: number, y: number) => number,
  [lampX, lampY, high]: (typeof LAMPS)[number],
  page: readonly Place[] = [],
): Promise<Buffer> {
  const isOn = (x: number, y: number) =>
    page.length > 0 && page.every(([ax, ay], i) => (page[(i + 1) % 4][0] - ax) * (y - ay) >= (page[(i + 1) % 4][1] - ay) * (x - ax)); // prettier-ignore
  const data = Buffer.alloc(400 * 300);
  for (let y = 0; y < 300; y++) {
    for (let x = 0; x < 400; x++) {
      const light = 0.02 + (high / Math.hypot(x - lampX, y - lampY, high)) ** 3;
      const back = isOn(x, y) ? (Math.abs(x - 200) < 2 ? 0.05 : 0.85) : table(x, y);
      // As a camera codes it, about (IEC 61966-2-1).
      data[400 * y + x] = Math.min(255, 255 * (back * light) ** (1 / 2.2));
    }
  }
  return sharp(data, { raw: { width: 400, height: 300, channels: 1 } })
    .png()
    .toBuffer();
}

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

  it.each(Object.keys(TABLES))('is found on %s, wherever the lamp stands', async (table) => {
    for (const lamp of LAMPS) {
      const found = cornersIn(await findPage(await underLamp(TABLES[table], lamp, CORNERS)));
      const off = found?.map(([x, y], i) => Math.hypot(x - CORNERS[i][0] / 4, y - CORNERS[i][1] / 3)); // prettier-ignore
      expect(Math.max(...(off ?? [100])), `lamp at ${lamp.join(' ')}`).toBeLessThan(1);
    }
    // The table alone is no page, whatever lines it has.
    expect(await findPage(await underLamp(TABLES[table], LAMPS[0]))).toBeNull();
  });

  it('is none where a drawing fills the picture, with a frame of its own', async () => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="320" height="240"><rect width="320" height="240" fill="#eee"/><path d="M30 30H290V210H30Z" fill="none" stroke="#000" stroke-width="4"/>${shade(0.4)}</svg>`;
    expect(await findPage(await sharp(Buffer.from(svg)).png().toBuffer())).toBeNull();
  });

  it('leaves the table and its own edge off', async () => {
    const job = completeJob({ card: '60x60mm', fineness: 5 });
    const { gray, pictureBox } = await readPicture(await photographed(), { ...job, page: 'find' });
    const values: number[] = [];
    for (let y = pictureBox.y; y < pictureBox.y + pictureBox.height; y++)
      for (const x of [pictureBox.x, pictureBox.x + pictureBox.width - 1]) values.push(gray.data[y * gray.width + x]); // prettier-ignore
    expect(Math.min(...values)).toBeGreaterThan(200);
    // What was drawn in its middle is there: a projective map leaves diagonals straight.
    const [x, y] = [0.5 * pictureBox.width, 0.5 * pictureBox.height].map(Math.round);
    expect(gray.data[(pictureBox.y + y) * gray.width + pictureBox.x + x]).toBeLessThan(60);
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
    const { width, height, from } = rectified({ width: 300, height: 200 }, { pictureTurn: 'none', straighten: 7 }, undefined); // prettier-ignore
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
