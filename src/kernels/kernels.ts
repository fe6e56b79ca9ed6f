import { code } from './code.js';

/** What a kernel works on. */
type KernelArray = Uint8Array | Uint16Array | Int32Array | Float32Array | Float64Array;

interface ArrayKind<A extends KernelArray> {
  readonly BYTES_PER_ELEMENT: number;
  new (buffer: ArrayBuffer, byteOffset: number, length: number): A;
}

type KernelName =
  | 'addOutline'
  | 'beginIroning'
  | 'blockMeansOfBytes'
  | 'blockMeansOfReals'
  | 'blurAlong'
  | 'addShare'
  | 'blurBySamples'
  | 'blurRecursively'
  | 'calmBy'
  | 'chooseCurves'
  | 'compareSlopes'
  | 'connectLines'
  | 'countDifferent'
  | 'countSet'
  | 'countWhole'
  | 'differ'
  | 'drawLevels'
  | 'factorRing'
  | 'fillRows'
  | 'findRidges'
  | 'findRuns'
  | 'fitCubic'
  | 'flipInside'
  | 'growImportance'
  | 'iron'
  | 'listRegion'
  | 'makeFiner'
  | 'markBeyond'
  | 'markFrom'
  | 'markOutline'
  | 'markUnder'
  | 'markUnfounded'
  | 'matchOutline'
  | 'measureGiven'
  | 'measureRoom'
  | 'measureTies'
  | 'mixParts'
  | 'multiply'
  | 'numberRegions'
  | 'openAlong'
  | 'packRows'
  | 'setFilm'
  | 'smoothAlike'
  | 'soften'
  | 'solveRing'
  | 'squaredDistance'
  | 'standOut'
  | 'stepsUntil'
  | 'stretch'
  | 'subtract'
  | 'sumOf'
  | 'sumUpCells'
  | 'takeEdgePoints'
  | 'takeLarger'
  | 'takeOffCorners'
  | 'tellThick'
  | 'thin'
  | 'turnSigns'
  | 'weighMatch'
  | 'weighRidges';

type Kernels = Readonly<Record<KernelName, (...given: readonly number[]) => number>> & {
  readonly memory: WebAssembly.Memory;
};

const { exports } = new WebAssembly.Instance(new WebAssembly.Module(Buffer.from(code, 'base64')), {
  math: { sin: Math.sin, cos: Math.cos, atan2: Math.atan2, pow: Math.pow },
});
const kernels = exports as unknown as Kernels;

/** Below this lie the kernels' own tables; also what memory grows by. */
const PAGE = 65536;
const ALIGNED = 16;

/** How often arrays have been laid out: what was laid out last is still there for as long as this stays the same. */
let layouts = 0;

export function layoutsSoFar(): number {
  return layouts;
}

/**
 * Lays out arrays in the kernels' memory. They hold what was left there, and are good until this is called again.
 */
export function kernelArrays<const A extends readonly KernelArray[]>(
  ...wanted: { readonly [K in keyof A]: readonly [ArrayKind<A[K]>, number] }
): A {
  layouts++;
  let end = PAGE;
  const starts = wanted.map(([kind, length]) => {
    const start = end;
    end = Math.ceil((start + length * kind.BYTES_PER_ELEMENT) / ALIGNED) * ALIGNED;
    return start;
  });
  const { memory } = kernels;
  const missing = end - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
  return wanted.map(
    ([kind, length], k) => new kind(memory.buffer, starts[k], length),
  ) as unknown as A;
}

/**
 * Runs a loop over pixels that was compiled ahead (`assembly/`): it is fast from its first pass on.
 *
 * @param given numbers, and arrays that `kernelArrays` laid out
 */
export function runKernel(name: KernelName, ...given: readonly (number | KernelArray)[]): number {
  const { buffer } = kernels.memory;
  const words = given.map((one) => {
    if (typeof one === 'number') return one;
    if (one.buffer !== buffer) throw new Error(`An array for ${name} lies outside its memory`);
    return one.byteOffset;
  });
  return kernels[name](...words);
}
