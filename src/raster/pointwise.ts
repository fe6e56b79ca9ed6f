import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';

/**
 * Does something with each value by itself.
 *
 * @param others as many values each as `values` has, which take part
 * @param run runs a kernel over the first `n` of the values, with the others beside them: what it leaves is returned
 */
export function pointwise<const O extends readonly Float32Array[]>(
  values: Float32Array,
  others: O,
  run: (values: Float32Array, others: { readonly [K in keyof O]: Float32Array }, n: number) => void,
): Float32Array {
  const n = values.length;
  const [data, ...more] = kernelArrays<Float32Array[]>(
    ...[values, ...others].map(() => [Float32Array, n] as const),
  );
  data.set(values);
  others.forEach((other, k) => more[k].set(other));
  run(data, more as { [K in keyof O]: Float32Array }, n);
  return data.slice();
}

/** The sum of the values, added up in their order. */
export function sumOf(values: Float32Array): number {
  const [data] = kernelArrays([Float32Array, values.length]);
  data.set(values);
  return kernels.sumOf(data, values.length);
}

/** `mark`, which is 1 or 0, where a value is less than a limit, else the other of the two. */
export function belowThreshold(values: Float32Array, limit: number, mark: 0 | 1): Uint8Array {
  const n = values.length;
  const [data, marks] = kernelArrays([Float32Array, n], [Uint8Array, n]);
  data.set(values);
  kernels.markUnder(data, n, limit, mark, marks);
  return marks.slice();
}

/** The values, with the sign of those turned that are marked. */
export function turned(values: Float32Array, marks: Uint8Array): Float32Array {
  const n = values.length;
  const [data, marked] = kernelArrays([Float32Array, n], [Uint8Array, n]);
  data.set(values);
  marked.set(marks);
  kernels.negateMarked(data, marked, n);
  return data.slice();
}
