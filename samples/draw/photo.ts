import sharp from 'sharp';
import { chance, noise } from './noise.js';
import { clamp } from './solid.js';

export type Rgb = readonly [number, number, number];

export const mixed = (a: Rgb, b: Rgb, t: number): Rgb => [
  a[0] + (b[0] - a[0]) * t,
  a[1] + (b[1] - a[1]) * t,
  a[2] + (b[2] - a[2]) * t,
];

/** What light meets at a place. Colours are linear, 0 to 1. */
export interface Surface {
  readonly color: Rgb;
  /** strength and narrowness of the highlight */
  readonly gloss: number;
  readonly shine: number;
  /** how far light creeps round into the shade, as it does in skin; 0 to 1 */
  readonly creep: number;
  /** a finer relief that shows in the shading only: height in scene units at places near this one */
  readonly relief?: (x: number, y: number, z: number) => number;
}

/** Something to photograph: the eye stands on the z axis and looks along -z; y is up. */
export interface Scene {
  readonly distance: (x: number, y: number, z: number) => number;
  readonly surface: (x: number, y: number, z: number) => Surface;
  /** what is behind, out of focus; u from -1 to 1 across, v alike down and up */
  readonly backdrop: (u: number, v: number) => Rgb;
  /** distance of the eye from the origin, half the picture's height in scene units at the origin, height it aims at */
  readonly eye: number;
  readonly reach: number;
  readonly aim: number;
  readonly near: number;
  readonly far: number;
  /** towards the light */
  readonly light: Rgb;
  readonly lightColor: Rgb;
  readonly sky: Rgb;
  readonly ground: Rgb;
  /** from behind, on the other side */
  readonly rim: Rgb;
  readonly rimColor: Rgb;
}

interface Film {
  readonly width: number;
  readonly height: number;
  /** pixels that are computed for each pixel of the picture along a side; below 1 the picture is enlarged */
  readonly scale: number;
  readonly quality: number;
  readonly seed: number;
}

function unit([x, y, z]: Rgb): Rgb {
  const length = Math.hypot(x, y, z);
  return [x / length, y / length, z / length];
}

function march(scene: Scene, dx: number, dy: number, dz: number): number {
  const oy = scene.aim;
  let t = scene.near;
  for (let i = 0; i < 110 && t < scene.far; i++) {
    const d = scene.distance(dx * t, oy + dy * t, scene.eye + dz * t);
    if (d < 0.0012) return t;
    t += d * 0.72;
  }
  return t < scene.far ? t : -1;
}

function shadow(scene: Scene, x: number, y: number, z: number, [lx, ly, lz]: Rgb): number {
  let open = 1;
  let t = 0.03;
  for (let i = 0; i < 26 && t < 3; i++) {
    const d = scene.distance(x + lx * t, y + ly * t, z + lz * t);
    open = Math.min(open, 0.5 + (5 * d) / t);
    if (open <= 0) return 0;
    t += clamp(d * 0.8, 0.025, 0.3);
  }
  return open * open * (3 - 2 * open);
}

/** How much of the open sky a place sees, after Evans 2006 (a few steps out along the normal). */
function openness(scene: Scene, x: number, y: number, z: number, n: Rgb): number {
  let [closed, weight] = [0, 1];
  for (let i = 1; i <= 5; i++) {
    const h = 0.035 * i * i * 0.6;
    closed += weight * Math.max(0, h - scene.distance(x + n[0] * h, y + n[1] * h, z + n[2] * h));
    weight *= 0.72;
  }
  return clamp(1 - 1.35 * closed);
}

function normal(scene: Scene, x: number, y: number, z: number, relief: Surface['relief']): Rgb {
  const e = 0.004;
  const at = (a: number, b: number, c: number): number =>
    scene.distance(a, b, c) - (relief ? relief(a, b, c) : 0);
  const a = at(x + e, y - e, z - e);
  const b = at(x - e, y - e, z + e);
  const c = at(x - e, y + e, z - e);
  const d = at(x + e, y + e, z + e);
  return unit([a - b - c + d, -a - b + c + d, -a + b - c + d]);
}

function shade(
  scene: Scene,
  x: number,
  y: number,
  z: number,
  view: Rgb,
  light: Rgb,
  rim: Rgb,
): Rgb {
  const { color, gloss, shine, creep, relief } = scene.surface(x, y, z);
  const n = normal(scene, x, y, z, relief);
  const open = openness(scene, x, y, z, n);
  const [sx, sy, sz] = [x + n[0] * 0.012, y + n[1] * 0.012, z + n[2] * 0.012];
  const facing = n[0] * light[0] + n[1] * light[1] + n[2] * light[2];
  const seen = facing > -0.35 ? shadow(scene, sx, sy, sz, light) : 0;
  const half = unit([light[0] - view[0], light[1] - view[1], light[2] - view[2]]);
  const glint =
    gloss *
    clamp(n[0] * half[0] + n[1] * half[1] + n[2] * half[2]) ** shine *
    seen *
    (facing > 0 ? 1 : 0);
  const up = 0.5 + 0.5 * n[1];
  const away = clamp(1 + n[0] * view[0] + n[1] * view[1] + n[2] * view[2]);
  const edge =
    clamp(n[0] * rim[0] + n[1] * rim[1] + n[2] * rim[2]) * (0.25 + 0.75 * away * away) * open;
  const channel = (k: 0 | 1 | 2): number => {
    // red light creeps farthest in skin
    const wrap = creep * [0.34, 0.2, 0.14][k];
    const key = clamp((facing + wrap) / (1 + wrap)) * (seen * (1 - wrap * 0.4) + wrap * 0.4);
    const fill =
      (scene.ground[k] + (scene.sky[k] - scene.ground[k]) * up) *
      open ** (1 - creep * [0.24, 0.1, 0][k]);
    return (
      color[k] * (key * scene.lightColor[k] + fill + edge * scene.rimColor[k]) +
      glint * scene.lightColor[k]
    );
  };
  return [channel(0), channel(1), channel(2)];
}

