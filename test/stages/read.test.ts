import { chmod, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isMainThread } from 'node:worker_threads';
import process from 'node:process';
import sharp, { type Sharp } from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { Problem } from '../../src/settings/problem.js';
import { readPicture, type Picture } from '../../src/stages/read/read.js';
import {
  draw,
  exifOrientations,
  flag,
  lumaOf,
  lumas,
  pngThatClaims,
  storedAs,
  toSharp,
  withHeicProperty,
  withPrimary,
  type Colour,
  type Drawn,
} from '../support/pictures.js';

const read = (source: string | Uint8Array, given: JobInput = {}): Promise<Picture> =>
  readPicture(source, completeJob(given));

/** Reads what must be refused, and gives the refusal. */
async function refusal(source: string | Uint8Array, given: JobInput = {}): Promise<Problem> {
  const outcome: unknown = await read(source, given).catch((error: unknown) => error);
  if (!(outcome instanceof Problem)) throw new Error('Not refused', { cause: outcome });
  return outcome;
}

const fixture = (name: string): Promise<Buffer> =>
  readFile(new URL(`../fixtures/${name}`, import.meta.url));

/** The luma in the picture's frame. */
function framed({ gray, pictureBox }: Picture): Uint8Array {
  const pixels = new Uint8Array(pictureBox.width * pictureBox.height);
  for (let row = 0; row < pictureBox.height; row++) {
    const at = (pictureBox.y + row) * gray.width + pictureBox.x;
    pixels.set(gray.data.subarray(at, at + pictureBox.width), row * pictureBox.width);
  }
  return pixels;
}

/** Luma at a place in the frame, 0 to 1 across and down. */
function at({ gray, pictureBox }: Picture, across: number, down: number): number {
  const x = pictureBox.x + Math.floor(across * pictureBox.width);
  const y = pictureBox.y + Math.floor(down * pictureBox.height);
  return gray.data[y * gray.width + x];
}

function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  expect(a.length).toBe(b.length);
  let largest = 0;
  for (let i = 0; i < a.length; i++) largest = Math.max(largest, Math.abs(a[i] - b[i]));
  return largest;
}

const oneColour = (colour: Colour, width = 40, height = 40): Drawn =>
  draw(width, height, () => colour);

/** On a 4 × 4 in card with 6 mm of margin a picture 896 px wide is neither shrunk nor enlarged. */
const CARD_PX = 1016;
const ROOM_PX = 896;
const upright = flag(ROOM_PX, 600);
const uprightLumas = lumas(upright);

const LOSSLESS: Readonly<Record<string, object>> = {
  webp: { lossless: true },
  tiff: { compression: 'lzw' },
};

/** Four places well inside the flag's four colours. */
const PLACES: readonly (readonly [number, number])[] = [
  [0.35, 0.12],
  [0.12, 0.6],
  [0.88, 0.75],
  [0.88, 0.25],
];
const expectedAt = ([across, down]: readonly [number, number]): number => {
  const i = Math.floor(down * upright.height) * upright.width + Math.floor(across * upright.width);
  return uprightLumas[i];
};
function expectFlag(picture: Picture, tolerance: number): void {
  for (const place of PLACES) {
    expect(Math.abs(at(picture, ...place) - expectedAt(place)), `at ${place.join()}`).toBeLessThan(
      tolerance,
    );
  }
}

