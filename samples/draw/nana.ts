import { layeredNoise, noise } from './noise.js';
import { mixed, photograph, type Rgb, type Scene, type Surface } from './photo.js';
import type { Sample } from './sample.js';
import { ball, bell, carve, clamp, egg, join, ramp, rod } from './solid.js';

const TURN = 0.3;
const TILT = -0.06;
const EYE = { x: 0.31, y: 0.05, z: 0.555, r: 0.165 };

/** A place of the world in the head's own axes: the head is turned and tilted a little about the neck. */
function toHead(x: number, y: number, z: number): [number, number, number] {
  const [ct, st] = [Math.cos(TILT), Math.sin(TILT)];
  const [px, py] = [x * ct + (y + 1) * st, -x * st + (y + 1) * ct - 1];
  const [c, s] = [Math.cos(TURN), Math.sin(TURN)];
  return [px * c + z * s, py, -px * s + z * c];
}

/** The line where the lips meet: its height at x. */
const smile = (ax: number): number => -0.572 + 1.0 * ax * ax - 0.007 * bell(ax, 0.06);

/** Below 0 in the almond-shaped opening between the lids, as seen from straight in front. */
function lids(ax: number, y: number): number {
  const [u, v] = [ax - EYE.x, y - EYE.y - (ax - EYE.x) * -0.05];
  const upper = Math.hypot(u, v + 0.132) - 0.204;
  const lower = Math.hypot(u, v - 0.2) - 0.25;
  return Math.max(upper, lower);
}

/** Fine modelling of the face that a solid can't give: lips, folds, creases. Height over the plain face. */
function modelling(ax: number, y: number): number {
  const meet = smile(ax);
  const inMouth = ramp(0.3, 0.2, ax);
  let h = -0.03 * bell(y - meet, 0.016) * ramp(0.33, 0.27, ax);
  h += 0.026 * bell(y - meet - 0.04, 0.032) * inMouth;
  h += 0.026 * bell(y - meet + 0.05, 0.045) * inMouth;
  h -= 0.03 * bell(Math.hypot(ax - 0.315, y - smile(0.31) - 0.005), 0.035);
  h -= 0.02 * bell(ax, 0.028) * ramp(-0.5, -0.44, y) * ramp(-0.36, -0.4, y);
  h -= 0.012 * bell(y + 0.745 - 0.25 * ax * ax, 0.04) * ramp(0.3, 0.1, ax);
  const fold = 0.165 + 0.25 * Math.sqrt(clamp((-0.2 - y) / 0.5));
  const along = ramp(-0.24, -0.32, y) * ramp(-0.74, -0.6, y);
  h += along * (-0.022 * bell(ax - fold, 0.034) + 0.02 * bell(ax - fold - 0.07, 0.06));
  const wing = Math.hypot(ax - 0.1, (y + 0.265) * 1.1);
  h -= 0.016 * bell(wing - 0.115, 0.018) * ramp(0.1, 0.15, ax) * ramp(-0.16, -0.22, y);
  const [u, v] = [ax - EYE.x, y - EYE.y];
  const round = Math.hypot(u, v * 1.15);
  h -= 0.012 * bell(round - 0.225, 0.02) * ramp(-0.03, -0.1, v);
  const spread = Math.atan2(v - 0.0, u - 0.14);
  const outwards = Math.hypot(u - 0.14, v);
  h +=
    0.006 *
    Math.cos(spread * 9) *
    bell(spread, 0.75) *
    ramp(0.03, 0.07, outwards) *
    ramp(0.24, 0.12, outwards);
  h += 0.0055 * Math.sin((y + 0.12 * ax * ax) * 62) * bell(y - 0.5, 0.11) * ramp(0.5, 0.2, ax);
  return h;
}

function skinOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  let d = egg(x, y - 0.25, z + 0.12, 0.79, 0.87, 0.92);
  d = join(d, egg(x, y + 0.3, z - 0.1, 0.6, 0.76, 0.64), 0.3);
  d = join(d, ball(x, y + 0.86, z - 0.47, 0.2), 0.2);
  d = join(d, ball(ax - 0.39, y + 0.26, z - 0.49, 0.21), 0.24);
  d = join(d, egg(ax - 0.33, y + 0.66, z - 0.28, 0.2, 0.2, 0.24), 0.3);
  d = join(d, egg(x, y + 0.54, z - 0.5, 0.27, 0.22, 0.26), 0.2);
  d = join(d, rod(ax, y, z, [0.1, 0.2, 0.7], [0.46, 0.2, 0.53], 0.085, 0.08), 0.14);
  d = carve(d, egg(ax - EYE.x, y - EYE.y, z - 0.88, 0.2, 0.13, 0.2), 0.12);
  // the lids, and the eye's window in them
  const lid = carve(ball(ax - EYE.x, y - EYE.y, z - EYE.z, EYE.r + 0.022), lids(ax, y), 0.012);
  const window = Math.max(lids(ax, y), ball(ax - EYE.x, y - EYE.y, z - EYE.z, 0.4));
  d = join(carve(d, window, 0.02), lid, 0.05);
  // nose
  let nose = rod(x, y, z, [0, 0.16, 0.69], [0, -0.2, 0.9], 0.06, 0.085);
  nose = join(nose, ball(x, y + 0.23, z - 0.93, 0.115), 0.09);
  nose = join(nose, egg(ax - 0.105, y + 0.265, z - 0.8, 0.08, 0.072, 0.1), 0.07);
  d = join(d, nose, 0.1);
  d = carve(d, egg(ax - 0.06, y + 0.345, z - 0.885, 0.04, 0.035, 0.055), 0.03);
  if (z > 0.2 && d < 0.2) d -= modelling(ax, y) * ramp(0.25, 0.6, z);
  // ears
  const ear = carve(
    egg(ax - 0.8 - (z + 0.05) * -0.25, y + 0.08, z + 0.05, 0.07, 0.23, 0.15),
    egg(ax - 0.87, y + 0.04, z - 0.01, 0.06, 0.13, 0.08),
    0.05,
  );
  d = join(d, ear, 0.06);
  return d;
}

const eyeOf = (ax: number, y: number, z: number): number =>
  ball(ax - EYE.x, y - EYE.y, z - EYE.z, EYE.r);

/** How far behind the hairline a place is, about 0 at it; it frays as combed-back hair does. */
function hairline(x: number, y: number, z: number): number {
  const frayed = 0.045 * (layeredNoise(Math.atan2(x, y + 0.3) * 24, 3.3, 1, 3) - 0.5);
  const brow = (Math.hypot(x / 0.71, (y + 0.12) / 0.83) - 1) * 0.7 + 0.02 * bell(x, 0.16);
  const nape = y + 0.02 - clamp(z + 0.15, -1, 0.1) * 0.8;
  return Math.min(z > -0.05 ? brow : 1, nape) + frayed;
}

/** Combed back over the skull from nothing at the hairline, and wound into a bun. */
function hairOf(x: number, y: number, z: number): number {
  const bun = egg(x, y - 1.28, z + 0.3, 0.42, 0.34, 0.4);
  const skull = egg(x, y - 0.25, z + 0.12, 0.79, 0.87, 0.92);
  if (Math.min(skull, bun) > 0.3) return Math.min(skull, bun) - 0.15;
  const wave = 0.03 * (noise(Math.atan2(x, z + 0.3) * 5 + 3, y * 1.3, 4) - 0.5);
  const behind = hairline(x, y, z) / 0.4;
  const thick = behind > 0 ? (0.12 + wave) * Math.sqrt(Math.min(1, behind)) : 0.3 * behind;
  return join(skull + 0.02 - thick, bun, 0.06);
}

function glassesOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  const [u, v, w] = [ax - 0.325, y - 0.02, z - 0.865 + 0.25 * (ax - 0.3)];
  const rim = Math.hypot(Math.hypot(u, v) - 0.26, w) - 0.028;
  const bridge = rod(ax, y, z, [0, 0.1, 0.905], [0.068, 0.075, 0.9], 0.026, 0.026);
  const arm = rod(ax, y, z, [0.585, 0.06, 0.79], [0.86, 0.06, -0.1], 0.024, 0.024);
  return Math.min(rim, bridge, arm);
}

const pearlOf = (x: number, y: number, z: number): number =>
  ball(Math.abs(x) - 0.83, y + 0.37, z - 0.02, 0.055);

const neckOf = (x: number, y: number, z: number): number =>
  rod(x, y, z, [0.02, -0.75, -0.14], [0, -1.5, -0.3], 0.4, 0.46);

function cardiganOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  let d = rod(ax, y, z, [0.2, -1.52, -0.36], [1.12, -1.98, -0.42], 0.34, 0.4);
  d = join(d, rod(ax, y, z, [1.16, -1.98, -0.42], [1.36, -3.2, -0.3], 0.4, 0.42), 0.2);
  d = join(d, egg(x, y + 2.6, z + 0.2, 1.15, 1.2, 0.76), 0.4);
  // open at the neck, a deep V with a thick band
  const open = ax - 0.14 - 0.5 * clamp(y + 2.3, 0, 2);
  const band = Math.hypot(Math.max(Math.abs(open * 0.88 - 0.07) - 0.05, 0), d) - 0.035;
  const vee = Math.max(open, -z - 0.15);
  return Math.min(carve(d, vee * 0.85, 0.05), z > -0.3 ? band : 9);
}

function blouseOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  let d = egg(x, y + 2.6, z + 0.24, 1.05, 1.2, 0.74);
  d = join(d, rod(ax, y, z, [0.1, -1.52, -0.36], [0.9, -1.9, -0.4], 0.3, 0.3), 0.3);
  // a turned-down collar: two soft flaps that meet in front
  const [u, v] = [ax - 0.3, y + 1.42];
  const flap = egg(
    u * 0.82 + v * 0.57,
    -u * 0.57 + v * 0.82,
    z - 0.2 + 0.6 * u + 0.5 * v,
    0.17,
    0.36,
    0.07,
  );
  return Math.min(d, flap * 0.8);
}

const buttonOf = (x: number, y: number, z: number): number =>
  Math.min(
    egg(x, y + 2.06, z - 0.46, 0.05, 0.05, 0.03),
    egg(x, y + 1.76, z - 0.33, 0.05, 0.05, 0.03),
  );

function distance(x: number, y: number, z: number): number {
  const [hx, hy, hz] = toHead(x, y, z);
  const d = Math.min(cardiganOf(x, y, z), blouseOf(x, y, z), buttonOf(x, y, z));
  const away = ball(hx, hy - 0.2, hz, 1.5);
  if (away > 0.3) return Math.min(d, away, neckOf(x, y, z));
  const skin = join(neckOf(x, y, z), skinOf(hx, hy, hz), 0.1);
  return Math.min(
    d,
    skin,
    eyeOf(Math.abs(hx), hy, hz),
    hairOf(hx, hy, hz),
    glassesOf(hx, hy, hz),
    pearlOf(hx, hy, hz),
  );
}

/** Strands run from the hairline up to the bun, and round in the bun. */
function strands(x: number, y: number, z: number): number {
  const bun = ramp(0.95, 1.05, y);
  const round = Math.atan2(x, z + 0.3);
  const combed = layeredNoise(round * 26 + 3 * noise(x * 2, y * 2, z * 2), y * 1.6, z * 1.2, 3);
  const [u, v] = [x, y - 1.3];
  const wound = layeredNoise(
    Math.hypot(u, v * 1.2) * 26 + Math.atan2(v, u) * 1.6,
    Math.atan2(v, u) * 1.5,
    z * 3,
    3,
  );
  return combed * (1 - bun) + wound * bun;
}

const knit = (x: number, y: number): number =>
  0.5 +
  0.5 *
    Math.sin(y * 110 + 2.2 * Math.abs(((x * 11 + 100) % 1) - 0.5) * 4) *
    Math.min(1, 6 * Math.abs(((x * 11 + 100) % 1) - 0.5));

type Part = 'skin' | 'eye' | 'hair' | 'glasses' | 'pearl' | 'cardigan' | 'blouse' | 'button';

function partAt(x: number, y: number, z: number, hx: number, hy: number, hz: number): Part {
  const candidates: [Part, number][] = [
    ['skin', Math.min(skinOf(hx, hy, hz), neckOf(x, y, z))],
    ['eye', eyeOf(Math.abs(hx), hy, hz)],
    ['hair', hairOf(hx, hy, hz)],
    ['glasses', glassesOf(hx, hy, hz)],
    ['pearl', pearlOf(hx, hy, hz)],
    ['cardigan', cardiganOf(x, y, z)],
    ['blouse', blouseOf(x, y, z)],
    ['button', buttonOf(x, y, z)],
  ];
  return candidates.reduce((best, next) => (next[1] < best[1] ? next : best))[0];
}

/** Pores and fine lines; on the neck, soft rings. */
function skinRelief(x: number, y: number, z: number): number {
  const pores = 0.0032 * layeredNoise(x * 34, y * 34, z * 34, 3);
  const lines = 0.0016 * noise(x * 9, y * 40 + 6 * Math.abs(x), z * 9);
  const rings = 0.01 * ramp(-1.14, -1.2, y) * Math.sin(y * 30 + 2 * Math.cos(x * 4));
  return pores + lines + rings;
}

