import { describe, expect, it } from 'vitest';
import { gaussianBlur } from '../../src/raster/blur.js';
import type { Field } from '../../src/raster/field.js';
import { seeded } from '../support/bitmaps.js';

const SIGMAS = [0.4, 1, 1.49, 1.5, 2, 3.7, 8, 20];

function noise(width: number, height: number, seed: number): Field {
  const random = seeded(seed);
  const data = Float32Array.from({ length: width * height }, () => 255 * random());
  return { width, height, data };
}

/** The Gaussian's own weights, out to 8 σ, for one line that its mirror image continues. */
function blurredLine(line: readonly number[], sigma: number): number[] {
  const reach = Math.ceil(8 * sigma);
  return line.map((_, at) => {
    let [sum, total] = [0, 0];
    for (let i = -reach; i <= reach; i++) {
      const weight = Math.exp(-(i * i) / (2 * sigma * sigma));
      let place = at + i;
      while (place < 0 || place >= line.length) {
        place = place < 0 ? -1 - place : 2 * line.length - 1 - place;
      }
      sum += weight * line[place];
      total += weight;
    }
    return sum / total;
  });
}

function blurredByDefinition({ width, height, data }: Field, sigma: number): Float64Array {
  const result = Float64Array.from(data);
  for (let y = 0; y < height; y++) {
    result.set(blurredLine([...result.subarray(y * width, (y + 1) * width)], sigma), y * width);
  }
  for (let x = 0; x < width; x++) {
    const column = Array.from({ length: height }, (_, y) => result[y * width + x]);
    blurredLine(column, sigma).forEach((value, y) => (result[y * width + x] = value));
  }
  return result;
}

const mean = (values: ArrayLike<number>): number =>
  Array.from(values).reduce((sum, value) => sum + value, 0) / values.length;

describe('gaussianBlur', () => {
  it.each(SIGMAS)(
    'gives the Gaussian itself for an impulse, σ %f, to a 600th of its peak',
    (sigma) => {
      const size = 2 * Math.ceil(5 * sigma) + 21;
      const middle = (size - 1) / 2;
      const impulse = { width: size, height: size, data: new Float32Array(size * size) };
      impulse.data[middle * size + middle] = 1;
      const blurred = gaussianBlur(impulse, sigma).data;
      const wanted = blurredByDefinition(impulse, sigma);
      const peak = wanted[middle * size + middle];
      wanted.forEach((value, i) => {
        expect(Math.abs(blurred[i] - value) / peak).toBeLessThan(1 / 600);
      });
    },
  );

  it.each(SIGMAS)(
    'is within a third of a level of the sum by definition on noise, σ %f',
    (sigma) => {
      const field = noise(67, 45, 3);
      const blurred = gaussianBlur(field, sigma).data;
      blurredByDefinition(field, sigma).forEach((value, i) => {
        expect(Math.abs(blurred[i] - value)).toBeLessThan(1 / 3);
      });
    },
  );

  it.each(SIGMAS)('keeps the mean, σ %f', (sigma) => {
    const field = noise(64, 41, 5);
    expect(mean(gaussianBlur(field, sigma).data)).toBeCloseTo(mean(field.data), 1);
  });

  it('keeps an even picture even, also when it is smaller than the blur', () => {
    const field = { width: 3, height: 2, data: new Float32Array(6).fill(200) };
    for (const sigma of SIGMAS) {
      for (const value of gaussianBlur(field, sigma).data) expect(value).toBeCloseTo(200, 3);
    }
  });

  it('treats rows and columns alike', () => {
    const field = noise(30, 30, 7);
    const turned = (f: Field): Field => ({
      ...f,
      data: f.data.map((_, i) => f.data[(i % 30) * 30 + Math.floor(i / 30)]),
    });
    const one = turned(gaussianBlur(field, 2)).data;
    gaussianBlur(turned(field), 2).data.forEach((value, i) => expect(value).toBeCloseTo(one[i], 3));
  });

  it('leaves its input as it is', () => {
    const field = noise(20, 20, 9);
    const before = field.data.slice();
    gaussianBlur(field, 3);
    expect(field.data).toEqual(before);
  });
});
