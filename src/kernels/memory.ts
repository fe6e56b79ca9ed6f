import { code } from './code.js';

/** What a kernel works on. */
export type KernelArray = Uint8Array | Uint16Array | Int32Array | Float32Array | Float64Array;

interface ArrayKind<A extends KernelArray> {
  readonly BYTES_PER_ELEMENT: number;
  new (buffer: ArrayBuffer, byteOffset: number, length: number): A;
}

/** What a kernel is given, by the names that its source has for it. */
export type Given = Readonly<Record<string, number | KernelArray>>;

type Kernel = (...given: readonly number[]) => number;

interface Instance {
  readonly kernels: Readonly<Record<string, unknown>>;
  readonly memory: WebAssembly.Memory;
}

let made: Instance | undefined;

/** The kernels, compiled when the first is called for: help and version need none. */
function instance(): Instance {
  if (made) return made;
  const module = new WebAssembly.Module(Buffer.from(code, 'base64'));
  const math = { sin: Math.sin, cos: Math.cos, atan2: Math.atan2 };
  const { exports } = new WebAssembly.Instance(module, { math });
  made = { kernels: exports, memory: exports.memory as WebAssembly.Memory };
  return made;
}

/** Bytes of a page of WebAssembly's memory (WebAssembly Core Specification), by which it grows; the kernels' own tables lie in the first. */
const PAGE = 65536;
/** Arrays begin at multiples of so many bytes: of a register of sixteen. */
const ALIGNED = 16;

/** Looks after the memory while the tests run. */
export interface MemoryWatch {
  /** Bytes to leave free behind each array. */
  readonly spare: number;
  /** Called with the arrays that have been laid out, and with the memory that they lie in. */
  laidOut(arrays: readonly KernelArray[], memory: ArrayBuffer): void;
  /** Called after each kernel. */
  ran(kernel: string, given: Given): void;
}

let watch: MemoryWatch | undefined;

/** Has the memory looked after from now on, in tests: a kernel that writes past an array harms what lies behind it. */
export function watchMemory(by: MemoryWatch): void {
  watch = by;
}

/**
 * Lays out arrays in the kernels' memory. They hold what was left there, and are good until this is called again.
 */
export function kernelArrays<const A extends readonly KernelArray[]>(
  ...wanted: { readonly [K in keyof A]: readonly [ArrayKind<A[K]>, number] }
): A {
  const { memory } = instance();
  const spare = watch?.spare ?? 0;
  let end = PAGE;
  const starts = wanted.map(([kind, length]) => {
    const start = end;
    end = Math.ceil((start + length * kind.BYTES_PER_ELEMENT + spare) / ALIGNED) * ALIGNED;
    return start;
  });
  const missing = end - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
  const arrays = wanted.map(([kind, length], k) => new kind(memory.buffer, starts[k], length));
  watch?.laidOut(arrays, memory.buffer);
  return arrays as unknown as A;
}

/**
 * Runs a kernel: what `generated.ts` does, with the types that the kernel has.
 *
 * @param given by name, in the kernel's order: numbers, and arrays that `kernelArrays` laid out
 * @throws Error for an array from elsewhere, or from before the memory grew
 */
export function call(kernel: string, given: Given): number {
  const { kernels, memory } = instance();
  const { buffer } = memory;
  const words: number[] = [];
  for (const name of Object.keys(given)) {
    const value = given[name];
    if (typeof value !== 'number' && value.buffer !== buffer)
      throw new Error(`The array ${name} for ${kernel} lies outside the kernels' memory`);
    words.push(typeof value === 'number' ? value : value.byteOffset);
  }
  const result = (kernels[kernel] as Kernel)(...words);
  watch?.ran(kernel, given);
  return result;
}
