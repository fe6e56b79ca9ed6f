import type { Job } from '../../settings/job.js';
import { followBorders } from '../../raster/borders.js';
import { eroded } from '../../raster/morphology.js';
import type { Bitmap } from '../../raster/raster.js';

/** A way of the hand, as points. */
export interface Way {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** From bead to bead where they lie side by side, in bead widths: a little less, so that they run together. */
const SIDE_BY_SIDE = 0.9;
/** How far inside the rim's bead the turns of a hatching and the first ring of a spiral lie, in steps. */
const HATCH_IN = 0.25;
const FIRST_RING = 0.4;
/** A ring of fewer pixels is a dot in the middle of what is filled already. */
const LEAST_RING = 12;

/**
 * Ways that fill what lies inside the rims of masses, in px.
 *
 * @param core what is further inside than a bead: the rim's own bead ends at its edge
 */
export function fillMass(core: Bitmap, bead: number, fill: Job['massFill']): Way[] {
  return fills[fill](core, bead * SIDE_BY_SIDE);
}

const fills: Readonly<Record<Job['massFill'], (core: Bitmap, step: number) => Way[]>> = {
  outline: () => [],
  hatch,
  spiral,
};

/** Lines across at even steps, each gone on with in the next where that lies beside it. */
function hatch(core: Bitmap, step: number): Way[] {
  const { width, height } = core;
  const inside = eroded(core, step * HATCH_IN);
  const open: { x: number[]; y: number[]; from: number; to: number }[] = [];
  const done: Way[] = [];
  for (let row = Math.floor(step / 2); row < height; row += step) {
    const y = Math.round(row);
    if (y >= height) break;
    const runs = runsIn(inside.data, y * width, width);
    const before = open.splice(0);
    for (const [first, last] of runs) {
      const at = before.findIndex(({ from, to }) => first <= to && from <= last);
      const way = at < 0 ? { x: [], y: [], from: 0, to: 0 } : before.splice(at, 1)[0];
      const isBack = way.x.length % 4 === 2;
      way.x.push(...(isBack ? [last, first] : [first, last]));
      way.y.push(y, y);
      open.push({ ...way, from: first, to: last });
    }
    done.push(...before);
  }
  return [...done, ...open].map(({ x, y }) => ({ x, y }));
}

function runsIn(data: Uint8Array, start: number, width: number): (readonly [number, number])[] {
  const runs: (readonly [number, number])[] = [];
  for (let x = 0; x < width; x++) {
    if (data[start + x] === 0) continue;
    const first = x;
    while (x + 1 < width && data[start + x + 1] === 1) x++;
    if (x > first) runs.push([first, x]);
  }
  return runs;
}

/** Rings inside each other, each gone on with in the next. */
function spiral(core: Bitmap, step: number): Way[] {
  const ways: { x: number[]; y: number[] }[] = [];
  let growing: { x: number[]; y: number[] }[] = [];
  for (let depth = step * FIRST_RING; ; depth += step) {
    const rings = followBorders(eroded(core, depth)).filter(
      ({ points }) => points.length / 2 >= LEAST_RING,
    );
    if (rings.length === 0) break;
    const next: typeof growing = [];
    for (const { points } of rings) {
      const ring = calmed(points);
      const near = growing
        .map((way) => ({ way, ...nearestOn(ring, way.x.at(-1)!, way.y.at(-1)!) }))
        .sort((a, b) => a.off - b.off)
        .at(0);
      const isNext = near !== undefined && near.off < 2 * step;
      const way = isNext ? near.way : { x: [], y: [] };
      if (isNext) growing = growing.filter((one) => one !== near.way);
      else ways.push(way);
      const begin = isNext ? near.at : 0;
      const n = ring.x.length;
      // Round to just before its beginning, so that the bead does not pile up there.
      for (let k = 0; k < n - Math.min(n - 1, Math.round(step / 2)); k++) {
        way.x.push(ring.x[(begin + k) % n]);
        way.y.push(ring.y[(begin + k) % n]);
      }
      next.push(way);
    }
    growing = next;
  }
  return ways;
}

/** A border without the pixels' own steps, by the mean of so many corners to either side. */
const CALMED = 4;

function calmed(points: Int32Array): { x: number[]; y: number[] } {
  const n = points.length / 2;
  const mean = (k: number, axis: number): number => {
    let sum = 0;
    for (let d = -CALMED; d <= CALMED; d++) sum += points[2 * ((k + d + n) % n) + axis];
    return sum / (2 * CALMED + 1);
  };
  return {
    x: Array.from({ length: n }, (_, k) => mean(k, 0)),
    y: Array.from({ length: n }, (_, k) => mean(k, 1)),
  };
}

function nearestOn({ x, y }: Way, toX: number, toY: number): { at: number; off: number } {
  let [at, off] = [0, Infinity];
  for (let k = 0; k < x.length; k++) {
    const d = Math.hypot(x[k] - toX, y[k] - toY);
    if (d < off) [at, off] = [k, d];
  }
  return { at, off };
}
