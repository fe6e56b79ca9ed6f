import { describe, expect, it } from 'vitest';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

describe('a kernel that writes past an array', () => {
  it('fails, and tells which', () => {
    const [, marks] = kernelArrays([Float32Array, 9], [Uint8Array, 8]);
    marks.set([1, 0, 0, 0, 0, 0, 0, 0]);
    expect(() => kernels.fillRows(marks, 9, 1)).toThrow(
      'fillRows writes past the end of data (number 2 of its layout, Uint8Array of 8)',
    );
  });

  it('passes where all fits, also when its array is as long as it can be', () => {
    const [marks] = kernelArrays([Uint8Array, 16]);
    marks.fill(0).set([1]);
    kernels.fillRows(marks, 16, 1);
    expect([...marks]).toEqual(new Array(16).fill(1));
  });
});
