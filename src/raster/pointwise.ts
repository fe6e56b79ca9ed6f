import { kernelArrays, runKernel } from '../kernels/kernels.js';

/** What can be done with each value by itself: see `pointwise.ts` and `saliency.ts` in src/kernels/assembly. */
type Pointwise =
  | 'calmBy'
  | 'differ'
  | 'drawLevels'
  | 'growImportance'
  | 'mixParts'
  | 'multiply'
  | 'soften'
  | 'stretch'
  | 'subtract';

/**
 * Does something with each value by itself.
 *
 * @param others as many values each as `values` has, which take part
 * @param numbers what else the doing wants
 * @returns new values
 */
export function pointwise(
  name: Pointwise,
  values: Float32Array,
  others: readonly Float32Array[],
  ...numbers: readonly number[]
): Float32Array {
  const n = values.length;
  const [data, ...more] = kernelArrays<Float32Array[]>(
    ...[values, ...others].map(() => [Float32Array, n] as const),
  );
  data.set(values);
  others.forEach((other, k) => more[k].set(other));
  runKernel(name, data, ...more, n, ...numbers);
  return data.slice();
}

/** The sum of the values, added up in their order. */
export function sumOf(values: Float32Array): number {
  const [data] = kernelArrays([Float32Array, values.length]);
  data.set(values);
  return runKernel('sumOf', data, values.length);
}

/** `mark`, which is 1 or 0, where a value is less than a limit, else the other of the two. */
export function under(values: Float32Array, limit: number, mark: 0 | 1): Uint8Array {
  const n = values.length;
  const [data, marks] = kernelArrays([Float32Array, n], [Uint8Array, n]);
  data.set(values);
  runKernel('markUnder', data, n, limit, mark, marks);
  return marks.slice();
}

/** The values, with the sign of those turned that are marked. */
export function turned(values: Float32Array, marks: Uint8Array): Float32Array {
  const n = values.length;
  const [data, marked] = kernelArrays([Float32Array, n], [Uint8Array, n]);
  data.set(values);
  marked.set(marks);
  runKernel('turnSigns', data, marked, n);
  return data.slice();
}
