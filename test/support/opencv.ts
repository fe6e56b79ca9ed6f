import { createRequire } from 'node:module';
import type { Bitmap, Gray } from '../../src/raster/raster.js';

/*
 * OpenCV, a computer-vision library, compiled to WebAssembly (npm: @techstark/opencv-js). Nothing in `src` uses it:
 * what it says of a bitmap is said by another hand.
 */

interface Mat {
  convertTo(to: Mat, type: number): void;
  readonly data: Uint8Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
  delete(): void;
}

interface OpenCv {
  readonly Mat: (new () => Mat) & (new (rows: number, columns: number, type: number) => Mat);
  readonly MatVector: new () => { delete(): void };
  readonly CV_8UC1: number;
  readonly CV_32S: number;
  readonly CV_64F: number;
  readonly INTER_LINEAR: number;
  readonly BORDER_CONSTANT: number;
  readonly Scalar: new () => object;
  matFromArray(rows: number, columns: number, type: number, values: readonly number[]): Mat;
  warpAffine(
    from: Mat,
    to: Mat,
    matrix: Mat,
    size: object,
    how: number,
    border: number,
    value: object,
  ): void;
  readonly DIST_L2: number;
  readonly DIST_MASK_PRECISE: number;
  readonly RETR_CCOMP: number;
  readonly CHAIN_APPROX_SIMPLE: number;
  distanceTransform(from: Mat, to: Mat, kind: number, mask: number): void;
  readonly THRESH_BINARY: number;
  threshold(from: Mat, to: Mat, above: number, value: number, kind: number): void;
  readonly CV_8U: number;
  connectedComponents(from: Mat, labels: Mat, connectivity: number, type: number): number;
  connectedComponentsWithStats(
    from: Mat,
    labels: Mat,
    stats: Mat,
    centroids: Mat,
    connectivity: number,
    type: number,
  ): number;
  findContours(from: Mat, contours: object, tree: Mat, mode: number, method: number): void;
  bilateralFilter(from: Mat, to: Mat, across: number, alike: number, sigma: number): void;
  readonly CascadeClassifier: new () => Cascade;
  readonly RectVector: new () => Rects;
  readonly Size: new (width: number, height: number) => object;
  FS_createDataFile(
    folder: string,
    name: string,
    data: Uint8Array,
    canRead: boolean,
    canWrite: boolean,
    canOwn: boolean,
  ): void;
}

interface Cascade {
  load(name: string): boolean;
  detectMultiScale(
    from: Mat,
    found: Rects,
    scaleStep: number,
    neighbours: number,
    flags: number,
    least: object,
  ): void;
}

