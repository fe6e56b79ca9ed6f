import { noise } from './noise.js';

export type XY = readonly [number, number];

/** How a pen runs: line width in px, how far the hand strays in px, and a seed for both. */
export interface Hand {
  readonly width: number;
  readonly stray?: number;
  readonly seed: number;
}

/** Points every few px along a smooth line through `through` (Catmull and Rom 1974, centripetal left out). */
function run(through: readonly XY[], step: number): XY[] {
  const points: XY[] = [];
  for (let i = 0; i + 1 < through.length; i++) {
    const [a, b, c, d] = [
      through[Math.max(0, i - 1)],
      through[i],
      through[i + 1],
      through[Math.min(through.length - 1, i + 2)],
    ];
    const count = Math.max(1, Math.round(Math.hypot(c[0] - b[0], c[1] - b[1]) / step));
    for (let s = 0; s < count; s++) {
      const t = s / count;
      const along = (k: 0 | 1): number =>
        b[k] +
        0.5 *
          t *
          (c[k] -
            a[k] +
            t * (2 * a[k] - 5 * b[k] + 4 * c[k] - d[k] + t * (3 * (b[k] - c[k]) + d[k] - a[k])));
      points.push([along(0), along(1)]);
    }
  }
  points.push(through[through.length - 1]);
  return points;
}

/**
 * One pen stroke as the outline of its ink: smooth through the given points, straying a little as a hand does,
 * thicker where it presses and thin at both ends.
 */
export function stroke(through: readonly XY[], { width, stray = 1.6, seed }: Hand): string {
  const line = run(through, 5);
  const last = line.length - 1;
  const left: string[] = [];
  const right: string[] = [];
  for (let i = 0; i <= last; i++) {
    const before = line[Math.max(0, i - 1)];
    const after = line[Math.min(last, i + 1)];
    const length = Math.hypot(after[0] - before[0], after[1] - before[1]) || 1;
    const [nx, ny] = [-(after[1] - before[1]) / length, (after[0] - before[0]) / length];
    const off = stray * (noise(i / 16, seed * 7.31) + noise(i / 5, seed * 3.7) * 0.4 - 0.7) * 2;
    const ends = Math.min(1, 0.45 + Math.min(i, last - i) / 5);
    const half = (width / 2) * ends * (0.6 + 0.8 * noise(i / 9, seed * 1.93, 5));
    const [x, y] = [line[i][0] + nx * off, line[i][1] + ny * off];
    left.push(`${(x + nx * half).toFixed(1)} ${(y + ny * half).toFixed(1)}`);
    right.push(`${(x - nx * half).toFixed(1)} ${(y - ny * half).toFixed(1)}`);
  }
  return `M${left.join('L')}L${right.reverse().join('L')}Z`;
}