describe('every format', () => {
  it.each<[string, number, (picture: Sharp) => Sharp]>([
    ['png', 0.51, (picture) => picture.png()],
    ['webp', 0.51, (picture) => picture.webp({ lossless: true })],
    ['tiff', 0.51, (picture) => picture.tiff({ compression: 'lzw' })],
    ['gif', 0.51, (picture) => picture.gif({ dither: 0 })],
    // lossy: a sharp edge between colours is where they err
    ['jpeg', 12, (picture) => picture.jpeg({ quality: 100, chromaSubsampling: '4:4:4' })],
    ['avif', 30, (picture) => picture.avif({ quality: 90, effort: 0, chromaSubsampling: '4:4:4' })],
  ])('%s: each pixel is the luma of what was drawn, within %f', async (format, within, encode) => {
    const picture = await read(await encode(toSharp(upright)).toBuffer());
    expect(picture.source).toEqual({ width: ROOM_PX, height: 600, format });
    expect(largestDifference(framed(picture), uprightLumas)).toBeLessThan(within);
    expectFlag(picture, 2);
  });

  it('svg', async () => {
    const svg = `<?xml version="1.0"?><!-- a flag --><svg xmlns="http://www.w3.org/2000/svg" width="90" height="60">
      <rect width="90" height="60" fill="rgb(235,230,215)"/><rect width="22.5" height="60" fill="rgb(20,60,160)"/>
      <rect width="45" height="15" fill="rgb(200,30,40)"/><rect x="67.5" y="30" width="22.5" height="30" fill="rgb(30,140,60)"/></svg>`;
    const picture = await read(Buffer.from(svg));
    expect(picture.source).toEqual({ width: 90, height: 60, format: 'svg' });
    expectFlag(picture, 1);
  });

  it('heic', async () => {
    const picture = await read(withPrimary(await fixture('two.heic'), 2));
    expect(picture.source).toEqual({ width: 240, height: 160, format: 'heic', holds: 2 });
    expectFlag(picture, 4);
  });

  it('tells a format by the file and not by its name', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'read-'));
    const path = join(folder, 'really a png.jpg');
    await toSharp(upright).png().toFile(path);
    expect((await read(path)).source.format).toBe('png');
    await rm(folder, { recursive: true });
  });

  it('reads bytes that are a part of a larger array, and leaves them as they were', async () => {
    const png = await toSharp(upright).png().toBuffer();
    const larger = new Uint8Array(png.length + 20).fill(7);
    larger.set(png, 9);
    const part = larger.subarray(9, 9 + png.length);
    expect((await read(part)).source.width).toBe(ROOM_PX);
    expect(Buffer.compare(part, png)).toBe(0);
  });
});

describe('upright (EXIF 2.32, tag 274)', () => {
  const formats: readonly (readonly [string, number, (picture: Sharp) => Sharp])[] = [
    ['jpeg', 12, (picture) => picture.jpeg({ quality: 100, chromaSubsampling: '4:4:4' })],
    ['png', 0.51, (picture) => picture.png()],
    ['webp', 0.51, (picture) => picture.webp({ lossless: true })],
    ['tiff', 0.51, (picture) => picture.tiff({ compression: 'lzw' })],
    ['avif', 30, (picture) => picture.avif({ quality: 90, effort: 0, chromaSubsampling: '4:4:4' })],
  ];
  const cases = formats.flatMap(([format, within, encode]) =>
    exifOrientations.map((orientation) => [format, ...orientation, within, encode] as const),
  );

  it.each(cases)(
    '%s, orientation %i: 0th row at the %s, 0th column at the %s',
    async (format, orientation, row, column, within, encode) => {
      const stored = toSharp(storedAs(upright, row, column)).withMetadata({ orientation });
      const picture = await read(await encode(stored).toBuffer());
      expect(picture.source).toEqual({ width: ROOM_PX, height: 600, format });
      expect(largestDifference(framed(picture), uprightLumas)).toBeLessThan(within);
    },
  );

  it('crops what is seen, not what is stored', async () => {
    const stored = toSharp(storedAs(upright, 'right', 'top')).withMetadata({ orientation: 6 });
    const picture = await read(await stored.png().toBuffer(), { crop: '80,60,15,35' });
    expect(new Set(framed(picture))).toEqual(new Set([Math.round(lumaOf([30, 140, 60]))]));
  });

  // ISO/IEC 23008-12: irot and imir turn the picture, its EXIF orientation does not. Phones write both.
  it('turns a HEIC by its own property, and not again by its EXIF', async () => {
    const picture = await read(withHeicProperty(await fixture('turned-in-exif.heic'), 'irot', 3));
    expect(picture.source).toEqual({ width: 240, height: 160, format: 'heic' });
    expectFlag(picture, 4);
  });

  it('mirrors a HEIC by its own property', async () => {
    const heic = withPrimary(await fixture('turned-in-exif.heic'), 1);
    const plain = await read(heic);
    expect(plain.source).toMatchObject({ width: 160, height: 240 });
    const mirrored = await read(withHeicProperty(heic, 'imir', 1)); // about a vertical axis
    for (const [across, down] of PLACES) {
      const difference = at(mirrored, 1 - across, down) - at(plain, across, down);
      expect(Math.abs(difference)).toBeLessThan(4);
    }
    expect(Math.abs(at(mirrored, 0.12, 0.12) - at(plain, 0.12, 0.12))).toBeGreaterThan(20);
  });
});

