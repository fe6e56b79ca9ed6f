import { watchMemory, type Given, type KernelArray } from '../../src/kernels/memory.js';

/** Bytes behind each array that no kernel may write to, and what they hold: no number that a kernel would write often. */
const SPARE = 128;
const CANARY = 0xa7;

interface Guarded {
  readonly array: KernelArray;
  readonly behind: Uint8Array;
}

const intact = Buffer.alloc(SPARE, CANARY);
let guarded: readonly Guarded[] = [];

/** What an array is to a kernel: by the name that its source has for it, or else by where it was laid out. */
function nameOf(array: KernelArray, k: number, given: Given): string {
  const place = `number ${k + 1} of its layout, ${array.constructor.name} of ${array.length}`;
  const named = Object.entries(given).find(
    ([, value]) => typeof value === 'object' && value.byteOffset === array.byteOffset,
  );
  return named ? `${named[0]} (${place})` : `an array that it was not given (${place})`;
}

// Kernels check no bounds. So all tests look, after each one, whether what lies behind the arrays is as it was.
watchMemory({
  spare: SPARE,
  laidOut(arrays, memory) {
    guarded = arrays.map((array) => {
      const behind = new Uint8Array(memory, array.byteOffset + array.byteLength, SPARE);
      behind.fill(CANARY);
      return { array, behind };
    });
  },
  ran(kernel, given) {
    guarded.forEach(({ array, behind }, k) => {
      if (intact.equals(behind)) return;
      behind.fill(CANARY);
      throw new Error(`${kernel} writes past the end of ${nameOf(array, k, given)}`);
    });
  },
});
