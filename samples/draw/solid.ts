/**
 * Signed distances of simple solids: negative inside, in scene units.
 * The forms are the well-known ones of distance-field modelling (Hart 1996, "Sphere tracing").
 */

export const clamp = (value: number, low = 0, high = 1): number =>
  value < low ? low : value > high ? high : value;

/** 0 below `from`, 1 above `to`, smooth between. */
export function ramp(from: number, to: number, value: number): number {
  const t = clamp((value - from) / (to - from));
  return t * t * (3 - 2 * t);
}

export const bell = (value: number, width: number): number => Math.exp(-((value / width) ** 2));

export const ball = (x: number, y: number, z: number, r: number): number =>
  Math.sqrt(x * x + y * y + z * z) - r;

/** An egg with three half axes; the distance is a close guess, right at the surface. */
export function egg(x: number, y: number, z: number, a: number, b: number, c: number): number {
  const [u, v, w] = [x / a, y / b, z / c];
  const k0 = Math.sqrt(u * u + v * v + w * w);
  const k1 = Math.sqrt((u / a) ** 2 + (v / b) ** 2 + (w / c) ** 2);
  return k1 === 0 ? -Math.min(a, b, c) : (k0 * (k0 - 1)) / k1;
}

export type Point3 = readonly [number, number, number];

/** A rod from `from` (radius r0) to `to` (radius r1) with round ends. */
export function rod(
  x: number,
  y: number,
  z: number,
  from: Point3,
  to: Point3,
  r0: number,
  r1: number,
): number {
  const [dx, dy, dz] = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
  const [px, py, pz] = [x - from[0], y - from[1], z - from[2]];
  const t = clamp((px * dx + py * dy + pz * dz) / (dx * dx + dy * dy + dz * dz));
  return ball(px - dx * t, py - dy * t, pz - dz * t, r0 + (r1 - r0) * t);
}

/** Both, with a seam filled over about `k`. */
export function join(a: number, b: number, k: number): number {
  const h = Math.max(k - Math.abs(a - b), 0) / k;
  return Math.min(a, b) - h * h * k * 0.25;
}

/** `a` without `b`, the edge rounded over about `k`. */
export const carve = (a: number, b: number, k: number): number => -join(-a, b, k);
