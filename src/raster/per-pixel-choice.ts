import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import { gaussianBlur } from './blur.js';
import type { Contours } from './contours.js';
import type { Field } from './field.js';
import type { Match } from './likeness.js';

/** What each pixel of a print is worth: `gain` by the weight of the contour that it shows, less `loss` if it invents one. */
export function worthOf(
  { found, invented }: Match,
  { width, height, weight }: Contours,
  gain: number,
  loss: number,
): Field {
  const n = weight.length;
  const [worth, kept, made] = kernelArrays([Float32Array, n], [Uint8Array, n], [Uint8Array, n]);
  worth.set(weight);
  kept.set(found);
  made.set(invented);
  kernels.weighMatch(worth, kept, made, n, gain, loss);
  return { width, height, data: worth.slice() };
}

/** For each pixel the number of the field that is largest there, the earlier one of equals. At most 256 fields. */
export function argmax(fields: readonly Field[]): Uint8Array {
  const n = fields[0].data.length;
  const [values, largest, which] = kernelArrays(
    [Float32Array, n],
    [Float32Array, n],
    [Uint8Array, n],
  );
  largest.fill(-Infinity);
  which.fill(0);
  fields.forEach(({ data }, number) => {
    values.set(data);
    kernels.takeLarger(values, largest, which, n, number);
  });
  return which.slice();
}

/** One field out of several, each where its number stands; they pass into one another within `sigma` px. */
export function blended(fields: readonly Field[], which: Uint8Array, sigma: number): Field {
  const { width, height } = fields[0];
  const n = which.length;
  // One that stands nowhere has no share anywhere.
  const standing = [...fields.keys()].filter((number) => which.includes(number));
  const shares = standing.map((number) => {
    const here = new Float32Array(n);
    for (let i = 0; i < n; i++) here[i] = which[i] === number ? 1 : 0;
    return gaussianBlur({ width, height, data: here }, sigma).data;
  });
  const [sum, share, values] = kernelArrays(
    [Float32Array, n],
    [Float32Array, n],
    [Float32Array, n],
  );
  sum.fill(0);
  standing.forEach((number, k) => {
    share.set(shares[k]);
    values.set(fields[number].data);
    kernels.addShare(sum, share, values, n);
  });
  return { width, height, data: sum.slice() };
}
