import type { Field } from './field.js';

/** What is known about every level from `LOWEST` up, one entry a level. */
interface Levels {
  /** Share of the pixels below the level. */
  readonly below: Float64Array;
  /** Number of neighbouring pixels that the level parts. */
  readonly parted: Float64Array;
  /** The sum of those neighbours' differences. */
  readonly steps: Float64Array;
}

/**
 * Levels that are looked at: those of greys, 0 to 255, and as many below and above, for fields whose lines were raised
 * beyond them.
 */
const LOWEST = -256;
const COUNT = 768;

/** Levels that are averaged on either side, so that single pixels don't decide. */
const AVERAGED = 4;

/**
 * The level whose outline runs along the picture's edges: the one that parts neighbours with the largest
 * average difference, among those that make neither too little nor too much dark. A plain background that
 * gets slowly darker is left whole, since an outline across it would part neighbours that are nearly equal.
 *
 * R. Kohler, A segmentation system based on thresholding, Computer Graphics and Image Processing 15(4), 1981;
 * here with a preference for levels near a given one, which falls off as a Gaussian.
 *
 * @param field values between −256 and 511
 * @param dark the least and the largest share, 0 to 1, that may be dark
 * @param near the level that is preferred
 * @param leeway the σ of that preference, in levels
 * @returns a whole number; `near`, rounded, when no level parts the picture so
 */
export function edgeLevel(
  field: Field,
  dark: { readonly least: number; readonly most: number },
  near: number,
  leeway: number,
): number {
  const levels = measured(field);
  let best = 0;
  let chosen = Math.round(near);
  for (let i = 0; i < COUNT; i++) {
    if (levels.below[i] < dark.least || levels.below[i] > dark.most) continue;
    const away = (LOWEST + i - near) / leeway;
    const worth = averageStep(levels, i) * Math.exp(-(away ** 2) / 2);
    if (worth <= best) continue;
    best = worth;
    chosen = LOWEST + i;
  }
  return chosen;
}

function averageStep({ parted, steps }: Levels, at: number): number {
  let [sum, count] = [0, 0];
  const last = Math.min(at + AVERAGED, COUNT - 1);
  for (let i = Math.max(at - AVERAGED, 0); i <= last; i++) {
    sum += steps[i];
    count += parted[i];
  }
  return count > 0 ? sum / count : 0;
}

function measured({ width, height, data }: Field): Levels {
  // Each pair adds to all levels between its two values: marked at both ends here, summed up below.
  const parted = new Float64Array(COUNT + 1);
  const steps = new Float64Array(COUNT + 1);
  const below = new Float64Array(COUNT + 1);
  const part = (a: number, b: number): void => {
    const low = a < b ? a : b;
    const high = a < b ? b : a;
    const from = place(low);
    const to = place(high);
    parted[from]++;
    parted[to]--;
    steps[from] += high - low;
    steps[to] -= high - low;
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (x + 1 < width) part(data[i], data[i + 1]);
      if (y + 1 < height) part(data[i], data[i + width]);
      below[place(data[i])] += 1 / (width * height);
    }
  }
  return { below: runningSum(below), parted: runningSum(parted), steps: runningSum(steps) };
}

/** The entry of the lowest whole level that is above a value, so that the value lies below it. */
function place(value: number): number {
  return Math.min(Math.max(Math.floor(value) + 1 - LOWEST, 0), COUNT);
}

function runningSum(values: Float64Array): Float64Array {
  let sum = 0;
  return values.map((value) => (sum += value));
}
