/** A pinhole camera over a table, for pictures whose true shapes are known: rays are cast, by no formula of ours. */

import type { SheetCorners } from '../../src/settings/sheet-aspect.js';

/** How a sheet of height 1 is photographed; angles in degrees, the lens in longer sides of the picture. */
export interface Shot {
  readonly aspect: number;
  readonly lens: number;
  readonly pitch: number;
  readonly yaw: number;
  readonly roll: number;
}

/** Px. */
export const PICTURE = { width: 640, height: 480 };

type Vector = readonly [number, number, number];

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Where the sheet lies before the camera: its middle on the axis, as near as the picture has room for it. */
export function camera({ aspect, lens, pitch, yaw, roll }: Shot) {
  const { width, height } = PICTURE;
  const [p, y, r] = [pitch, yaw, roll].map((degrees) => (degrees / 180) * Math.PI);
  const turned = ([x0, y0, z0]: Vector): Vector => {
    const [x1, y1] = [x0 * Math.cos(r) - y0 * Math.sin(r), x0 * Math.sin(r) + y0 * Math.cos(r)];
    const [y2, z2] = [y1 * Math.cos(p) - z0 * Math.sin(p), y1 * Math.sin(p) + z0 * Math.cos(p)];
    return [x1 * Math.cos(y) + z2 * Math.sin(y), y2, z2 * Math.cos(y) - x1 * Math.sin(y)];
  };
  const [right, down] = [turned([1, 0, 0]), turned([0, 1, 0])];
  const px = lens * Math.max(width, height);
  const onPicture = (u: number, v: number, away: number): readonly [number, number] => {
    const [x, y, z] = [0, 1, 2].map((i) => u * right[i] + v * down[i]);
    return [width / 2 + (px * x) / (z + away), height / 2 + (px * y) / (z + away)];
  };
  const halves = [[-1, -1], [1, -1], [1, 1], [-1, 1]] as const; // prettier-ignore
  const cornersAt = (away: number) =>
    halves.map(([i, j]) => onPicture((i * aspect) / 2, j / 2, away));
  /** The picture's middle 85 hundredths hold the sheet. */
  const fits = (away: number): boolean =>
    cornersAt(away).every(
      ([x, y]) => Math.abs(x / width - 0.5) < 0.425 && Math.abs(y / height - 0.5) < 0.425,
    );
  let away = 0.9;
  while (!fits(away)) away *= 1.02;
  /** The place on the sheet's plane, from its middle, that a pixel of the picture shows. */
  const onSheet = (x: number, y: number): readonly [u: number, v: number] => {
    const ray: Vector = [x - width / 2, y - height / 2, px];
    const normal: Vector = [
      right[1] * down[2] - right[2] * down[1],
      right[2] * down[0] - right[0] * down[2],
      right[0] * down[1] - right[1] * down[0],
    ];
    const along = (away * normal[2]) / dot(ray, normal);
    const hit: Vector = [along * ray[0], along * ray[1], along * ray[2] - away];
    return [dot(hit, right), dot(hit, down)];
  };
  return { corners: cornersAt(away) as unknown as SheetCorners, onSheet };
}

/** A light sheet on a dark table, with a ring in its middle, in greys. */
export function photographOfRing(shot: Shot): Uint8Array {
  const { width, height } = PICTURE;
  const { onSheet } = camera(shot);
  const grey = new Uint8Array(width * height);
  const radius = 0.3 * Math.min(1, shot.aspect);
  for (let j = 0, i = 0; j < height; j++)
    for (let k = 0; k < width; k++, i++) {
      const [u, v] = onSheet(k + 0.5, j + 0.5);
      const isOn = Math.abs(u) < shot.aspect / 2 && Math.abs(v) < 0.5;
      const isRing = Math.abs(Math.hypot(u, v) - radius) < 0.05 * radius;
      grey[i] = !isOn ? 60 : isRing ? 20 : 225;
    }
  return grey;
}
