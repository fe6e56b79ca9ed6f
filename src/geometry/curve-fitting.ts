import * as kernels from '../kernels/generated.js';
import { kernelArrays } from '../kernels/memory.js';
import type { SmoothedChain } from './curvature-smoothing.js';
import type { Clearance } from './clearance.js';
import type { ArcLengthSamples } from './arc-length-samples.js';

/** The curves chosen for a stretch. */
export interface FittedCurves {
  /** Six numbers a curve, as in an outline. */
  readonly coords: number[];
  readonly straight: number[];
  /** 1 where a curve starts at a corner. */
  readonly corner: number[];
  /** The point of the stretch at which each curve starts. */
  readonly starts: number[];
  /** The largest distance of a traced point from the curves, in mm. */
  readonly offMm: number;
}

/** The best way found to each joint: where its last curve comes from, and that curve. */
interface Ways {
  readonly joints: Int32Array;
  readonly from: Int32Array;
  /** Eight numbers a joint. */
  readonly cubics: Float64Array;
  /** 0 a curve, 1 a line, 2 a broken one. */
  readonly kind: Uint8Array;
  readonly offMm: Float64Array;
}

/**
 * What chooses the fewest curves that follow a stretch of a bent outline within its room and bend no tighter than
 * `tightestMm`; see `src/kernels/assembly/curves.ts`. It is good until kernel arrays are laid out anew.
 *
 * @returns the choice from sample `start` to `end` (which may run past the last: they go round); `corners`: whether
 *   the ends are corners
 */
export function curveFitter(
  samples: ArcLengthSamples,
  clearance: Clearance,
  bent: SmoothedChain,
  tightestMm: number,
): (start: number, end: number, corners: boolean) => FittedCurves {
  const n = bent.x.length;
  const most = kernels.mostPoints(n);
  const [values, joints, cost, from, cubics, kind, offMm, rows] = kernelArrays(
    [Float64Array, kernels.SAMPLE_VALUES * n],
    [Int32Array, most],
    [Float64Array, most],
    [Int32Array, most],
    [Float64Array, 8 * most],
    [Uint8Array, most],
    [Float64Array, most],
    [Float64Array, kernels.CURVE_ROWS * most],
  );
  const { x, y, normalX, normalY } = samples;
  const given = [bent.x, bent.y, x, y, normalX, normalY, clearance.film, clearance.opening];
  given.forEach((row, k) => values.set(row, k * n));
  return (start, end, corners) => {
    const found = kernels.chooseCurves(
      n,
      values,
      start,
      end - start,
      Number(corners),
      tightestMm,
      joints,
      cost,
      from,
      cubics,
      kind,
      offMm,
      rows,
    );
    return collect(found - 1, { joints, from, cubics, kind, offMm }, corners);
  };
}

function collect(
  last: number,
  { joints, from, cubics, kind, offMm }: Ways,
  corners: boolean,
): FittedCurves {
  const way: number[] = [];
  for (let l = last; l > 0; l = from[l]) way.push(l);
  way.reverse();
  const isCorner = (l: number, i: number): boolean =>
    kind[l] === kernels.BROKEN || kind[way.at(i - 1)!] === kernels.BROKEN || (corners && i === 0);
  return {
    coords: way.flatMap((l) => [...cubics.subarray(8 * l, 8 * l + 6)]),
    straight: way.map((l) => Number(kind[l] > 0)),
    corner: way.map((l, i) => Number(isCorner(l, i))),
    starts: way.map((l) => joints[from[l]]),
    offMm: way.reduce((most, l) => Math.max(most, offMm[l]), 0),
  };
}
