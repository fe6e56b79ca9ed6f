import { describe, expect, it } from 'vitest';
import { kernelArrays, runKernel } from '../../src/kernels/kernels.js';
import * as made from '../../src/kernels/code.js';
import { compiled } from '../../src/kernels/compile.mjs';

describe('the code of the kernels', () => {
  it('is what their sources compile to: after a change, npm run kernels', async () => {
    const text = await compiled();
    expect(text).toContain(`'${made.code}'`);
  });
});

describe('kernelArrays', () => {
  it('lays arrays side by side, none over another', () => {
    const [bytes, reals, words] = kernelArrays(
      [Uint8Array, 3],
      [Float64Array, 5],
      [Int32Array, 70_000],
    );
    bytes.fill(1);
    reals.fill(2);
    words.fill(3);
    expect([...bytes]).toEqual([1, 1, 1]);
    expect([...reals]).toEqual([2, 2, 2, 2, 2]);
    expect(words.every((word) => word === 3)).toBe(true);
  });
});

describe('runKernel', () => {
  it('refuses an array from elsewhere', () => {
    const [room] = kernelArrays([Int32Array, 4]);
    expect(() => runKernel('listRegion', new Uint8Array(9), 3, 4, room)).toThrow('listRegion');
  });
});
