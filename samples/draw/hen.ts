import { layeredNoise, noise } from './noise.js';
import { mixed, photograph, type Rgb, type Scene, type Surface } from './photo.js';
import type { Sample } from './sample.js';
import { ball, bell, clamp, egg, join, ramp, rod, type Point3 } from './solid.js';

const TURN = 0.42;
const HEAD = { x: -0.98, y: 1.27, z: 0.03 };

/** The hen faces left and is turned a little towards the eye. */
function toHen(x: number, y: number, z: number): [number, number, number] {
  const [c, s] = [Math.cos(TURN), Math.sin(TURN)];
  return [x * c - z * s, y, x * s + z * c];
}

function bodyOf(x: number, y: number, z: number): number {
  let d = egg(x * 0.97 + y * 0.24 - 0.05, y * 0.97 - x * 0.24 + 0.02, z, 0.98, 0.68, 0.6);
  d = join(d, egg(x + 0.48, y - 0.0, z, 0.6, 0.66, 0.54), 0.3);
  d = join(d, rod(x, y, z, [-0.56, 0.34, 0], [-0.9, 1.08, 0.02], 0.42, 0.215), 0.3);
  d = join(d, egg(x - 0.82, y - 0.42, z, 0.4, 0.36, 0.3), 0.25);
  // fluffy thighs
  return join(d, egg(x - 0.06, y + 0.66, Math.abs(z) - 0.24, 0.26, 0.32, 0.2), 0.2);
}

const headOf = (x: number, y: number, z: number): number =>
  join(
    egg(x - HEAD.x, y - HEAD.y, z - HEAD.z, 0.225, 0.2, 0.175),
    egg(x - HEAD.x + 0.13, y - HEAD.y + 0.03, z - HEAD.z, 0.14, 0.12, 0.11),
    0.1,
  );

function beakOf(x: number, y: number, z: number): number {
  const [u, v, w] = [x - HEAD.x, y - HEAD.y, z - HEAD.z];
  const upper = join(
    rod(u, v, w, [-0.2, 0.01, 0], [-0.36, -0.03, 0], 0.085, 0.04),
    rod(u, v, w, [-0.36, -0.03, 0], [-0.42, -0.1, 0], 0.04, 0.012),
    0.04,
  );
  const lower = rod(u, v, w, [-0.2, -0.06, 0], [-0.37, -0.095, 0], 0.06, 0.016);
  return Math.min(upper, lower);
}

const COMB: readonly [Point3, Point3, number][] = [
  [[-0.2, 0.1, 0], [-0.29, 0.29, 0], 0.07],
  [[-0.11, 0.15, 0], [-0.17, 0.38, 0], 0.085],
  [[0, 0.17, 0], [-0.01, 0.42, 0], 0.09],
  [[0.1, 0.16, 0], [0.15, 0.38, 0], 0.085],
  [[0.18, 0.12, 0], [0.3, 0.31, 0], 0.07],
];

function combOf(x: number, y: number, z: number): number {
  // flat: the space is stretched across the comb, so its thickness is a third of its breadth
  const [u, v, w] = [x - HEAD.x, y - HEAD.y, (z - HEAD.z) * 2];
  const near = ball(u, v - 0.26, w, 0.36);
  if (near > 0.2) return near;
  return (
    COMB.reduce((d, [from, to, r]) => join(d, rod(u, v, w, from, to, r, 0.04), 0.08), 9) * 0.55
  );
}

function wattleOf(x: number, y: number, z: number): number {
  const [u, v, w] = [x - HEAD.x + 0.17, y - HEAD.y + 0.27, Math.abs(z - HEAD.z) - 0.07];
  const lappet = egg(u, v, w - 0.2 * v, 0.095, 0.17, 0.035);
  const lobe = egg(u - 0.27, v - 0.13, Math.abs(z - HEAD.z) - 0.165, 0.065, 0.1, 0.03);
  return Math.min(join(lappet, egg(u - 0.02, v - 0.13, w, 0.08, 0.1, 0.05), 0.08), lobe);
}

const lobeAt = (x: number, y: number): boolean => x - HEAD.x > 0.02 && y - HEAD.y < 0;

const eyeOf = (x: number, y: number, z: number): number =>
  egg(x - HEAD.x + 0.06, y - HEAD.y - 0.06, Math.abs(z - HEAD.z) - 0.15, 0.056, 0.056, 0.035);