/** A relief that is given in the head's axes. */
const onHead =
  (height: (x: number, y: number, z: number) => number) =>
  (x: number, y: number, z: number): number =>
    height(...toHead(x, y, z));

const hairRelief = (x: number, y: number, z: number): number =>
  0.03 * strands(x, y, z) * ramp(0, 0.12, hairline(x, y, z));

/** Where the lips are, 0 to 1: a bow above the line where they meet, a bowl below it. */
function lipAt(ax: number, y: number): number {
  const up = y - smile(ax);
  const wide = Math.sqrt(clamp(1 - (ax / 0.3) ** 2));
  const bow = (0.054 - 0.012 * bell(ax, 0.035) + 0.006 * bell(ax - 0.07, 0.05)) * wide;
  const bowl = -0.082 * wide;
  const above = ramp(bow + 0.008, bow - 0.008, up) * ramp(-0.003, 0.003, up);
  const below = ramp(bowl - 0.012, bowl + 0.01, up) * ramp(0.003, -0.003, up);
  return Math.max(above, below) * ramp(0.3, 0.27, ax);
}

/** Where the brows are, 0 to 1, and how dense their hairs stand there. */
function browAt(ax: number, y: number): number {
  const arch = 0.225 + 0.1 * Math.sqrt(clamp((ax - 0.08) / 0.3)) - 0.42 * clamp(ax - 0.34) ** 1.4;
  const thick = 0.042 - 0.02 * clamp((ax - 0.3) / 0.3);
  const hairs = layeredNoise((ax + y * 0.6) * 60, (y - ax * 0.3) * 14, 3, 2);
  const brow = bell(y - arch, thick) * ramp(0.1, 0.17, ax) * ramp(0.6, 0.5, ax);
  return clamp(brow * 1.5 * (0.45 + 0.8 * hairs));
}

/** Lips, lashes and brows, painted on the front of the head. */
function features(skin: Rgb, ax: number, y: number, z: number): Rgb {
  const mouthLine = bell(y - smile(ax), 0.018) * ramp(0.325, 0.28, ax);
  // lashes: dark along the upper lid, fainter along the lower
  const lash = (y > EYE.y - 0.02 ? 1 : 0.45) * ramp(0.032, 0.012, lids(ax, y)) * ramp(0.15, 0.3, z);
  let color = mixed(skin, [0.5, 0.19, 0.16], 0.6 * lipAt(ax, y));
  color = mixed(color, [0.09, 0.025, 0.022], 0.92 * mouthLine);
  color = mixed(color, [0.05, 0.03, 0.025], 0.94 * lash);
  return mixed(color, [0.06, 0.048, 0.042], browAt(ax, y));
}

/** Skin without features: blotches, blush on cheeks and nose, age spots, the shade under the chin, nostrils. */
function bareSkin(x: number, y: number, z: number): Rgb {
  const ax = Math.abs(x);
  const blush = Math.max(
    bell(Math.hypot(ax - 0.42, y + 0.26), 0.2),
    0.8 * bell(Math.hypot(ax, y + 0.26), 0.12) * ramp(0.7, 0.85, z),
  );
  const spots = ramp(0.76, 0.84, noise(x * 15, y * 15, z * 15 + 4));
  const nostril = ramp(0.05, 0.025, Math.hypot(ax - 0.06, (y + 0.338) * 1.3)) * ramp(0.7, 0.8, z);
  const blotches = layeredNoise(x * 6, y * 6, z * 6, 3);
  let color: Rgb = mixed([0.66, 0.4, 0.29], [0.72, 0.46, 0.35], blotches);
  color = mixed(color, [0.68, 0.28, 0.22], 0.55 * blush);
  color = mixed(color, [0.42, 0.23, 0.15], 0.2 * spots);
  color = mixed(color, [0.4, 0.2, 0.14], 0.55 * ramp(-0.98, -1.12, y + 0.25 * z - 0.1));
  return mixed(color, [0.12, 0.04, 0.03], 0.85 * nostril);
}

function skin(x: number, y: number, z: number): Surface {
  const ax = Math.abs(x);
  const front = z > 0.25;
  const color = front ? features(bareSkin(x, y, z), ax, y, z) : bareSkin(x, y, z);
  const gloss = 0.05 + (front ? 0.1 * lipAt(ax, y) : 0);
  return { color, gloss, shine: 22, creep: 1, relief: onHead(skinRelief) };
}

