import { describe, expect, it } from 'vitest';
import { seeded } from '../bench/numbers.js';
import * as written from '../bench/convolution-in-javascript.js';
import { KERNEL_GROUPS } from '../bench/kernel-groups.js';
import { kernelFiles } from '../bench/kernels-in-javascript.js';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

describe('what the kernels are worth (npm run kernels:worth)', () => {
  it('is told of every kernel, each in one group', () => {
    const grouped = Object.values(KERNEL_GROUPS).flat();
    const files = [...new Set(kernelFiles().values())];
    expect(files.filter((file) => !grouped.includes(file))).toEqual([]);
    expect(new Set(grouped).size).toBe(grouped.length);
  });
});

type Given = readonly Float32Array[];

/** How many numbers a kernel gives otherwise than the same function in JavaScript; -1 where all that they give is 0. */
function countOtherwise(
  given: Given,
  length: number,
  call: (own: Pick<typeof kernels, keyof typeof written>, given: Given, out: Float32Array) => void,
): number {
  const [compiled, ...inMemory] = kernelArrays(
    [Float32Array, length],
    ...given.map((array) => [Float32Array, array.length] as const),
  );
  given.forEach((array, k) => inMemory[k].set(array));
  compiled.fill(0);
  call(kernels, inMemory, compiled);
  const plain = new Float32Array(length);
  const copies = given.map((array) => array.slice());
  call(written, copies, plain);
  return plain.every((value) => value === 0)
    ? -1
    : compiled.filter((value, i) => value !== plain[i]).length;
}

describe('the kernels of a convolutional network, digit for digit as one number at a time', () => {
  /** Pixels that a filter goes over, pixels a row, channels, and the columns of a matrix. */
  const [COUNT, STRIDE, CHANNELS, WANTED] = [7, 9, 8, 16];
  const random = seeded(3);
  const reals = (length: number): Float32Array =>
    Float32Array.from({ length }, () => 2 * random() - 1);
  const picture = reals(3 * STRIDE * CHANNELS);
  const row = reals(COUNT * CHANNELS);

  it('laySquare', () => {
    const [colours, means, compiled] = kernelArrays(
      [Uint8Array, 300],
      [Float32Array, 3],
      [Float32Array, 3 * 36],
    );
    colours.set(Uint8Array.from({ length: 300 }, (_, i) => (7 * i) % 251));
    means.set([117, 104.5, 97.25]);
    compiled.fill(0);
    kernels.laySquare(colours, 10, 1, 1, 8, 7, 0, 1, 9, means, 4, compiled);
    const plain = new Float32Array(compiled.length);
    written.laySquare(colours, 10, 1, 1, 8, 7, 0, 1, 9, means, 4, plain);
    expect(plain.some((value) => value !== 0)).toBe(true);
    expect(compiled.filter((value, i) => value !== plain[i])).toHaveLength(0);
  });

  it.each<readonly [string, Given, number, Parameters<typeof countOtherwise>[2]]>([
    ['gatherRow', [picture], 81, (own, [a], out) => own.gatherRow(a, STRIDE, 2, 3, out)],
    [
      'filterRow',
      [picture, reals(9 * CHANNELS)],
      COUNT * CHANNELS,
      (own, [a, b], out) => own.filterRow(a, STRIDE, 1, CHANNELS, b, COUNT, out),
    ],
    [
      'multiplyRow',
      [row, reals(CHANNELS * WANTED), reals(WANTED)],
      COUNT * WANTED,
      (own, [a, b, c], out) => own.multiplyRow(a, COUNT, CHANNELS, b, c, 0.1, WANTED, out),
    ],
    [
      'poolRow',
      [row, picture],
      4 * CHANNELS,
      (own, [a, b], out) => own.poolRow(a, b, COUNT, CHANNELS, 2, out),
    ],
    ['addRow', [row, picture], row.length, (own, [a, b], out) => own.addRow(a, b, out.length, out)],
  ])('%s', (_, given, length, call) => {
    expect(countOtherwise(given, length, call)).toBe(0);
  });
});
