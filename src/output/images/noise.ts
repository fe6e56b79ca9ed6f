import { seededRandom } from '../../common/seeded-random.js';
/** A square of noise that repeats without a seam, row by row: mean 0, spread (standard deviation) 1. */
export interface NoiseTile {
  readonly size: number;
  readonly data: Float32Array;
}

/**
 * Soft grains of random strength: white noise through a filter, with no direction that shows. The same seed gives
 * the same tile.
 *
 * J. P. Lewis, "Texture synthesis for digital painting", SIGGRAPH 1984. The filter is a box run twice along the
 * rows and twice along the columns.
 *
 * @param size the tile's side in px
 * @param grainPx the size of a grain in px, 0 for a grain a pixel
 */
export function noiseTile(size: number, grainPx: number, seed: number): NoiseTile {
  const reach = Math.min(Math.floor(grainPx / 2), (size - 1) >> 1);
  const random = seededRandom(seed);
  let data: Float32Array = Float32Array.from({ length: size * size }, () => 2 * random() - 1);
  // Two passes that swap rows and columns bring the tile back upright.
  for (let pass = 0; pass < 4; pass++) data = boxSumsTurned(data, size, reach);
  return { size, data: standardised(data) };
}

/** Sums over 2 reach + 1 values along each row, which wraps round; rows come out as columns. */
function boxSumsTurned(data: Float32Array, size: number, reach: number): Float32Array {
  const turned = new Float32Array(data.length);
  for (let row = 0; row < size; row++) {
    const start = row * size;
    let sum = 0;
    for (let k = -reach; k <= reach; k++) sum += data[start + ((k + size) % size)];
    for (let i = 0; i < size; i++) {
      turned[i * size + row] = sum;
      sum += data[start + ((i + reach + 1) % size)] - data[start + ((i - reach + size) % size)];
    }
  }
  return turned;
}

function standardised(data: Float32Array): Float32Array {
  const mean = data.reduce((sum, value) => sum + value, 0) / data.length;
  const square = data.reduce((sum, value) => sum + (value - mean) ** 2, 0) / data.length;
  const scale = 1 / Math.sqrt(square);
  return data.map((value) => (value - mean) * scale);
}