describe('every kind of pixel', () => {
  const red: Colour = [200, 30, 40];
  const centre = async (bytes: Buffer, given?: JobInput): Promise<number> =>
    at(await read(bytes, given), 0.5, 0.5);

  it('16 bits a channel', async () => {
    const deep = Uint16Array.from({ length: 40 * 40 * 3 }, (_, i) => red[i % 3] * 257);
    const picture = sharp(deep, { raw: { width: 40, height: 40, channels: 3 } });
    const png = await picture.toColourspace('rgb16').png().toBuffer();
    expect((await sharp(png).metadata()).depth).toBe('ushort');
    expect(await centre(png)).toBeCloseTo(lumaOf(red), -0.31);
  });

  it('16 bits a channel with a colour profile comes out in sRGB', async () => {
    const png = await toSharp(oneColour(red))
      .toColourspace('rgb16')
      .withIccProfile('p3')
      .png()
      .toBuffer();
    expect(await sharp(png).metadata()).toMatchObject({ depth: 'ushort', hasProfile: true });
    expect(Math.abs((await centre(png)) - lumaOf(red))).toBeLessThan(2);
  });

  it.each(['b-w', 'grey16'])('grey, one channel (%s)', async (space) => {
    const png = await toSharp(oneColour([90, 90, 90]))
      .toColourspace(space)
      .png()
      .toBuffer();
    expect((await sharp(png).metadata()).channels).toBe(1);
    expect(Math.abs((await centre(png)) - 90)).toBeLessThan(1.01);
  });

  it('one bit a pixel, and palettes', async () => {
    const halves = draw(896, 600, (x) => (x < 448 ? [0, 0, 0] : [255, 255, 255]));
    const png = await toSharp(halves).png({ palette: true, colours: 2 }).toBuffer();
    expect(await sharp(png).metadata()).toMatchObject({ isPalette: true, bitsPerSample: 1 });
    expect(largestDifference(framed(await read(png)), lumas(halves))).toBeLessThan(0.51);
    const tiff = await toSharp(halves)
      .toColourspace('b-w')
      .tiff({ bitdepth: 1, compression: 'ccittfax4' })
      .toBuffer();
    expect(largestDifference(framed(await read(tiff)), lumas(halves))).toBeLessThan(0.51);
  });

  it.each(['jpeg', 'tiff'] as const)('CMYK (%s)', async (format) => {
    const colour: Colour = [200, 150, 90]; // well inside what ink can print
    const bytes = await toSharp(oneColour(colour)).toColourspace('cmyk')[format]().toBuffer();
    expect((await sharp(bytes).metadata()).space).toBe('cmyk');
    expect(Math.abs((await centre(bytes)) - lumaOf(colour))).toBeLessThan(8);
  });

  it('a colour profile is followed', async () => {
    const png = await toSharp(oneColour(red)).withIccProfile('p3').png().toBuffer();
    const stored = await sharp(png, { ignoreIcc: true }).raw().toBuffer();
    expect(Math.abs(lumaOf([stored[0], stored[1], stored[2]]) - lumaOf(red))).toBeGreaterThan(5);
    expect(Math.abs((await centre(png)) - lumaOf(red))).toBeLessThan(2);
  });

  it('in HEIC too', async () => {
    const { colours } = await read(await fixture('display-p3.heic'));
    const bands: readonly Colour[] = [
      [0, 200, 0],
      [200, 0, 0],
      [0, 0, 200],
    ];
    bands.forEach((colour, i) => {
      const middle = Math.floor(colours.height / 2) * colours.width;
      const at = 3 * (middle + Math.floor(((i + 0.5) / 3) * colours.width));
      expect(largestDifference(colours.data.subarray(at, at + 3), colour)).toBeLessThan(12);
    });
  });

  it.each(['png', 'webp', 'tiff', 'gif'] as const)(
    'transparency lies on white (%s)',
    async (format) => {
      const data = Buffer.alloc(896 * 600 * 4); // black, and half of it transparent
      for (let i = 0; i < 896 * 600; i++) data[4 * i + 3] = i % 896 < 448 ? 0 : 255;
      const clear = sharp(data, { raw: { width: 896, height: 600, channels: 4 } });
      const picture = await read(await clear[format](LOSSLESS[format] ?? {}).toBuffer());
      expect(at(picture, 0.25, 0.5)).toBe(255);
      expect(at(picture, 0.75, 0.5)).toBe(0);
    },
  );

  it('half-transparent black is mid-grey, in 8 and 16 bits', async () => {
    const half = sharp({
      create: { width: 9, height: 9, channels: 4, background: { r: 0, g: 0, b: 0, alpha: 0.5 } },
    });
    expect(Math.abs((await centre(await half.clone().png().toBuffer())) - 127.5)).toBeLessThan(2);
    const deep = await half.toColourspace('rgb16').png().toBuffer();
    expect((await sharp(deep).metadata()).depth).toBe('ushort');
    expect(Math.abs((await centre(deep)) - 127.5)).toBeLessThan(2);
  });

  it('an all-transparent picture is a white sheet', async () => {
    const clear = sharp({
      create: { width: 9, height: 9, channels: 4, background: { r: 0, g: 0, b: 0, alpha: 0 } },
    });
    const { gray } = await read(await clear.png().toBuffer());
    expect(gray.data.every((value) => value === 255)).toBe(true);
  });

  it.each(['gif', 'webp', 'tiff'] as const)('the first of many (%s)', async (format) => {
    const pages = [oneColour([10, 10, 10]), oneColour([240, 240, 240])].map(({ data }) => data);
    const many = sharp(Buffer.concat(pages), {
      raw: { width: 40, height: 80, channels: 3, pageHeight: 40 },
    });
    const bytes = await many[format](LOSSLESS[format] ?? {}).toBuffer();
    expect((await sharp(bytes).metadata()).pages).toBe(2);
    const picture = await read(bytes);
    expect(picture.source).toMatchObject({ width: 40, height: 40 });
    expect(new Set(framed(picture))).toEqual(new Set([10]));
  });

  it('the primary of several in a HEIC', async () => {
    const heic = await fixture('two.heic');
    expect(at(await read(heic), 0.12, 0.6)).toBeGreaterThan(250);
    expectFlag(await read(withPrimary(heic, 2)), 4);
  });
});

