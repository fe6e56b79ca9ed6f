import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as made from '../../src/kernels/code.js';
import { compiled, wrappers } from '../../src/kernels/compile.mjs';
import * as kernels from '../../src/kernels/generated.js';
import { kernelArrays } from '../../src/kernels/memory.js';

const generated = new URL('../../src/kernels/generated.ts', import.meta.url);

describe('what the sources of the kernels compile to (after a change: npm run kernels)', () => {
  it('is the code in code.ts', async () => {
    expect(await compiled()).toContain(`'${made.code}'`);
  });

  it('has the types in generated.ts', async () => {
    expect(await wrappers()).toBe(readFileSync(generated, 'utf8'));
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

describe('a kernel', () => {
  it('takes what its source takes, and nothing else: the check of types fails where one of these compiles', () => {
    const [bytes, words, reals, singles] = kernelArrays(
      [Uint8Array, 8],
      [Int32Array, 8],
      [Float64Array, 8],
      [Float32Array, 8],
    );
    const right = [
      () => kernels.markBeyond(singles, 8, 1, bytes),
      (): number => kernels.listRegion(bytes, 4, 5, words),
      (): number => kernels.countSet(bytes, 8),
    ];
    const wrong = [
      // @ts-expect-error too few
      () => kernels.markBeyond(singles, 8, 1),
      // @ts-expect-error too many
      () => kernels.countSet(bytes, 8, 8),
      // @ts-expect-error an array of other numbers
      () => kernels.listRegion(bytes, 4, 5, reals),
      // @ts-expect-error a number for an array
      () => kernels.markBeyond(8, 8, 1, bytes),
      // @ts-expect-error an array for a number
      () => kernels.markBeyond(singles, 8, singles, bytes),
      // @ts-expect-error nothing is returned
      (): number => kernels.markBeyond(singles, 8, 1, bytes),
    ];
    expect(right).toHaveLength(3);
    expect(wrong).toHaveLength(6);
  });

  it('refuses an array from elsewhere', () => {
    const [room] = kernelArrays([Int32Array, 4]);
    expect(() => kernels.listRegion(new Uint8Array(9), 3, 4, room)).toThrow(/mask for listRegion/);
  });

  it('refuses an array from before the memory grew', () => {
    const [early] = kernelArrays([Uint8Array, 1]);
    kernelArrays([Uint8Array, early.buffer.byteLength]);
    expect(() => kernels.countSet(early, 1)).toThrow(/data for countSet/);
  });
});