interface Rects {
  size(): number;
  get(place: number): {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
  delete(): void;
}

const require = createRequire(import.meta.url);
const before = faultListeners();
const library = require('@techstark/opencv-js') as Partial<OpenCv> & {
  onRuntimeInitialized?: () => void;
};
// It means to end the process on any error, ours too, and to print all of itself: such errors are the test runner's.
for (const [event, listener] of faultListeners()) {
  if (!before.some(([, known]) => known === listener)) process.off(event, listener);
}
if (!library.Mat) {
  // The library itself must not be awaited: its `then` gives the library again, without end.
  await new Promise<void>((resolve) => {
    library.onRuntimeInitialized = resolve;
  });
}
const cv = library as OpenCv;

type Listener = (...args: unknown[]) => void;

function faultListeners(): (readonly [string, Listener])[] {
  const emitter: NodeJS.EventEmitter = process;
  return ['uncaughtException', 'unhandledRejection'].flatMap((event) =>
    emitter.listeners(event).map((listener) => [event, listener as Listener] as const),
  );
}

/** Hands a bitmap and empty matrices to OpenCV, and frees them afterwards. */
function withMats<T>({ width, height, data }: Bitmap, work: (from: Mat, to: Mat[]) => T): T {
  const from = new cv.Mat(height, width, cv.CV_8UC1);
  from.data.set(data);
  const to = [new cv.Mat(), new cv.Mat(), new cv.Mat()];
  try {
    return work(from, to);
  } finally {
    for (const mat of [from, ...to]) mat.delete();
  }
}

/** `distanceTransform` with the exact mask: in px, from each pixel that is 1 to the nearest that is 0. */
export function distancesToZero(bitmap: Bitmap): Float32Array {
  return withMats(bitmap, (from, [to]) => {
    cv.distanceTransform(from, to, cv.DIST_L2, cv.DIST_MASK_PRECISE);
    return to.data32F.slice();
  });
}

/**
 * `warpAffine`: a bitmap's image by x' = a x + c y + e, y' = b x + d y + f, in px from the corner of the first pixel;
 * what is half covered or more is 1, what comes from beyond the bitmap is 0.
 */
export function warped(
  bitmap: Bitmap,
  [a, b, c, d, e, f]: readonly [number, number, number, number, number, number],
): Bitmap {
  const { width, height, data } = bitmap;
  // The library counts from the middle of the first pixel.
  const x = e + 0.5 * (a + c - 1);
  const y = f + 0.5 * (b + d - 1);
  const matrix = cv.matFromArray(2, 3, cv.CV_64F, [a, c, x, b, d, y]);
  try {
    return withMats({ width, height, data: data.map((value) => 255 * value) }, (from, [to]) => {
      const size = new cv.Size(width, height);
      cv.warpAffine(from, to, matrix, size, cv.INTER_LINEAR, cv.BORDER_CONSTANT, new cv.Scalar());
      // Each look at `data` is a call into the library.
      return { width, height, data: to.data.map((value) => (value >= 128 ? 1 : 0)) };
    });
  } finally {
    matrix.delete();
  }
}

/** `bilateralFilter` of a grey picture, in a window that reaches to 2 σ. */
export function bilateralOf(gray: Gray, sigma: number, alike: number): Uint8Array {
  return withMats(gray, (from, [to]) => {
    cv.bilateralFilter(from, to, 2 * Math.ceil(2 * sigma) + 1, alike, sigma);
    return to.data.slice();
  });
}

/**
 * Finds faces by a cascade of classic features (Viola & Jones 2001), as this library's own examples call it: steps of 1.1
 * and 3 neighbours.
 *
 * @param trained the file of a trained cascade
 * @param least the smallest face, in px
 */
export function cascadeOf(trained: Uint8Array, least: number): (gray: Gray) => Rect[] {
  cv.FS_createDataFile('/', 'cascade.xml', trained, true, false, false);
  const cascade = new cv.CascadeClassifier();
  if (!cascade.load('cascade.xml')) throw new Error('The cascade does not load');
  return (gray) =>
    withMats(gray, (from) => {
      const found = new cv.RectVector();
      cascade.detectMultiScale(from, found, 1.1, 3, 0, new cv.Size(least, least));
      const rects = Array.from({ length: found.size() }, (_, k) => ({ ...found.get(k) }));
      found.delete();
      return rects;
    });
}

type Rect = ReturnType<Rects['get']>;

/** The connected regions of the pixels that are 1. */
export interface Components {
  readonly count: number;
  /** By pixel: 0 where the bitmap is 0, else 1 to `count`. */
  readonly labels: Int32Array;
  /** By label, in px; that of label 0 is left out of the count and stands as 0. */
  readonly areas: Int32Array;
}

/** The columns of a row of `connectedComponentsWithStats`: left, top, width, height, area. */
const STATS = 5;
const AREA = 4;

/** `connectedComponentsWithStats`. */
export function components(bitmap: Bitmap, connectivity: 4 | 8): Components {
  return withMats(bitmap, (from, [labels, stats, centroids]) => {
    const all = cv.connectedComponentsWithStats(
      from,
      labels,
      stats,
      centroids,
      connectivity,
      cv.CV_32S,
    );
    const rows = stats.data32S;
    const areas = Int32Array.from({ length: all }, (_, label) =>
      label === 0 ? 0 : rows[STATS * label + AREA],
    );
    return { count: all - 1, labels: labels.data32S.slice(), areas };
  });
}

/** How many regions a bitmap's pixels that are 1 are, as they are and when a rim is taken off them all round. */
export interface PiecesOf {
  readonly whole: number;
  /** Of the pixels further than a radius from the nearest 0, by corners too. */
  readonly cores: number;
}

/**
 * `connectedComponents`, `distanceTransform` with the exact mask and `threshold`, with nothing read back but the counts:
 * a tenth of the time that labels and areas take.
 */
export function piecesOf(bitmap: Bitmap, connectivity: 4 | 8, radius: number): PiecesOf {
  return withMats(bitmap, (from, [labels, away, core]) => {
    const whole = cv.connectedComponents(from, labels, connectivity, cv.CV_32S) - 1;
    cv.distanceTransform(from, away, cv.DIST_L2, cv.DIST_MASK_PRECISE);
    cv.threshold(away, away, radius, 1, cv.THRESH_BINARY);
    away.convertTo(core, cv.CV_8U);
    return { whole, cores: cv.connectedComponents(core, labels, 8, cv.CV_32S) - 1 };
  });
}

/** The columns of a row of the contour tree: next, previous, first child, parent; -1 for none. */
const TREE = 4;
const PARENT = 3;

/** The holes in the contour tree of `findContours` with two levels: contours that have a parent. */
export function holes(bitmap: Bitmap): number {
  const contours = new cv.MatVector();
  try {
    return withMats(bitmap, (from, [tree]) => {
      cv.findContours(from, contours, tree, cv.RETR_CCOMP, cv.CHAIN_APPROX_SIMPLE);
      return tree.data32S.filter((parent, i) => i % TREE === PARENT && parent >= 0).length;
    });
  } finally {
    contours.delete();
  }
}

/** The bitmap with 0 and 1 swapped. */
export function inverse({ width, height, data }: Bitmap): Bitmap {
  const swapped = new Uint8Array(data.length);
  for (let i = 0; i < data.length; i++) swapped[i] = 1 - data[i];
  return { width, height, data: swapped };
}