describe('on the sheet', () => {
  const grey = async (width: number, height: number): Promise<Buffer> =>
    toSharp(oneColour([100, 100, 100], width, height))
      .png()
      .toBuffer();

  it.each<[number, number, JobInput]>([
    [3000, 2000, {}],
    [2000, 3000, {}],
    [640, 640, { card: 'a6' }],
    [1000, 700, { card: 'journal-page', turn: 'landscape' }],
    [333, 777, { card: '85.6x53.98mm', margin: 4.3 }],
    [50, 20, { card: 'a3' }],
    [7, 5, { fit: 'fill', card: 'postcard' }],
    [3000, 500, { fit: 'fill' }],
    [1, 1, {}],
    [1, 20_000, { fit: 'fill' }],
    [20_000, 1, {}],
  ])('%i × %i px with %j', async (width, height, given) => {
    const job = completeJob(given);
    const {
      gray,
      pictureBox,
      sheet,
      pixelsPerMm: scale,
    } = await readPicture(await grey(width, height), job);
    expect(gray.width).toBe(Math.ceil(sheet.widthMm * scale - 1e-6));
    expect(gray.height).toBe(Math.ceil(sheet.heightMm * scale - 1e-6));
    // inside the margin, and against it on two sides at least
    const slack = 1e-6;
    expect(pictureBox.x).toBeGreaterThanOrEqual(job.margin * scale - slack);
    expect(pictureBox.y).toBeGreaterThanOrEqual(job.margin * scale - slack);
    const room = [sheet.widthMm, sheet.heightMm].map((side) => (side - job.margin) * scale + slack);
    expect(pictureBox.x + pictureBox.width).toBeLessThanOrEqual(room[0]);
    expect(pictureBox.y + pictureBox.height).toBeLessThanOrEqual(room[1]);
    const spare = [
      room[0] - (pictureBox.x + pictureBox.width),
      room[1] - (pictureBox.y + pictureBox.height),
    ];
    if (job.fit === 'fill') expect(Math.max(...spare)).toBeLessThan(1);
    else expect(Math.min(...spare)).toBeLessThan(1);
    // in the middle, and of the picture's shape to a pixel
    expect(Math.abs(gray.width - 2 * pictureBox.x - pictureBox.width)).toBeLessThanOrEqual(2);
    expect(Math.abs(gray.height - 2 * pictureBox.y - pictureBox.height)).toBeLessThanOrEqual(2);
    if (job.fit === 'whole') {
      const across = pictureBox.width / width;
      expect(Math.abs(pictureBox.height - height * across)).toBeLessThanOrEqual(
        Math.max(1, across * 0.5 * (height / pictureBox.width) + 1),
      );
    }
    // the picture everywhere in the frame, white everywhere else
    expect(new Set(framed({ gray, pictureBox } as Picture))).toEqual(new Set([100]));
    expect(gray.data.reduce((count, value) => count + (value === 255 ? 1 : 0), 0)).toBe(
      gray.data.length - pictureBox.width * pictureBox.height,
    );
  });

  it('the numbers of a 4 × 4 in card are the ones worked out by hand', async () => {
    const { gray, pictureBox } = await read(await grey(3000, 2000));
    expect([gray.width, gray.height]).toEqual([CARD_PX, CARD_PX]);
    // 101.6 mm − 2 × 6 mm = 89.6 mm; two thirds of 896 px are 597; 60 px + half of the rest
    expect(pictureBox).toEqual({ x: 60, y: 209, width: 896, height: 597 });
  });

  it('fill cuts both ends of the longer side alike', async () => {
    const bands = draw(1792, 896, (x) =>
      x < 448 ? [0, 0, 0] : x < 1344 ? [90, 90, 90] : [200, 200, 200],
    );
    const picture = await read(await toSharp(bands).png().toBuffer(), { fit: 'fill' });
    expect(new Set(framed(picture))).toEqual(new Set([90]));
  });

  it.each(['whole', 'fill'] as const)('a crop shows its part and no more (%s)', async (fit) => {
    const field = draw(1000, 500, (x, y) =>
      x >= 200 && x < 700 && y >= 50 && y < 450 ? [90, 90, 90] : [0, 0, 0],
    );
    const bytes = await toSharp(field).png().toBuffer();
    const picture = await read(bytes, { fit, crop: '20, 10, 50, 80' });
    expect(new Set(framed(picture))).toEqual(new Set([90]));
    expect(picture.source).toMatchObject({ width: 1000, height: 500 });
    if (fit === 'fill') return;
    expect(picture.pictureBox).toMatchObject({ width: 896, height: 717 });
    expect(at(await read(bytes, { crop: '19.5,10,50,80' }), 0, 0.5)).toBeLessThan(80);
  });

  it('a small picture grows smoothly, about the right middle', async () => {
    const edge = draw(2, 2, (x) => (x === 0 ? [0, 0, 0] : [200, 200, 200]));
    const picture = await read(await toSharp(edge).png().toBuffer());
    const row = framed(picture).subarray(0, ROOM_PX);
    expect(Math.abs(row[ROOM_PX / 2] - 100)).toBeLessThan(3);
    expect(row[0]).toBe(0);
    expect(row[ROOM_PX - 1]).toBeGreaterThanOrEqual(200);
    expect(row[ROOM_PX - 1]).toBeLessThanOrEqual(200 * (1 + 2 / 27) + 1); // how far a Catmull–Rom step goes over
    for (let i = 1; i < row.length; i++) {
      expect(row[i] - row[i - 1]).toBeGreaterThanOrEqual(-1); // no step back
      expect(row[i] - row[i - 1]).toBeLessThan(5); // no jump
    }
  });

  it('is the same each time', async () => {
    const bytes = await toSharp(upright).jpeg().toBuffer();
    const [first, second] = await Promise.all([read(bytes), read(bytes)]);
    expect(Buffer.compare(first.gray.data, second.gray.data)).toBe(0);
    expect({ ...first, gray: null }).toEqual({ ...second, gray: null });
  });

  it('lets other work run meanwhile', async () => {
    const bytes = await toSharp(flag(3000, 2000)).jpeg().toBuffer();
    for (const source of [bytes, await fixture('two.heic')]) {
      let turns = 0;
      let done = false;
      const reading = read(source).finally(() => (done = true));
      while (!done) {
        await new Promise((resolve) => setImmediate(resolve));
        turns++;
      }
      await reading;
      expect(turns).toBeGreaterThan(20);
    }
  });
});

