import { describe, expect, it } from 'vitest';
import { rasterise } from '../../src/geometry/rasterise.js';
import type { Point, Shape } from '../../src/geometry/shape.js';
import { completeJob } from '../../src/settings/job.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { bridge, type Bridge } from '../../src/stages/bridge/bridge.js';
import { erodeFilm } from '../../src/stages/bridge/eroded-film.js';
import { findMirrorAxis } from '../../src/stages/bridge/mirror-symmetry.js';
import { circle, rectangle, ring } from '../support/openings.js';

const PIXELS_PER_MM = 10;
const sheet = { widthMm: 60, heightMm: 60 };
/** One bridge an island. */
const job = completeJob({ card: '60x60mm', bridgeAmount: 'fewer', flare: 0 });

const draw = (shapes: readonly Shape[]): Bitmap => rasterise(shapes, 600, 600, PIXELS_PER_MM);
const axisOf = (shapes: readonly Shape[]): number | undefined =>
  findMirrorAxis(erodeFilm(draw(shapes), PIXELS_PER_MM, job));
const pictureBox = { x: 0, y: 0, width: 600, height: 600 };
/** Of a picture that is dark where the openings are. */
const bridgesOf = (shapes: readonly Shape[], settings = job): readonly Bridge[] => {
  const { width, height, data } = draw(shapes);
  const gray = { width, height, data: data.map((opening) => 255 - 255 * opening) };
  return bridge({ shapes }, { sheet, pixelsPerMm: PIXELS_PER_MM, gray, pictureBox }, settings)
    .bridges;
};
const middle = ({ from, to }: Bridge): Point => ({
  x: (from.x + to.x) / 2,
  y: (from.y + to.y) / 2,
});

describe('a stencil whose halves mirror each other', () => {
  it.each([30, 28.5, 32.05])('has its axis at %s mm', (x) => {
    const pair = [x - 12, x + 12].map((at) => ring(at, 30, 9, 4));
    const bar: Shape = { outer: rectangle(x - 2, 45, 4, 8), holes: [] };
    expect(axisOf([...pair, bar])).toBe(2 * x * PIXELS_PER_MM);
  });

  it.each([1.2, -1.2])(
    'is told though its middle is heavier on one side, by a spot at %s × 8 mm',
    (side) => {
      const pair = [18, 42].map((at) => ring(at, 30, 9, 4));
      const spot: Shape = { outer: circle(30 + 8 * side, 50, 2), holes: [] };
      expect(axisOf([...pair, spot])).toBe(600);
    },
  );

  it('is tied alike on both sides, where each side alone would have it otherwise', () => {
    // The islands lie off their rings' middles, so that the gap is least below on the left and above on the right.
    const left = ring(18, 30, 9, 5, 0.3, 0.4);
    const right = ring(42, 30, 9, 5, -0.3, -0.4);
    const [alone, otherAlone] = [[left], [right]].map((shapes) => middle(bridgesOf(shapes)[0]));
    expect(alone.y).toBeGreaterThan(32);
    expect(otherAlone.y).toBeLessThan(28);

    const tied = bridgesOf([left, right]).map(middle);
    expect(tied).toHaveLength(2);
    const [a, b] = tied.sort((one, other) => one.x - other.x);
    expect(Math.abs(a.x + b.x - 60)).toBeLessThan(1.2);
    expect(Math.abs(a.y - b.y)).toBeLessThan(1.2);
  });

  it('is tied where each side costs least, when the shortest bridges are wanted', () => {
    const left = ring(18, 30, 9, 5, 0.3, 0.4);
    const right = ring(42, 30, 9, 5, -0.3, -0.4);
    const tied = bridgesOf([left, right], { ...job, spareFeatures: false }).map(middle);
    const [a, b] = tied.sort((one, other) => one.x - other.x);
    expect(a.y).toBeGreaterThan(32);
    expect(b.y).toBeLessThan(28);
  });
});

describe('an island on the axis', () => {
  const lamp = (above: number, besides: number): Shape => ({
    outer: rectangle(20, 15, 20, 30),
    holes: [rectangle(20 + besides, 15 + above, 20 - 2 * besides, 30 - above - 8)],
  });

  it('is held on the axis, where one side alone would cost a little less', () => {
    const [{ from, to }, ...more] = bridgesOf([lamp(5.4, 5)]);
    expect(more).toEqual([]);
    expect([from.x, to.x].map(Math.round)).toEqual([30, 30]);
  });

  it('is held on one side where the way along the axis is far', () => {
    const [{ from, to }, ...more] = bridgesOf([lamp(9, 3)]);
    expect(more).toEqual([]);
    expect(Math.abs(middle({ from, to } as Bridge).x - 30)).toBeGreaterThan(5);
  });
});

describe('a stencil whose halves are unlike', () => {
  it.each([
    ['nothing to cut', []],
    ['one side alone', [ring(18, 30, 9, 4), ring(30, 48, 5, 2)]],
    ['a part that one side lacks', [ring(18, 30, 9, 4), ring(42, 30, 9, 4), ring(48, 12, 5, 1)]],
    ['one side higher', [ring(18, 27, 9, 4), ring(42, 33, 9, 4)]],
    [
      'a large opening with islands anywhere',
      [{ outer: rectangle(8, 8, 44, 44), holes: [circle(15, 15, 3), circle(40, 40, 3)] }],
    ],
  ] as const)('has no axis: %s', (_, shapes) => {
    expect(axisOf(shapes)).toBeUndefined();
  });

  it('has its bridges where each costs least', () => {
    const left = ring(18, 30, 9, 5, 0.3, 0.4);
    const right = ring(42, 34, 9, 5, -0.3, -0.4);
    const [a, b] = bridgesOf([left, right])
      .map(middle)
      .sort((one, other) => one.x - other.x);
    expect(a.y).toBeGreaterThan(32);
    expect(b.y).toBeLessThan(32);
  });
});