function eye(x: number, y: number): Surface {
  const ax = Math.abs(x);
  // both look at whoever holds the camera
  const [u, v] = [(x < 0 ? -1 : 1) * (ax - EYE.x) - 0.044, y - EYE.y + 0.006];
  const r = Math.hypot(u, v - 0.005);
  const white: Rgb = [0.68, 0.63, 0.58];
  const ray = noise(Math.atan2(v, u) * 9, r * 20, 1);
  let color = mixed(
    white,
    mixed([0.05, 0.085, 0.11], [0.13, 0.19, 0.22], ray),
    ramp(0.094, 0.086, r),
  );
  color = mixed(color, [0.02, 0.03, 0.035], bell(r - 0.088, 0.014));
  color = mixed(color, [0.008, 0.008, 0.008], ramp(0.042, 0.036, r));
  const glint = ramp(0.02, 0.012, Math.hypot(u + 0.034, v - 0.04));
  color = mixed(color, [2.6, 2.5, 2.4], glint);
  return { color, gloss: 0.35, shine: 90, creep: 0.1 };
}

function surface(x: number, y: number, z: number): Surface {
  const [hx, hy, hz] = toHead(x, y, z);
  switch (partAt(x, y, z, hx, hy, hz)) {
    case 'skin':
      return skin(hx, hy, hz);
    case 'eye':
      return eye(hx, hy);
    case 'hair': {
      const s = strands(hx, hy, hz);
      const gray = mixed([0.035, 0.033, 0.034], [0.27, 0.26, 0.255], ramp(0.3, 0.8, s));
      // thin at the roots, so that the skin shows
      const root = hz > 0 ? ramp(0.13, 0.01, hairline(hx, hy, hz) + 0.2 * (s - 0.5)) : 0;
      return {
        color: mixed(gray, [0.52, 0.36, 0.28], 0.9 * root),
        gloss: 0.1,
        shine: 14,
        creep: 0.5,
        relief: onHead(hairRelief),
      };
    }
    case 'glasses':
      return { color: [0.035, 0.018, 0.014], gloss: 0.5, shine: 60, creep: 0 };
    case 'pearl':
      return { color: [0.75, 0.7, 0.64], gloss: 0.5, shine: 50, creep: 0.2 };
    case 'cardigan': {
      const k = knit(x, y);
      return {
        color: mixed([0.02, 0.045, 0.075], [0.045, 0.095, 0.14], k),
        gloss: 0.01,
        shine: 8,
        creep: 0.1,
        relief: (a, b) => 0.012 * knit(a, b),
      };
    }
    case 'blouse': {
      const dot = Math.hypot(((x * 9 + y * 4.5 + 90) % 1) - 0.5, ((y * 9 + 90) % 1) - 0.5);
      return {
        color: mixed([0.74, 0.71, 0.66], [0.5, 0.2, 0.2], 0.8 * ramp(0.17, 0.12, dot)),
        gloss: 0.02,
        shine: 10,
        creep: 0.2,
      };
    }
    case 'button':
      return { color: [0.5, 0.4, 0.26], gloss: 0.3, shine: 40, creep: 0 };
  }
}

/** A whitewashed garden wall in the sun, far out of focus, with the green of a climbing bean here and there. */
function backdrop(u: number, v: number): Rgb {
  const leafy = layeredNoise(u * 1.3 + 4, v * 1.3, 2, 2);
  const wall = mixed([1.5, 1.46, 1.3], [2.3, 2.2, 1.95], ramp(0.9, -0.9, u));
  return mixed(wall, [0.9, 1.08, 0.72], 0.75 * ramp(0.35, 0.75, leafy + 0.12 * (u - v)));
}

const scene: Scene = {
  distance,
  surface,
  backdrop,
  eye: 8,
  reach: 1.8,
  aim: -0.1,
  near: 5.5,
  far: 10.5,
  light: [-0.66, 0.72, 0.74],
  lightColor: [2.2, 2.0, 1.76],
  sky: [0.44, 0.5, 0.56],
  ground: [0.2, 0.19, 0.14],
  rim: [0.85, 0.3, -0.45],
  rimColor: [1.1, 1.05, 0.8],
};

/** A portrait of a grandmother who never lived: evening light from the left, an allotment hedge behind her. */
export const nana: Sample = {
  file: 'nana.jpg',
  draw: (scale = 0.65) =>
    photograph(scene, { width: 1600, height: 2000, scale, quality: 80, seed: 31 }),
};