/** Tail feathers: flat blades in a fan. */
const TAIL: readonly [number, number, number][] = [
  [0.62, 1.2, 0],
  [0.85, 1.26, 0.07],
  [1.05, 1.24, 0.12],
  [1.24, 1.12, 0.15],
  [0.42, 1.04, 0.14],
  [1.42, 0.94, 0.09],
];

function tailOf(x: number, y: number, z: number): number {
  const [px, py] = [x - 0.78, y - 0.32];
  const near = ball(px - 0.5, py - 0.55, z, 1);
  if (near > 0.3) return near;
  let d = 9;
  for (const [lean, long, aside] of TAIL) {
    const [c, s] = [Math.cos(lean), Math.sin(lean)];
    const along = px * c + py * s;
    // each blade bends over a little towards its tip
    const across = -px * s + py * c + 0.16 * along * along;
    d = Math.min(
      d,
      egg(
        along - long / 2,
        across,
        Math.abs(z) - aside * clamp(along * 1.4),
        long / 2 + 0.06,
        0.135,
        0.035,
      ),
    );
  }
  return d * 0.8;
}

function wingOf(x: number, y: number, z: number): number {
  const [c, s] = [Math.cos(0.2), Math.sin(0.2)];
  const [u, v] = [(x - 0.16) * c + (y - 0.06) * s, -(x - 0.16) * s + (y - 0.06) * c];
  const shoulder = egg(u + 0.2, v, Math.abs(z) - 0.5, 0.5, 0.38, 0.13);
  const hand = egg(u - 0.32, v - 0.06 + 0.1 * u, Math.abs(z) - 0.47, 0.66, 0.25, 0.12);
  return join(shoulder, hand, 0.1) * 0.9;
}

function legOf(x: number, y: number, z: number): number {
  const az = Math.abs(z) - 0.22;
  let d = rod(x, y, az, [0.04, -0.8, 0], [0.0, -1.2, 0.02], 0.075, 0.06);
  for (const side of [-0.13, 0, 0.13]) {
    d = join(d, rod(x, y, az, [0, -1.18, 0.02], [-0.24, -1.225, side + 0.04], 0.055, 0.05), 0.03);
    d = join(
      d,
      rod(x, y, az, [-0.24, -1.225, side + 0.04], [-0.34, -1.32, side + 0.05], 0.048, 0.022),
      0.02,
    );
  }
  return join(d, rod(x, y, az, [0, -1.18, 0.02], [0.17, -1.26, 0], 0.05, 0.02), 0.03);
}

/** The beam she stands on runs across the picture, not turned with her. */
function beamOf(x: number, y: number, z: number): number {
  const [v, w] = [y + 1.62, z - 0.02];
  return (
    Math.hypot(Math.max(Math.abs(v) - 0.24, 0), Math.max(Math.abs(w) - 0.42, 0)) -
    0.1 -
    0.014 * (noise(x * 1.1, 3, 1) - 0.5)
  );
}

function distance(x: number, y: number, z: number): number {
  const [hx, hy, hz] = toHen(x, y, z);
  const beam = beamOf(x, y, z);
  const near = ball(hx - 0.15, hy - 0.2, hz, 2.05);
  if (near > 0.2) return Math.min(beam, near);
  let d = Math.min(
    beam,
    bodyOf(hx, hy, hz),
    tailOf(hx, hy, hz),
    wingOf(hx, hy, hz),
    legOf(hx, hy, hz),
  );
  const head = ball(hx - HEAD.x, hy - HEAD.y, hz - HEAD.z, 0.62);
  if (head > 0.1) return Math.min(d, head);
  d = join(d, headOf(hx, hy, hz), 0.1);
  return Math.min(
    d,
    beakOf(hx, hy, hz),
    combOf(hx, hy, hz),
    wattleOf(hx, hy, hz),
    eyeOf(hx, hy, hz),
  );
}

interface Feather {
  /** from root 0 to tip 1 */
  readonly t: number;
  /** across, -0.5 to 0.5 */
  readonly across: number;
  /** a number in [0, 1) of its own */
  readonly own: number;
}

/** The uppermost feather at (p, q) of a coat whose rows stand at whole p and overlap towards growing p. */
function feather(p: number, q: number): Feather {
  const last = Math.floor(p);
  for (let row = last - 1; row <= last; row++) {
    const shift = (row & 1) * 0.5;
    const column = Math.round(q - shift);
    const across = q - shift - column;
    const tip = 1.02 + 0.72 * Math.sqrt(clamp(1 - (2 * across) ** 2));
    if (p - row <= tip || row === last)
      return { t: (p - row) / tip, across, own: noise(row * 7.7, column * 5.3, 2) };
  }
  throw new RangeError('no feather covers this place');
}