describe('drawings (SVG)', () => {
  const svg = (attributes: string, content: string): Buffer =>
    Buffer.from(
      `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:xi="http://www.w3.org/2001/XInclude" ${attributes}>${content}</svg>`,
    );
  const half = '<rect width="50%" height="100%"/>';

  it.each<[string, JobInput]>([
    ['width="20" height="20"', {}],
    ['width="20" height="20"', { fit: 'fill', card: 'postcard' }],
    ['width="20" height="20"', { crop: '40,40,20,20' }],
    ['viewBox="0 0 30000 30000"', {}],
    ['viewBox="0 0 9000000 9000000"', { crop: '49,49,2,2' }],
    ['width="100000" height="100000"', {}],
    ['width="90in" height="90in"', { crop: '25,25,50,50' }],
    ['width="30mm" height="30mm" viewBox="0 0 7 7"', {}],
  ])('with %s and %j is drawn sharp', async (attributes, given) => {
    const picture = await read(svg(attributes, half), given);
    const { width, height } = picture.pictureBox;
    const row = framed(picture)
      .subarray(Math.floor(height / 2) * width)
      .subarray(0, width);
    const blurred = row.filter((value) => value > 8 && value < 247).length;
    expect(blurred).toBeLessThanOrEqual(4);
    expect(row[Math.floor(width / 2) - 4]).toBeLessThan(8);
    expect(row[Math.floor(width / 2) + 4]).toBeGreaterThan(247);
  });

  it('keeps its shape when its size is a fraction of a pixel', async () => {
    const { pictureBox } = await read(svg('width="10.5" height="3.5"', half));
    expect(Math.abs(pictureBox.width / pictureBox.height - 3)).toBeLessThan(0.02);
  });

  it('draws what it holds', async () => {
    const dot = await toSharp(oneColour([0, 0, 0]))
      .png()
      .toBuffer();
    const held = `<image width="20" height="20" href="data:image/png;base64,${dot.toString('base64')}"/>`;
    expect(at(await read(svg('width="20" height="20"', held)), 0.5, 0.5)).toBe(0);
  });

  it('follows no reference out of it: not to a file, not to the network', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'read-'));
    const inside = join(folder, 'inside.png');
    await toSharp(oneColour([0, 0, 0]))
      .png()
      .toFile(inside);
    await writeFile(join(folder, 'words.txt'), '█████');
    let calls = 0;
    const server = createServer((_, response) => {
      calls++;
      response.end();
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const { port } = server.address() as AddressInfo;
    const image = (href: string): string =>
      `<image width="20" height="20" href="${href}" xlink:href="${href}"/>`;
    const outside = [
      image('inside.png'),
      image(inside),
      image(`file://${inside}`),
      image(`http://127.0.0.1:${port}/inside.png`),
      `<use href="${inside}#x"/><use xlink:href="file://${folder}/drawing.svg#x"/>`,
      `<style>@import url("http://127.0.0.1:${port}/a.css"); @import url("file://${inside}");</style>`,
      `<text y="18" font-size="20"><xi:include href="words.txt" parse="text"/></text>`,
      `<text y="18" font-size="20"><xi:include href="file://${folder}/words.txt" parse="text"/></text>`,
    ];
    for (const content of outside) {
      const path = join(folder, 'drawing.svg');
      await writeFile(path, svg('width="20" height="20"', content));
      const { gray } = await read(path);
      expect(
        gray.data.every((value) => value === 255),
        content,
      ).toBe(true);
    }
    expect(calls).toBe(0);
    const entity = `<!DOCTYPE svg [<!ENTITY words SYSTEM "file://${folder}/words.txt">]>${svg('width="20" height="20"', '<text y="18" font-size="20">&words;</text>').toString()}`;
    expect((await refusal(Buffer.from(entity))).what).toBe('The drawing is damaged or has no size');
    server.close();
    await rm(folder, { recursive: true });
  });

  it.each([
    ['a size of nothing', svg('width="0" height="20"', half)],
    ['nothing in it', svg('', '')],
    ['its end missing', svg('width="20" height="20"', half).subarray(0, -12)],
    [
      'entities that multiply',
      Buffer.from(
        `<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">${[...'bcdefghij'].map((name, i) => `<!ENTITY ${name} "${`&${'abcdefghij'[i]};`.repeat(10)}">`).join('')}]><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text>&j;</text></svg>`,
      ),
    ],
  ])('with %s is refused', async (_, bytes) => {
    expect((await refusal(bytes)).what).toBe('The drawing is damaged or has no size');
  });

  it.each(['width="1e9" height="20"', 'width="200000in" height="3in"', 'viewBox="0 0 20000000 5"'])(
    'that states %s is refused',
    async (attributes) => {
      expect((await refusal(svg(attributes, half))).what).toBe(
        'The drawing is too large: it states a size of more than 10 million',
      );
    },
  );
});

