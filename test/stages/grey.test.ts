import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { openLayers } from '../../src/pipeline/pipeline.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { LUMA, mixed } from '../../src/raster/luma.js';
import { greyOf } from '../../src/stages/read/grey.js';
import { readPicture, type Picture } from '../../src/stages/read/read.js';
import { tone } from '../../src/stages/tone/tone.js';
import { seeded } from '../support/bitmaps.js';
import { ofLuma, strawberry } from '../support/equal-luma.js';
import { photographFile, photographs } from '../support/photographs.js';
import { draw, lumaOf, toSharp, type Colour, type Drawn } from '../support/pictures.js';

const read = (source: string | Uint8Array, given: JobInput = {}): Promise<Picture> =>
  readPicture(source, completeJob(given));

const SALMON: Colour = [0xf0, 0x80, 0x70];
const GREEN: Colour = [0x33, 0xc0, 0x26];
const DARK: Colour = [0x5a, 0x1a, 0x10];

const SIZE = 240;

/** One colour on another, both flat, and its grey in the middle and at the corner. */
async function spotOn(spot: Colour, ground: Colour) {
  const inSpot = (x: number, y: number) => Math.hypot(x - SIZE / 2, y - SIZE / 2) < SIZE / 4;
  const { data, why } = await greyOf(draw(SIZE, SIZE, (x, y) => (inSpot(x, y) ? spot : ground)));
  return { spot: data[(SIZE / 2) * (SIZE + 1)], ground: data[0], why };
}

/** CIE76 of two colours, by libvips (npm: sharp); CIE 15:2004, 8.2.1.3. */
async function differenceOf(one: Colour, other: Colour): Promise<number> {
  const raw = { width: 2, height: 1, channels: 3 } as const;
  const bytes = await sharp(Uint8Array.of(...one, ...other), { raw })
    .toColourspace('lab')
    .raw({ depth: 'float' })
    .toBuffer();
  const [l1, a1, b1, l2, a2, b2] = new Float32Array(new Uint8Array(bytes).buffer);
  return Math.hypot(l1 - l2, a1 - a2, b1 - b2);
}

async function isLuma({ data, ...size }: Drawn): Promise<boolean> {
  const grey = await greyOf({ ...size, data });
  return grey.why === '' && Buffer.compare(grey.data, mixed(data, LUMA)) === 0;
}

describe('a salmon strawberry on a green of the same luma', () => {
  const picture = strawberry(SALMON, GREEN, DARK);

  it('has the same luma as its ground, to one grey in 255, and another colour', async () => {
    expect(Math.abs(lumaOf(SALMON) - lumaOf(GREEN))).toBeLessThan(0.5);
    expect(await differenceOf(SALMON, GREEN)).toBeGreaterThan(80);
  });

  it.each([
    ['as a drawing', async () => Promise.resolve(picture)],
    ['as a photograph is stored', async () => sharp(picture).jpeg({ quality: 80 }).toBuffer()],
  ])('%s: is cut, its ground is not, and that is told', async (_, encode) => {
    const seen = await read(await encode());
    const { bitmap, why } = tone(seen, completeJob({}));
    const at = (across: number, down: number) => {
      const [x, y] = [seen.pictureBox.x + across * seen.pictureBox.width, seen.pictureBox.y + down * seen.pictureBox.height]; // prettier-ignore
      return bitmap.data[Math.floor(y) * bitmap.width + Math.floor(x)];
    };
    expect(at(0.35, 0.6)).toBe(1);
    expect(at(0.6, 0.7)).toBe(1);
    expect(at(0.1, 0.1)).toBe(0);
    expect(at(0.9, 0.9)).toBe(0);
    expect(why).toMatch(
      /auto\. Its colours differ more than their lightness does, so where lightness is the same red counts as darker than green\.$/,
    );
  });

  it('is dark in the sheets of layers, too, which say so', async () => {
    const ground = await openLayers(picture, completeJob({}), {
      parts: 2,
      separate: false,
      overlapMm: 0,
    });
    const first = ground.toned(0, []).tone;
    expect(first.why).toContain('red counts as darker than green');
    expect(first.bitmap.data[508 * first.bitmap.width + 420]).toBe(1);
    expect(first.bitmap.data[100 * first.bitmap.width + 100]).toBe(0);
  });

  it('is found on its ground when it is to be repeated', async () => {
    const { shows } = await read(strawberry(SALMON, GREEN, SALMON), { repeat: 'straight' });
    // It is drawn from 213 to 687 of 900 across and from 290 to 780 down, within the look's pixels.
    expect(shows.x).toBeGreaterThan(0.2);
    expect(shows.x + shows.width).toBeLessThan(0.8);
    expect(shows.y).toBeGreaterThan(0.28);
    expect(shows.y + shows.height).toBeLessThan(0.9);
  });

  it.each<JobInput>([{ fineness: 5 }, { card: '9x12in' }, { margin: 12 }])(
    'is seen alike whatever the card: %j',
    async (given) => {
      const berry = ({ gray, pictureBox }: Picture) =>
        gray.data[
          (pictureBox.y + Math.floor(0.6 * pictureBox.height)) * gray.width +
            pictureBox.x +
            Math.floor(0.35 * pictureBox.width)
        ];
      const [usual, other] = [await read(picture), await read(picture, given)];
      expect(other.greyWhy).toBe(usual.greyWhy);
      expect(Math.abs(berry(other) - berry(usual))).toBeLessThan(20);
    },
  );
});

