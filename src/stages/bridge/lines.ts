import { kernelArrays, layoutsSoFar, runKernel } from '../../kernels/kernels.js';
import type { ErodedFilm } from './eroded-film.js';

/** A straight line on the film, in px. */
export interface LineSegment {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** The film whose pixels lie in the kernels' memory, until something else is laid out there. */
let inPlace: { readonly pixels: Uint8Array; readonly layout: number } | undefined;

/**
 * Lays out lines for a kernel that looks at the film along them, and room for `each` numbers a line that it tells. They
 * are good until arrays are laid out again.
 */
export function linesOn(
  { bitmap: { width, height, data }, importance }: ErodedFilm,
  lines: readonly LineSegment[],
  each: number,
): readonly [lines: Float64Array, told: Float64Array] {
  const isInPlace = inPlace?.pixels === data && inPlace.layout === layoutsSoFar();
  const [pixels, grid, numbers, told] = kernelArrays(
    [Uint8Array, data.length],
    [Float32Array, importance?.data.length ?? 0],
    [Float64Array, 4 * lines.length],
    [Float64Array, each * lines.length],
  );
  // The same film is looked at many times in a row; no kernel that looks at lines writes to it.
  if (!isInPlace) pixels.set(data);
  inPlace = { pixels: data, layout: layoutsSoFar() };
  lines.forEach(({ x0, y0, x1, y1 }, k) => numbers.set([x0, y0, x1, y1], 4 * k));
  if (importance) {
    const { frame, cell } = importance;
    grid.set(importance.data);
    const place = [importance.width, importance.height, frame.x, frame.y, cell] as const;
    runKernel('setFilm', pixels, width, height, grid, ...place);
  } else {
    runKernel('setFilm', pixels, width, height, grid, 0, 0, 0, 0, 0);
  }
  return [numbers, told];
}