describe('what is refused, in words', () => {
  let folder: string;
  let photo: Buffer;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'read-'));
    photo = await toSharp(flag(900, 700)).jpeg().toBuffer();
  });
  afterAll(() => rm(folder, { recursive: true }));

  const saved = async (name: string, bytes: string | Uint8Array): Promise<string> => {
    const path = join(folder, name);
    await writeFile(path, bytes);
    return path;
  };

  it('a missing file', async () => {
    const path = join(folder, 'nowhere', 'cat.jpg');
    expect(await refusal(path)).toMatchObject({ what: 'There is no such file', where: path });
  });

  it('a path that goes on below a file', async () => {
    const path = join(await saved('cat.jpg', photo), 'dog.jpg');
    expect((await refusal(path)).what).toBe('There is no such file');
  });

  it('a folder', async () => {
    expect(await refusal(folder)).toMatchObject({
      what: 'This is a folder, not a picture',
      where: folder,
    });
  });

  it('what is no file', async () => {
    expect((await refusal('/dev/zero')).what).toBe('This is not a file');
  });

  // Only a process of its own can be another user: the mutants' tests run in threads.
  const canChange = isMainThread || process.geteuid?.() !== 0;
  it.runIf(canChange)('a file that may not be read', async () => {
    const path = await saved('locked.jpg', photo);
    await chmod(path, 0);
    await chmod(folder, 0o755);
    const { seteuid, geteuid } = process;
    const isRoot = geteuid?.() === 0;
    if (isRoot) seteuid?.('nobody'); // root may read everything
    const problem = await refusal(path).finally(() => {
      if (isRoot) seteuid?.(0);
    });
    expect(problem.what).toBe('You are not allowed to read this file');
  });

  it('an empty file', async () => {
    const path = await saved('empty.png', '');
    expect(await refusal(path)).toMatchObject({ what: 'The file is empty', where: path });
    expect((await refusal(new Uint8Array())).where).toBe('picture');
  });

  it.each<[string, string | Uint8Array]>([
    ['text', 'Dear Nana, here is the picture of the cat.'],
    ['a web page', '<!DOCTYPE html><html><body><svg></svg></body></html>'],
    ['a PDF', '%PDF-1.7\n1 0 obj'],
    ['a film', '\0\0\0\x18ftypmp42\0\0\0\0mp42isom'],
    ['many spaces', ' '.repeat(100_000)],
    ['comments without end', '<!-- --><!--'.repeat(5000)],
  ])('%s named .jpg', async (_, bytes) => {
    const path = await saved('words.jpg', bytes);
    expect(await refusal(path)).toMatchObject({
      what: 'This is not a picture that can be read',
      where: path,
    });
  });

  const cutShort = 'The picture is damaged, or only part of it is there';

  it.each(['jpeg', 'png', 'webp', 'tiff', 'gif', 'avif'] as const)(
    'half a %s, and its first bytes',
    async (format) => {
      const whole = await toSharp(flag(900, 700))[format]().toBuffer();
      for (const length of [whole.length >> 1, 30]) {
        expect((await refusal(whole.subarray(0, length))).what).toBe(cutShort);
      }
    },
  );

  it('half a progressive JPEG', async () => {
    const whole = await toSharp(flag(900, 700)).jpeg({ progressive: true }).toBuffer();
    expect((await refusal(whole.subarray(0, whole.length >> 1))).what).toBe(cutShort);
  });

  it('half a HEIC, its first bytes, and one whose pixels are not what they should be', async () => {
    const whole = await fixture('turned-in-exif.heic');
    const spoilt = Buffer.from(whole).fill(0x11, whole.indexOf('mdat', 0, 'latin1') + 4);
    for (const bytes of [whole.subarray(0, whole.length >> 1), whole.subarray(0, 30), spoilt]) {
      expect((await refusal(bytes)).what).toBe(cutShort);
    }
  });

  it('a picture without pixels', async () => {
    expect((await refusal(pngThatClaims(0, 7))).what).toBe(cutShort);
  });

  it('a picture of 30,000 × 30,000, before any pixel of it', async () => {
    const problem = await refusal(pngThatClaims(30_000, 30_000));
    expect(problem.what).toBe('The picture is too large: 30000 × 30000 px, 900 megapixels');
    expect(problem.remedy).toContain('268 megapixels');
  });

  it('but not one of 16,384 × 16,384 for its size', async () => {
    expect((await refusal(pngThatClaims(16_384, 16_384))).what).toBe(cutShort);
  });

  it.each([
    ['60,0,50,100', 'The crop rectangle 60,0,50,100 leaves the picture'],
    ['0,0.5,100,100', 'The crop rectangle 0,0.5,100,100 leaves the picture'],
    ['10,10,0,50', 'The crop rectangle 10,10,0,50 is empty'],
    ['10,10,50,0', 'The crop rectangle 10,10,50,0 is empty'],
  ])('the crop %s', async (crop, what) => {
    expect(await refusal(photo, { crop })).toMatchObject({ what, where: '`crop`' });
  });

  it.each(['1,2,3', '1,2,3,4,5', 'all of it', '-1,0,50,50', ''])('the crop "%s"', async (crop) => {
    const outcome: unknown = await readPicture(photo, { ...completeJob({}), crop }).catch(
      (error: unknown) => error,
    );
    expect(outcome).toBeInstanceOf(Problem);
    expect(outcome).toMatchObject({ what: `"${crop}" is not a crop rectangle` });
  });

  it('and a decoder keeps its own words to itself', async () => {
    const problems = await Promise.all([
      refusal(photo.subarray(0, photo.length >> 1)),
      refusal((await fixture('turned-in-exif.heic')).subarray(0, 1500)),
      refusal(pngThatClaims(0, 7)),
    ]);
    for (const problem of problems) {
      expect(problem.message).not.toMatch(/vips|sharp|libheif|libpng|heif|buffer|error|corrupt/i);
      expect(problem.cause).toBeInstanceOf(Error);
    }
  });

  it('a file that has more behind its picture is read all the same', async () => {
    const picture = await read(Buffer.concat([photo, Buffer.alloc(4000, 0x20)]));
    expect(picture.source).toMatchObject({ width: 900, height: 700 });
  });
});