describe('colours of one luma', () => {
  it('red is darker than blue, blue than green', async () => {
    const [red, green, blue] = [0, 120, 235].map((hue) => ofLuma(hue, 70));
    const onRed = await spotOn(blue, red);
    expect(onRed.spot - onRed.ground).toBeGreaterThan(60);
    expect(onRed.why).toContain('red counts as darker than blue');
    const onGreen = await spotOn(blue, green);
    expect(onGreen.ground - onGreen.spot).toBeGreaterThan(60);
    expect(onGreen.why).toContain('blue counts as darker than green');
  });

  it('any two hues that differ to the eye differ in grey', async () => {
    const hues = Array.from({ length: 12 }, (_, k) => ofLuma(30 * k, 110));
    let pairs = 0;
    for (const [k, one] of hues.entries()) {
      for (const other of hues.slice(0, k)) {
        if ((await differenceOf(one, other)) < 40) continue;
        const { spot, ground } = await spotOn(one, other);
        expect(Math.abs(spot - ground), `${one.join()} on ${other.join()}`).toBeGreaterThan(60);
        pairs++;
      }
    }
    expect(pairs).toBeGreaterThan(50);
  });

  it('a colour wheel has its reds dark, their complements light, and greys as they were', async () => {
    const wheel = draw(SIZE, SIZE, (x, y) => {
      const [dx, dy] = [x - SIZE / 2, y - SIZE / 2];
      const radius = Math.hypot(dx, dy);
      if (radius > 0.45 * SIZE || radius < 0.15 * SIZE) return [110, 110, 110];
      return ofLuma((30 * Math.round((6 * Math.atan2(dy, dx)) / Math.PI) + 360) % 360, 110);
    });
    const { data } = await greyOf(wheel);
    const at = (hue: number): number => {
      const angle = (hue / 180) * Math.PI;
      const [x, y] = [Math.cos, Math.sin].map((f) => Math.round(SIZE * (0.5 + 0.3 * f(angle))));
      return data[y * SIZE + x];
    };
    expect(data[0]).toBe(110);
    expect(at(0)).toBeLessThan(80);
    expect(at(330)).toBeLessThan(80);
    expect(at(180)).toBeGreaterThan(130);
    expect(at(150)).toBeGreaterThan(140);
  });

  it('blue on a red of a little more luma is the darker one', async () => {
    const [red, blue]: readonly Colour[] = [[200, 0, 0], [0, 0, 200]]; // prettier-ignore
    expect(lumaOf(red) - lumaOf(blue)).toBeGreaterThan(25);
    const { spot, ground } = await spotOn(blue, red);
    expect(ground - spot).toBeGreaterThan(60);
  });

  it('what luma has darker stays darker', async () => {
    const [red, green] = [ofLuma(0, 110), ofLuma(120, 110)];
    const colours = [red, green, ofLuma(0, 45), ofLuma(120, 200), [0, 0, 0], [255, 255, 255]] as const; // prettier-ignore
    const stripes = draw(SIZE, SIZE, (x, y) =>
      y < SIZE / 2 ? colours[Math.floor((6 * x) / SIZE)] : x < SIZE / 2 ? red : green,
    );
    const { data, why } = await greyOf(stripes);
    const [sameRed, sameGreen, darkRed, paleGreen, black, white] = [0, 1, 2, 3, 4, 5].map(
      (k) => data[Math.floor(((k + 0.5) * SIZE) / 6)],
    );
    expect(why).not.toBe('');
    expect(black).toBe(0);
    expect(white).toBe(255);
    expect(sameRed).toBeLessThan(sameGreen - 60);
    expect(darkRed).toBeLessThan(sameRed);
    expect(paleGreen).toBeGreaterThan(sameGreen);
  });
});