/** Where in the coat a place lies. Rows run round the neck, round the shoulder of the wing, round the head. */
function coat(part: 'body' | 'wing' | 'neck', x: number, y: number): Feather {
  if (part === 'neck') {
    const [u, v] = [x - HEAD.x - 0.05, y - HEAD.y - 0.1];
    return feather(2.6 * Math.hypot(u, v), Math.atan2(v, u) * 8);
  }
  const [u, v] = part === 'wing' ? [x + 0.62, y - 0.24] : [x + 0.85, y - 0.85];
  const radius = Math.hypot(u, v);
  if (part === 'wing' && radius > 0.66) return feather(1.4 * radius + 0.1, Math.atan2(v, u) * 9);
  return feather(
    (part === 'wing' ? 4.4 : 3.7) * radius,
    Math.atan2(v, u) * (part === 'wing' ? 6 : 9),
  );
}

const lift = ({ t, across }: Feather): number =>
  0.032 * ramp(0.1, 0.95, t) * (1 - 1.6 * across * across) +
  0.0018 * Math.sin(across * 60 + t * 9) * bell(t - 0.6, 0.4);

type Part = 'body' | 'neck' | 'wing' | 'tail' | 'face' | 'beak' | 'comb' | 'eye' | 'leg' | 'beam';

function partAt(x: number, y: number, z: number): Part {
  const [hx, hy, hz] = toHen(x, y, z);
  const candidates: [Part, number][] = [
    ['body', bodyOf(hx, hy, hz)],
    ['wing', wingOf(hx, hy, hz)],
    ['tail', tailOf(hx, hy, hz)],
    ['face', headOf(hx, hy, hz)],
    ['beak', beakOf(hx, hy, hz)],
    ['comb', Math.min(combOf(hx, hy, hz), wattleOf(hx, hy, hz))],
    ['eye', eyeOf(hx, hy, hz)],
    ['leg', legOf(hx, hy, hz)],
    ['beam', beamOf(x, y, z)],
  ];
  const [part] = candidates.reduce((best, next) => (next[1] < best[1] ? next : best));
  return part === 'body' && onNeck(hx, hy) ? 'neck' : part;
}

/** The hackle: the cape of narrow feathers from the head to the shoulders, with a ragged hem. */
function onNeck(x: number, y: number): boolean {
  const hem = 0.86 + 0.1 * Math.abs(((Math.atan2(y - HEAD.y, x - HEAD.x) * 8 + 100) % 1) - 0.5);
  return Math.hypot(x - HEAD.x, y - HEAD.y) < hem;
}

function plumage(part: 'body' | 'neck' | 'wing', x: number, y: number): Rgb {
  const { t, across, own } = coat(part, x, y);
  const edge = ramp(0.7, 0.88, t + 0.5 * across * across);
  if (part === 'neck') {
    const gold = mixed([0.5, 0.25, 0.075], [0.66, 0.4, 0.15], own);
    return mixed(
      gold,
      [0.05, 0.025, 0.018],
      0.9 * ramp(0.24, 0.14, Math.abs(across)) * ramp(0.2, 0.5, t),
    );
  }
  if (part === 'wing') {
    const brown = mixed([0.09, 0.03, 0.016], [0.15, 0.055, 0.024], own);
    return mixed(brown, [0.66, 0.45, 0.24], 0.9 * edge);
  }
  const rust = mixed([0.12, 0.042, 0.018], [0.2, 0.075, 0.03], own);
  return mixed(rust, [0.62, 0.4, 0.2], 0.85 * edge * (0.75 + 0.25 * own));
}

const plain = (color: Rgb, gloss: number, shine: number, creep = 0.15): Surface => ({
  color,
  gloss,
  shine,
  creep,
});

function faceColor(x: number, y: number): Rgb {
  const [u, v] = [x - HEAD.x, y - HEAD.y];
  const bare = ramp(0.16, 0.11, Math.hypot((u + 0.07) * 0.85, v - 0.03));
  const front = ramp(-0.08, -0.14, u);
  const down = mixed([0.52, 0.27, 0.09], [0.36, 0.17, 0.06], layeredNoise(u * 30, v * 30, 1, 2));
  return mixed(down, [0.5, 0.05, 0.035], Math.max(bare, front));
}

