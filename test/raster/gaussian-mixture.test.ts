import { describe, expect, it } from 'vitest';
import { mixtureOf, relearned, negativeLogLikelihood } from '../../src/raster/gaussian-mixture.js';
import { seeded } from '../support/bitmaps.js';

type Colour = readonly [number, number, number];

/** Colours round a middle, by the sum of a few random numbers: `along` of them on one slanted line. */
function cloud(
  count: number,
  middle: Colour,
  along: Colour,
  grain: number,
  seed: number,
): Colour[] {
  const random = seeded(seed);
  const bell = (): number => random() + random() + random() + random() - 2;
  return Array.from({ length: count }, () => {
    const far = bell();
    return middle.map((value, k) => Math.round(value + far * along[k] + grain * bell()));
  }) as unknown as Colour[];
}

const pictureOf = (colours: readonly Colour[]) => ({
  width: colours.length,
  height: 1,
  data: Uint8Array.from(colours.flat()),
});

/** The covariance of colours, and what a lossy file's grain adds to it: 9 squared levels in each channel. */
function covariance(colours: readonly Colour[]): number[][] {
  const mean = [0, 1, 2].map((k) => colours.reduce((sum, c) => sum + c[k], 0) / colours.length);
  return mean.map((_, j) =>
    mean.map(
      (__, k) =>
        colours.reduce((sum, c) => sum + (c[j] - mean[j]) * (c[k] - mean[k]), 0) / colours.length +
        (j === k ? 9 : 0),
    ),
  );
}

/** a · M⁻¹ · a by Cramer's rule (textbook). */
function mahalanobis(matrix: readonly number[][], a: readonly number[]): number {
  const det = ([[p, q, r], [s, t, u], [v, w, x]]: readonly (readonly number[])[]): number =>
    p * (t * x - u * w) - q * (s * x - u * v) + r * (s * w - t * v);
  const whole = det(matrix);
  const solved = a.map((_, k) =>
    det(matrix.map((row, i) => row.map((value, j) => (j === k ? a[i] : value)))),
  );
  return solved.reduce((sum, value, k) => sum + (value / whole) * a[k], 0);
}

describe('a mixture of one colour and its grain', () => {
  const colours = cloud(400, [120, 80, 160], [3, -2, 1], 2, 7);
  const { data } = pictureOf(colours);
  const mixture = mixtureOf(pictureOf(colours), new Uint8Array(400).fill(1), 1);
  const mean = [0, 1, 2].map((k) => colours.reduce((sum, c) => sum + c[k], 0) / 400);

  it('is one Gaussian', () => {
    expect(mixture.parts).toHaveLength(1);
    expect(mixture.parts[0].mean.map((value, k) => value - mean[k])).toEqual([
      expect.closeTo(0, 9),
      expect.closeTo(0, 9),
      expect.closeTo(0, 9),
    ]);
  });

  it('finds a colour as unlikely as it lies off by the spread in its direction', () => {
    const matrix = covariance(colours);
    const told = (i: number): number => negativeLogLikelihood(mixture, data, 3 * i);
    const wanted = (i: number): number =>
      mahalanobis(
        matrix,
        colours[i].map((v, k) => v - mean[k]),
      ) / 2;
    for (let i = 1; i < 40; i++) expect(told(i) - told(0)).toBeCloseTo(wanted(i) - wanted(0), 9);
  });
});

describe('a mixture of several colours', () => {
  const sky = cloud(300, [90, 140, 220], [12, 12, 4], 2, 1);
  const sand = cloud(100, [210, 180, 120], [6, 10, 14], 2, 2);
  const other = cloud(50, [20, 20, 20], [0, 0, 0], 2, 3);
  const picture = pictureOf([...sky, ...sand, ...other]);
  const chosen = Uint8Array.from({ length: 450 }, (_, i) => (i < 400 ? 1 : 0));
  const mixture = mixtureOf(picture, chosen, 1);
  const at = (...colour: Colour): number =>
    negativeLogLikelihood(mixture, Uint8Array.from(colour), 0);

  it('knows each of them, and not what lies between or was not chosen', () => {
    expect(mixture.parts.length).toBeGreaterThan(1);
    const known = Math.max(at(90, 140, 220), at(210, 180, 120));
    for (const unknown of [at(150, 160, 170), at(20, 20, 20)])
      expect(unknown).toBeGreaterThan(known + 10);
  });

  it('finds the commoner one likelier, where both are as sharp', () => {
    const [many, few] = [
      cloud(300, [60, 60, 60], [0, 0, 0], 1, 4),
      cloud(60, [200, 60, 60], [0, 0, 0], 1, 5),
    ];
    const both = mixtureOf(pictureOf([...many, ...few]), new Uint8Array(360).fill(1), 1);
    const off =
      negativeLogLikelihood(both, Uint8Array.of(200, 60, 60), 0) -
      negativeLogLikelihood(both, Uint8Array.of(60, 60, 60), 0);
    expect(off).toBeCloseTo(Math.log(300 / 60), 1);
  });

  it('stays as it is when it is learned anew from what it was learned from', () => {
    const again = relearned(mixture, picture, chosen, 1);
    expect(again.parts).toHaveLength(mixture.parts.length);
    const told = (one: typeof mixture): number[] =>
      [0, 250, 350].map((i) => negativeLogLikelihood(one, picture.data, 3 * i));
    told(again).forEach((value, k) => expect(value).toBeCloseTo(told(mixture)[k], 0));
  });
});
