import { kernelArrays, runKernel } from '../kernels/kernels.js';
import type { Bitmap } from '../raster/raster.js';
import type { Corner } from './corners.js';
import type { ArcLengthSamples } from './arc-length-samples.js';

/** How far the outline may move at each station, in mm: into the film, and into the opening. */
export interface Clearance {
  readonly film: Float64Array;
  readonly opening: Float64Array;
}

/** What an outline has about it. */
export interface Surroundings {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  /** The least widths, in mm. */
  readonly narrowestStrip: number;
  readonly narrowestOpening: number;
  /** The box round all openings, in mm: none may reach beyond it, for the margin may begin there. */
  readonly frame: Frame;
}

export interface Frame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The box round all openings of a bitmap, in mm. */
export function frameOf({ width, height, data }: Bitmap, pixelsPerMm: number): Frame {
  let left = width;
  let right = 0;
  let top = height;
  let bottom = 0;
  for (let y = 0; y < height; y++) {
    const row = data.subarray(y * width, (y + 1) * width);
    const first = row.indexOf(1);
    if (first < 0) continue;
    top = Math.min(top, y);
    bottom = y + 1;
    left = Math.min(left, first);
    right = Math.max(right, row.lastIndexOf(1) + 1);
  }
  return {
    left: left / pixelsPerMm,
    top: top / pixelsPerMm,
    right: right / pixelsPerMm,
    bottom: bottom / pixelsPerMm,
  };
}

/**
 * A curve cannot follow a line to the last digit, in mm: so far an outline may come over the margin, less than half of
 * what the check lets pass.
 */
const FRAME_SLACK_MM = 0.02;

/**
 * Measures the room of outlines: across from every station half of what film and opening are wider than their limits,
 * the other half being the opposite outline's to take. See the kernel `measureRoom`.
 *
 * @param mostMm the most that an outline may move where all is wide
 * @returns the room of each; 0 on both sides at corners
 */
export function measureClearances(
  outlines: readonly ArcLengthSamples[],
  about: Surroundings,
  mostMm: number,
): Clearance[] {
  const { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, frame } = about;
  const longest = Math.max(0, ...outlines.map(({ x }) => x.length));
  const reals = [Float64Array, longest] as const;
  const [data, x, y, normalX, normalY, film, opening, corner] = kernelArrays(
    [Uint8Array, bitmap.data.length],
    reals,
    reals,
    reals,
    reals,
    reals,
    reals,
    [Uint8Array, longest],
  );
  data.set(bitmap.data);
  return outlines.map((stations) => {
    const n = stations.x.length;
    x.set(stations.x);
    y.set(stations.y);
    normalX.set(stations.normalX);
    normalY.set(stations.normalY);
    corner.set(stations.corner);
    runKernel(
      'measureRoom',
      data,
      bitmap.width,
      bitmap.height,
      pixelsPerMm,
      narrowestStrip,
      narrowestOpening,
      mostMm,
      FRAME_SLACK_MM,
      frame.left,
      frame.top,
      frame.right,
      frame.bottom,
      n,
      x,
      y,
      normalX,
      normalY,
      corner,
      film,
      opening,
    );
    return { film: film.slice(0, n), opening: opening.slice(0, n) };
  });
}

/** A corner at its place, or at the edge of the frame when it lies beyond. */
function keptInFrame(corner: Corner, { left, top, right, bottom }: Frame): Corner {
  const within = (value: number, least: number, most: number): number =>
    Math.min(most + FRAME_SLACK_MM, Math.max(least - FRAME_SLACK_MM, value));
  return { ...corner, x: within(corner.x, left, right), y: within(corner.y, top, bottom) };
}

/** A corner this near the traced outline, in mm (half a pixel of the raster), takes nothing from either side. */
const NEAR_MM = 0.05;
/**
 * Directions in which a corner's room is looked at, in radians round the one that it points in: as far to the sides as
 * its own sides allow.
 */
const FAN = [-1.4, -1, -0.5, 0, 0.5, 1, 1.4]; // radians

/** Of each outline the corners that may be drawn sharp: what lies beyond, film or opening, stays as wide as its limit. */
export function cornersWithClearance(
  outlines: readonly (readonly Corner[])[],
  { bitmap, pixelsPerMm, narrowestStrip, narrowestOpening, frame }: Surroundings,
): Corner[][] {
  const [data] = kernelArrays([Uint8Array, bitmap.data.length]);
  data.set(bitmap.data);
  const hasRoom = ({ x, y, offMm, way, left }: Corner): boolean => {
    if (offMm <= NEAR_MM) return true;
    const limit = left ? narrowestStrip : narrowestOpening; // film lies to the left
    const most = limit * pixelsPerMm + 1;
    return FAN.every((turn) => {
      const [px, py] = [x * pixelsPerMm, y * pixelsPerMm];
      const [dx, dy] = [Math.cos(way + turn), Math.sin(way + turn)];
      const ray = [Number(left), px, py, dx, dy, 3, most];
      return runKernel('stepsUntil', data, bitmap.width, bitmap.height, ...ray) === Infinity;
    });
  };
  return outlines.map((corners) =>
    corners.filter(hasRoom).map((corner) => keptInFrame(corner, frame)),
  );
}