/** Film's answer to light: a soft shoulder, then the sRGB curve (IEC 61966-2-1). */
function develop(value: number): number {
  const v = (value * (1 + value * 0.11)) / (1 + value * 0.72);
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}

/** Photographs a scene: sphere tracing, one soft light, open shade, grain. */
export async function photograph(scene: Scene, film: Film): Promise<Uint8Array> {
  const width = Math.round(film.width * film.scale);
  const height = Math.round(film.height * film.scale);
  const light = unit(scene.light);
  const rim = unit(scene.rim);
  const expose = (px: number, py: number): Rgb => {
    const v = 1 - (2 * py) / height;
    const u = ((2 * px) / width - 1) * (width / height);
    const view = unit([u * scene.reach, v * scene.reach, -scene.eye]);
    const t = march(scene, view[0], view[1], view[2]);
    const [r, g, b] =
      t < 0
        ? scene.backdrop(u, v)
        : shade(
            scene,
            view[0] * t,
            scene.aim + view[1] * t,
            scene.eye + view[2] * t,
            view,
            light,
            rim,
          );
    const fall = 1 - 0.16 * (u * u + v * v);
    return [develop(r * fall), develop(g * fall), develop(b * fall)];
  };
  const once = new Float32Array(width * height * 3);
  for (let at = 0, j = 0; j < height; j++)
    for (let i = 0; i < width; i++, at += 3) once.set(expose(i + 0.5, j + 0.5), at);
  const random = chance(film.seed);
  const pixels = new Uint8Array(once.length);
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const at = 3 * (j * width + i);
      const [r, g, b] = isEdge(once, width, height, i, j)
        ? mean(OFFSETS.map(([dx, dy]) => expose(i + dx, j + dy)))
        : [once[at], once[at + 1], once[at + 2]];
      // half a level of chance keeps smooth places from banding
      pixels[at] = clamp(r * 255 + random() - 0.5, 0, 255);
      pixels[at + 1] = clamp(g * 255 + random() - 0.5, 0, 255);
      pixels[at + 2] = clamp(b * 255 + random() - 0.5, 0, 255);
    }
  }
  return print(pixels, width, height, film);
}

/** Where edges are looked at again inside their pixel. */
const OFFSETS: readonly (readonly [number, number])[] = [
  [0.12, 0.38],
  [0.62, 0.12],
  [0.88, 0.62],
  [0.38, 0.88],
];

const mean = (colors: readonly Rgb[]): Rgb => {
  const channel = (k: 0 | 1 | 2): number =>
    colors.reduce((sum, c) => sum + c[k], 0) / colors.length;
  return [channel(0), channel(1), channel(2)];
};

function isEdge(image: Float32Array, width: number, height: number, i: number, j: number): boolean {
  const here = image[3 * (j * width + i) + 1];
  for (const [di, dj] of [
    [1, 0],
    [-1, 0],
    [0, 1],
    [0, -1],
  ]) {
    const [x, y] = [clamp(i + di, 0, width - 1), clamp(j + dj, 0, height - 1)];
    if (Math.abs(image[3 * (y * width + x) + 1] - here) > 0.06) return true;
  }
  return false;
}

async function print(
  pixels: Uint8Array,
  width: number,
  height: number,
  film: Film,
): Promise<Uint8Array> {
  const large = await sharp(pixels, { raw: { width, height, channels: 3 } })
    .resize(film.width, film.height, { kernel: 'cubic', fit: 'fill' })
    .raw()
    .toBuffer();
  const random = chance(film.seed + 1);
  for (let at = 0; at < large.length; at += 3) {
    const p = at / 3;
    const [x, y] = [p % film.width, Math.floor(p / film.width)];
    const mid = large[at + 1] / 255;
    const grain =
      (7 * (noise(x / 1.7, y / 1.7, 2) - 0.5) + 3 * (random() - 0.5)) *
      (0.55 + 1.6 * mid * (1 - mid));
    for (let k = 0; k < 3; k++) large[at + k] = clamp(large[at + k] + grain, 0, 255);
  }
  return sharp(large, { raw: { width: film.width, height: film.height, channels: 3 } })
    .jpeg({ quality: film.quality })
    .toBuffer();
}