describe('luma stays, byte for byte', () => {
  it.each(photographs)('of the photograph %s', async (name) => {
    const { colours, greyWhy } = await read(photographFile(name));
    expect(greyWhy).toBe('');
    expect(await isLuma(colours)).toBe(true);
  });

  it.each([
    'hen.jpg',
    'nana.jpg',
    'boathouse-sketch.jpg',
    'moth.png',
    'fern-border.svg',
    'leaf.svg',
  ])('of the sample %s', async (name) =>
    expect(await isLuma((await read(`samples/${name}`)).colours)).toBe(true),
  );

  it('of a grey picture', async () => {
    const random = seeded(4);
    const grey = Array.from({ length: SIZE }, () => Math.floor(256 * random()));
    expect(await isLuma(draw(SIZE, SIZE, (x, y) => [0, 1, 2].map(() => grey[(x * y) % SIZE]) as unknown as Colour))).toBe(true); // prettier-ignore
  });

  it('of one flat colour, of a tinted one, and of colours whose luma differs', async () => {
    expect(await isLuma(draw(SIZE, SIZE, () => SALMON))).toBe(true);
    expect(
      await isLuma(draw(SIZE, SIZE, (x) => [x, Math.round(0.8 * x), Math.round(0.6 * x)])),
    ).toBe(true);
    expect(await isLuma(draw(SIZE, SIZE, (x) => (x < SIZE / 2 ? [200, 30, 40] : [235, 230, 215])))).toBe(true); // prettier-ignore
  });

  it('of grain in the colours alone', async () => {
    const random = seeded(9);
    const grain = draw(SIZE, SIZE, () => {
      const [red, blue] = [random() - 0.5, random() - 0.5].map((value) => 20 * value);
      return [128 + red, 128 - (0.2126 * red + 0.0722 * blue) / 0.7152, 128 + blue];
    });
    expect(await isLuma(grain)).toBe(true);
    const stored = await toSharp(grain).jpeg({ quality: 60 }).toBuffer();
    expect((await read(stored)).greyWhy).toBe('');
  });

  it('where little is lost: among many contours that luma has, or in a speck', async () => {
    const [red, green]: readonly Colour[] = [[230, 60, 60], [30, 121, 44]]; // prettier-ignore
    const spotted = (radius: number, beyond: Colour) =>
      draw(SIZE, SIZE, (x, y) => {
        if (Math.hypot(x - SIZE / 4, y - SIZE / 2) < radius) return red;
        return x > SIZE / 2 && (x >> 3) % 2 === 0 ? beyond : green;
      });
    expect(await isLuma(spotted(20, green))).toBe(false);
    expect(await isLuma(spotted(20, [20, 20, 20]))).toBe(true);
    expect(await isLuma(spotted(1.5, green))).toBe(true);
  });

  it('of pictures of a pixel or a few', async () => {
    for (const [width, height] of [
      [1, 1],
      [1, 9],
      [5, 2],
      [3, 3],
    ]) {
      // prettier-ignore
      expect(await isLuma(draw(width, height, (x) => (x === 0 ? SALMON : GREEN)))).toBe(true);
    }
  });
});
