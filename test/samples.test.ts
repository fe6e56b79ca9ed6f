import { readFile, stat } from 'node:fs/promises';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import { boathouse, ink } from '../samples/draw/boathouse.js';
import { dancerFigure } from '../samples/draw/dancer.js';
import { fern } from '../samples/draw/fern.js';
import { hen } from '../samples/draw/hen.js';
import { leafMotif } from '../samples/draw/leaf.js';
import { moth } from '../samples/draw/moth.js';
import { iceStar } from '../samples/draw/star.js';
import { nana } from '../samples/draw/nana.js';
import { labelRegions } from '../src/raster/labels.js';

const place = (file: string): URL => new URL(`../samples/${file}`, import.meta.url);

interface Grey {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

async function grey(from: Uint8Array, width?: number): Promise<Grey> {
  const opened = sharp(from).flatten({ background: 'white' }).grayscale();
  const { data, info } = await (width === undefined ? opened : opened.resize({ width }))
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect(info.channels).toBe(1);
  return { width: info.width, height: info.height, data };
}

const committed = async (file: string, width?: number): Promise<Grey> =>
  grey(await readFile(place(file)), width);

/** The mean grey of a box; x, y is its middle. */
function meanAt({ width, data }: Grey, x: number, y: number, side: number): number {
  let sum = 0;
  for (let j = 0; j < side; j++)
    for (let i = 0; i < side; i++)
      sum += data[(Math.round(y - side / 2) + j) * width + Math.round(x - side / 2) + i];
  return sum / side ** 2;
}

const share = (data: Uint8Array, counts: (value: number) => boolean): number =>
  data.reduce((count, value) => count + (counts(value) ? 1 : 0), 0) / data.length;

const meanDifference = (a: Uint8Array, b: Uint8Array): number =>
  a.reduce((sum, value, at) => sum + Math.abs(value - b[at]), 0) / a.length;

/** How many pixels there are of each grey, 0 to 255. */
type Counts = Uint32Array;
const noCounts = (): Counts => new Uint32Array(256);
const countOf = (counts: Counts): number => counts.reduce((sum, count) => sum + count, 0);

/** The grey of a pixel, when all are in order from the darkest on. */
function percentile(counts: Counts, p: number): number {
  let before = Math.floor(p * (countOf(counts) - 1));
  return counts.findIndex((count) => (before -= count) < 0);
}

describe('every sample', () => {
  test.each([
    { file: 'nana.jpg', format: 'jpeg', width: 1600, height: 2000 },
    { file: 'hen.jpg', format: 'jpeg', width: 1600, height: 1200 },
    { file: 'boathouse-sketch.jpg', format: 'jpeg', width: 1500, height: 1500 },
    { file: 'moth.png', format: 'png', width: 1200, height: 1200 },
    { file: 'fern-border.svg', format: 'svg', width: 1200, height: 1200 },
    { file: 'leaf.svg', format: 'svg', width: 480, height: 640 },
    { file: 'star.svg', format: 'svg', width: 800, height: 800 },
    { file: 'dancer.svg', format: 'svg', width: 420, height: 560 },
  ])(
    '$file is a picture of the stated kind and size, under 600 kB',
    async ({ file, ...stated }) => {
      const { format, width, height } = await sharp(await readFile(place(file))).metadata();
      expect({ format, width, height }).toEqual(stated);
      expect((await stat(place(file))).size).toBeLessThan(600_000);
    },
  );

  test.each([moth, fern, leafMotif, iceStar, dancerFigure, boathouse])(
    '$file is what its script draws',
    async ({ file, draw }) => {
      const [drawn, kept] = [await grey(await draw()), await committed(file)];
      expect(drawn.data).toHaveLength(kept.data.length);
      expect(meanDifference(drawn.data, kept.data)).toBeLessThan(0.5);
    },
  );

  test.each([nana, hen])(
    '$file is what its script draws, computed coarsely',
    async ({ file, draw }) => {
      const [drawn, kept] = [await grey(await draw(0.05), 80), await committed(file, 80)];
      expect(drawn.data).toHaveLength(kept.data.length);
      // edges fall differently on coarse pixels; another scene is 40 levels and more away
      expect(meanDifference(drawn.data, kept.data)).toBeLessThan(8);
    },
    60_000,
  );
});

/** Places of dark features in nana.jpg: x, y, side of the box in px. */
const FEATURES = {
  'right pupil': [920, 899, 16],
  'left pupil': [560, 893, 16],
  'right brow': [985, 763, 12],
  'left brow': [603, 752, 12],
  'rim of the glasses': [697, 880, 6],
  nostril: [735, 1140, 10],
  mouth: [720, 1280, 8],
} as const;

describe('the portrait', () => {
  let face: Grey;
  beforeAll(async () => {
    face = await committed('nana.jpg');
  });

  test('is a photograph: mid-tones carry it, and grain lies on its smooth wall', () => {
    const middle: number[] = [];
    for (let y = 550; y < 1500; y++)
      for (let x = 430; x < 1180; x++) middle.push(face.data[y * face.width + x]);
    expect(share(Uint8Array.from(middle), (v) => v > 64 && v < 200)).toBeGreaterThan(0.6);
    const patch: number[] = [];
    for (let y = 700; y < 740; y++)
      for (let x = 120; x < 160; x++) patch.push(face.data[y * face.width + x]);
    const mean = patch.reduce((a, b) => a + b) / patch.length;
    const spread = Math.sqrt(patch.reduce((sum, v) => sum + (v - mean) ** 2, 0) / patch.length);
    expect(spread).toBeGreaterThan(0.7);
    expect(spread).toBeLessThan(6);
  });

  test('keeps eyes, brows, rims, nostrils and mouth clearly darker than the cheek', () => {
    const cheek = meanAt(face, 640, 1180, 24);
    for (const [name, [x, y, side]] of Object.entries(FEATURES))
      expect(meanAt(face, x, y, side), name).toBeLessThan(0.55 * cheek);
  });

  test('is lit from one side', () => {
    expect(meanAt(face, 460, 1190, 40)).toBeGreaterThan(1.25 * meanAt(face, 1060, 1230, 40));
  });
});

test('the hen stands out from her garden', async () => {
  const picture = await committed('hen.jpg');
  const behind = [
    [150, 200],
    [1300, 200],
    [120, 750],
    [1450, 800],
  ].map(([x, y]) => meanAt(picture, x, y, 60));
  const body = [
    [700, 640],
    [760, 820],
    [900, 900],
    [1240, 330],
  ].map(([x, y]) => meanAt(picture, x, y, 60));
  expect(Math.min(...behind) - Math.max(...body)).toBeGreaterThan(40);
});

describe('the sketch', () => {
  let page: Grey;
  let drawn: Uint8Array;
  const inked = noCounts();
  const bare = noCounts();
  beforeAll(async () => {
    page = await committed('boathouse-sketch.jpg');
    drawn = await ink();
    for (let at = 0; at < drawn.length; at++) {
      if (drawn[at] < 40) inked[page.data[at]]++;
      if (drawn[at] === 255) bare[page.data[at]]++;
    }
  });

  test('has paper in the shade that is darker than ink under the lamp', () => {
    expect(countOf(inked)).toBeGreaterThan(20_000);
    expect(percentile(bare, 0.1)).toBeLessThan(percentile(inked, 0.9));
  });

  test('defeats every single level', () => {
    const below = (counts: Counts, level: number): number =>
      countOf(counts.subarray(0, level)) / countOf(counts);
    const levels = Array.from({ length: 64 }, (_, i) => 4 * i);
    // whatever the level, a fifth of the ink is lost or a tenth of the paper turns dark
    for (const level of levels)
      expect(
        below(inked, level) < 0.8 || below(bare, level) > 0.1,
        `level ${level} parts ink from paper`,
      ).toBe(true);
  });

  test('is plain to an eye that judges each part by itself', () => {
    const tile = 125;
    let judged = 0;
    for (let top = 0; top < page.height; top += tile) {
      for (let left = 0; left < page.width; left += tile) {
        const [dark, light] = [noCounts(), noCounts()];
        for (let y = top; y < top + tile; y++) {
          for (let x = left; x < left + tile; x++) {
            const at = y * page.width + x;
            if (drawn[at] < 40) dark[page.data[at]]++;
            if (drawn[at] === 255) light[page.data[at]]++;
          }
        }
        if (countOf(dark) < 50 || countOf(light) < 50) continue;
        judged++;
        expect(percentile(dark, 0.5), `tile at ${left}, ${top}`).toBeLessThan(
          0.75 * percentile(light, 0.5),
        );
      }
    }
    expect(judged).toBeGreaterThan(60);
  });
});

describe('the moth', () => {
  let bitmap: Grey;
  beforeAll(async () => {
    const { width, height, data } = await committed('moth.png');
    expect(share(data, (v) => v > 15 && v < 240)).toBeLessThan(0.02);
    bitmap = { width, height, data: data.map((v) => (v < 128 ? 1 : 0)) };
  });

  test('is the same on both sides', () => {
    let differing = 0;
    for (let y = 0; y < bitmap.height; y++)
      for (let x = 0; x < bitmap.width / 2; x++)
        if (bitmap.data[y * bitmap.width + x] !== bitmap.data[(y + 1) * bitmap.width - 1 - x])
          differing++;
    expect(differing / bitmap.data.length).toBeLessThan(0.001);
  });

  test('has islands inside islands: from the middle of an eye outwards the colour changes five times', () => {
    // the eyes of the right wings; their last ring lies on the wing
    for (const [x, y] of [
      [906, 768],
      [984, 342],
    ]) {
      let changes = 0;
      for (let d = 1; y - d >= 0; d++)
        if (bitmap.data[(y - d) * bitmap.width + x] !== bitmap.data[(y - d + 1) * bitmap.width + x])
          changes++;
      expect(changes, `eye at ${x}, ${y}`).toBeGreaterThanOrEqual(5);
    }
    const film = labelRegions(bitmap, 0, 4);
    const islands = film.count - 1;
    // two rings in each of four eyes, four fields in the wings, one on the body
    expect(islands).toBe(2 * 4 + 4 + 1);
  });
});

describe('the fern border', () => {
  test('leaves its middle empty and looks the same after a quarter turn', async () => {
    const { width, height, data } = await committed('fern-border.svg');
    let differing = 0;
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++)
        if (data[y * width + x] < 128 !== data[x * width + (width - 1 - y)] < 128) differing++;
    expect(differing / data.length).toBeLessThan(0.004);
    for (let y = 320; y < 880; y++)
      expect(Math.min(...data.subarray(y * width + 320, y * width + 880))).toBe(255);
    const dark = share(data, (v) => v < 128);
    expect(dark).toBeGreaterThan(0.08);
    expect(dark).toBeLessThan(0.3);
  });
});
