import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { erodeFilm } from '../../src/stages/bridge/eroded-film.js';
import { sparingLight } from '../../src/stages/bridge/light-ground.js';
import { spacingOf } from '../../src/stages/bridge/spacing.js';
import { tieBetween, tiesOf } from '../../src/stages/bridge/tie.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import { saliencyAt, type Saliency } from '../../src/raster/saliency.js';
import { faceAt, pictureOf } from '../support/face.js';
import { circle, rectangle } from '../support/openings.js';

const PIXELS_PER_MM = 10;
const sheet = { widthMm: 60, heightMm: 60 };
const job = completeJob({ card: '60x60mm' });
const night = { outer: rectangle(8, 8, 44, 44), holes: [circle(30, 30, 7)] };

/** Every place matters alike. */
const even: Saliency = {
  pictureBox: { x: 0, y: 0, width: 600, height: 600 },
  width: 120,
  height: 120,
  data: new Float32Array(120 * 120).fill(1),
  cell: 5,
};
const filmOf = (shapes: readonly (typeof night)[]) =>
  erodeFilm(rasterise(shapes, 600, 600, PIXELS_PER_MM), PIXELS_PER_MM, job, even);

describe('long bridges', () => {
  it('cost for their length as well as for what they cover', () => {
    // Across slits of 5, 10 and 20 mm: from 6 mm on a bridge is a rail.
    const [gap, twice, fourfold] = [5, 10, 20].map((high) => {
      const film = filmOf([{ outer: rectangle(8, 15, 44, high), holes: [rectangle(9, 16, 1, 1)] }]);
      const [x, top, bottom] = [300, 135, 10 * (15 + high) + 15];
      const edge = { from: 1, to: 1, x0: x, y0: top, x1: x, y1: bottom };
      return tiesOf(film, [edge], job)[0].cost;
    });
    expect(twice / gap).toBeCloseTo((2 * 10) / 6, 0.5);
    expect(fourfold / twice).toBeCloseTo(4, 0.5);
  });

  it('keep as far apart as they are long, short ones by an opening', () => {
    const film = filmOf([night]);
    const up = (x: number, from: number) =>
      tieBetween(film, { x, y: from }, { x, y: 7 }, 2.4, 'proposed', job);
    const long = spacingOf([up(27, 24)], job.narrowestOpening);
    expect(long.fits(up(33, 24), 'spread')).toBe(false);
    // One piece that holds goes before good looks.
    expect(long.fits(up(33, 24), 'clear')).toBe(true);
    expect(long.fits(up(30, 24), 'clear')).toBe(false);
    expect(long.fits(up(48, 24), 'spread')).toBe(true);
    const low = filmOf([{ outer: rectangle(8, 8, 44, 5), holes: [] }]);
    const over = (x: number) => tieBetween(low, { x, y: 14 }, { x, y: 7 }, 2.4, 'proposed', job);
    expect(spacingOf([over(27)], job.narrowestOpening).fits(over(33), 'spread')).toBe(true);
  });
});

describe('a bridge over what is light in the picture', () => {
  const onNight = (lightness: (x: number, y: number) => number, shapes = [night]) =>
    sparingLight(even, pictureOf(60, lightness).gray, PIXELS_PER_MM, shapes);
  const isFilm = (x: number, y: number): boolean =>
    x < 8 || y < 8 || x > 52 || y > 52 || Math.hypot(x - 30, y - 30) < 7;
  const isLamp = (x: number, y: number): boolean => Math.hypot(x - 30, y - 43) < 4;
  const at = (saliency: Saliency, x: number, y: number): number =>
    saliencyAt(saliency, x * PIXELS_PER_MM, y * PIXELS_PER_MM);

  it('spoils less, as of a lamp behind a head', () => {
    const seen = onNight((x, y) => (isFilm(x, y) || isLamp(x, y) ? 200 : 40));
    expect(at(seen, 30, 43)).toBeCloseTo(0.5, 1);
    expect(at(seen, 15, 30)).toBe(1);
    expect(at(seen, 30, 30)).toBe(1);
  });

  it('is told by the opening itself: a lit window in the dark is no light ground', () => {
    const lit = onNight((x, y) => (isFilm(x, y) ? 40 : 200));
    expect(at(lit, 30, 43)).toBe(1);
  });

  it('spoils as much beside film, and where light and dark are hardly apart', () => {
    const rim = onNight((x, y) => (isFilm(x, y) || x < 9 ? 200 : 40));
    expect(at(rim, 8.6, 30)).toBe(1);
    const faint = onNight((x, y) => (isFilm(x, y) || isLamp(x, y) ? 50 : 40));
    expect(at(faint, 30, 43)).toBe(1);
  });
});

describe('a face', () => {
  it('is held, be its bridges as long as they may', () => {
    const head = { ...night, holes: [circle(30, 30, 4)] };
    const { gray, pictureBox } = pictureOf(60, (x, y) =>
      Math.hypot(x - 30, y - 30) < 4 ? 200 : 40,
    );
    const laid = (faces: readonly ReturnType<typeof faceAt>[]) =>
      bridge(
        { shapes: [head] },
        { sheet, pixelsPerMm: PIXELS_PER_MM, gray, pictureBox, faces },
        job,
      );
    expect(laid([]).islandsDear).toBe(1);
    expect(laid([faceAt({ x: 27, y: 27.5 }, 6)]).islandsDear).toBe(0);
  });
});
