import { describe, expect, it } from 'vitest';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

describe('a kernel that writes past an array', () => {
  it('fails, and tells which', () => {
    const [wide, narrow] = kernelArrays([Float32Array, 9], [Uint8Array, 8]);
    wide.fill(0);
    expect(() => kernels.markBeyond(wide, 9, 3, narrow)).toThrow(
      'markBeyond writes past the end of out (number 2 of its layout, Uint8Array of 8)',
    );
  });

  it('passes where all fits, also when its array is as long as it can be', () => {
    const [wide, narrow] = kernelArrays([Float32Array, 16], [Uint8Array, 16]);
    wide.fill(0);
    kernels.markBeyond(wide, 16, 3, narrow);
    expect([...narrow]).toEqual(new Array(16).fill(0));
  });
});