function eyeColor(x: number, y: number): Rgb {
  const r = Math.hypot(x - HEAD.x + 0.06, y - HEAD.y - 0.06);
  let color = mixed([0.75, 0.3, 0.04], [0.9, 0.45, 0.07], noise(x * 90, y * 90));
  color = mixed(color, [0.01, 0.008, 0.008], ramp(0.03, 0.025, r));
  color = mixed(color, [0.02, 0.01, 0.01], ramp(0.043, 0.05, r));
  return mixed(
    color,
    [2.4, 2.4, 2.3],
    ramp(0.014, 0.009, Math.hypot(x - HEAD.x + 0.074, y - HEAD.y - 0.076)),
  );
}

function surface(x: number, y: number, z: number): Surface {
  const [hx, hy] = toHen(x, y, z);
  const part = partAt(x, y, z);
  switch (part) {
    case 'body':
    case 'neck':
    case 'wing':
      return {
        ...plain(plumage(part, hx, hy), 0.05, 12, 0.3),
        relief: (a, b, c) => {
          const [ha, hb] = toHen(a, b, c);
          return lift(coat(part, ha, hb));
        },
      };
    case 'tail': {
      const barb = noise(hx * 50, hy * 50, 3);
      return plain(mixed([0.012, 0.02, 0.02], [0.05, 0.065, 0.06], barb), 0.22, 16);
    }
    case 'face':
      return plain(faceColor(hx, hy), 0.04, 12, 0.5);
    case 'beak': {
      const nostril = Math.hypot(hx - HEAD.x + 0.255, (hy - HEAD.y - 0.03) * 1.6);
      return plain(
        mixed([0.58, 0.4, 0.16], [0.05, 0.03, 0.02], ramp(0.026, 0.014, nostril)),
        0.2,
        30,
      );
    }
    case 'comb':
      return {
        ...plain(lobeAt(hx, hy) ? [0.62, 0.42, 0.36] : [0.52, 0.035, 0.03], 0.12, 18, 0.9),
        relief: (a, b, c) => 0.008 * layeredNoise(a * 38, b * 38, c * 38, 2),
      };
    case 'eye':
      return plain(eyeColor(hx, hy), 0.4, 80, 0);
    case 'leg': {
      const scale = 0.5 + 0.5 * Math.sin(hy * 95);
      return plain(mixed([0.1, 0.08, 0.05], [0.24, 0.19, 0.11], scale), 0.12, 20);
    }
    case 'beam': {
      const grain = layeredNoise(x * 1.6, y * 22 + 2 * noise(x * 1.3, y * 3), z * 22, 3);
      const color = mixed([0.36, 0.31, 0.25], [0.6, 0.54, 0.45], ramp(0.2, 0.8, grain));
      return {
        ...plain(color, 0.02, 8),
        relief: (a, b, c) =>
          0.009 * layeredNoise(a * 1.6, b * 22 + 2 * noise(a * 1.3, b * 3), c * 22, 3),
      };
    }
  }
}

/** An allotment on a bright morning, far out of focus: pale sky light above, beds below. */
function backdrop(u: number, v: number): Rgb {
  const leafy = layeredNoise(u * 1.3 + 9, v * 1.6, 5, 2);
  const low = mixed([0.5, 0.64, 0.28], [0.85, 0.92, 0.48], leafy);
  const high = mixed([1.3, 1.4, 1.34], [1.9, 1.9, 1.7], leafy);
  let color = mixed(low, high, ramp(-0.5, 0.55, v + 0.35 * (leafy - 0.5)));
  for (let i = 0; i < 22; i++) {
    const [cx, cy] = [3 * noise(i * 3.7, 2.5, 7) - 1.5, 1.7 * noise(i * 1.9, 8.5, 3) - 1];
    const r = 0.06 + 0.09 * noise(i * 2.9, 4.5, 1);
    const disc = ramp(r, r - 0.03, Math.hypot(u - cx, v - cy));
    color = mixed(color, [1.9, 1.8, 1.2], disc * 0.1);
  }
  return color;
}

const scene: Scene = {
  distance,
  surface,
  backdrop,
  eye: 9,
  reach: 1.75,
  aim: 0.14,
  near: 6.2,
  far: 11.5,
  light: [-0.62, 0.85, 0.72],
  lightColor: [2.1, 1.95, 1.7],
  sky: [0.5, 0.56, 0.6],
  ground: [0.2, 0.21, 0.13],
  rim: [0.8, 0.45, -0.5],
  rimColor: [0.9, 0.85, 0.65],
};

/** A hen of no breed on a garden beam, in morning light. */
export const hen: Sample = {
  file: 'hen.jpg',
  draw: (scale = 0.65) =>
    photograph(scene, { width: 1600, height: 1200, scale, quality: 80, seed: 47 }),
};
