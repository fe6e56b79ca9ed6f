import { describe, expect, it } from 'vitest';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

describe('a kernel that writes past an array', () => {
  it('fails, and tells which', () => {
    const [values, marks] = kernelArrays([Float32Array, 9], [Uint8Array, 8]);
    values.fill(2);
    expect(() => kernels.markBeyond(values, 9, 1, marks)).toThrow(
      'markBeyond writes past the end of out (number 2 of its layout, Uint8Array of 8)',
    );
  });

  it('passes where all fits, also when its array is as long as it can be', () => {
    const [values, marks] = kernelArrays([Float32Array, 16], [Uint8Array, 16]);
    values.fill(2);
    kernels.markBeyond(values, 16, 1, marks);
    expect([...marks]).toEqual(new Array(16).fill(1));
  });
});
