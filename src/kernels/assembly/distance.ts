import { NEAR, nearSquaredDistance } from './near-distance';

/** More than any column of a raster is long, in px. */
export const FAR: i32 = 65535;
/** Numbers that `from` wants beyond a row's: short distances look that far over its ends. */
export const ROW_EXTRA: i32 = NEAR;

/**
 * The squared distance, in px², from each pixel's centre to the centre of the nearest pixel of value `to`.
 *
 * Felzenszwalb & Huttenlocher, "Distance transforms of sampled functions", Theory of Computing 8 (2012): columns
 * first, then the lower envelope of parabolas along each row. Along a row, nothing is looked at beyond the pixels of
 * value `to` at either end of a run without them: nothing further off can be nearer.
 *
 * @param beyond what is this far off along a column, in px, counts as not there; at most `FAR`
 * @param most the largest squared distance that is told
 * @param squared the distances: 0 on a pixel of value `to`, Infinity where there is none near enough
 * @param columns room for a number a pixel
 * @param vertex, from room for one row's parabolas, and from where on each is the lowest, with `ROW_EXTRA` more
 */
export function squaredDistance(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  to: i32,
  beyond: i32,
  most: f64,
  squared: StaticArray<f32>,
  columns: StaticArray<u16>,
  vertex: StaticArray<i32>,
  from: StaticArray<f64>,
): void {
  if (beyond <= NEAR) {
    const bytes = changetype<StaticArray<u8>>(columns);
    const line = changetype<StaticArray<u16>>(from);
    nearSquaredDistance(data, width, height, to, beyond, most, squared, bytes, line);
    return;
  }
  measureColumns(columns, width, height, data, to, beyond);
  const end = width * height;
  for (let row = 0; row < end; row += width) {
    for (let x = 0; x < width; x++) {
      if (columns[row + x] === 0) {
        squared[row + x] = 0;
        continue;
      }
      const first = max(0, x - 1);
      while (x < width && columns[row + x] !== 0) x++;
      const last = min(x, width - 1);
      const parabolas = lowerEnvelope(columns, row, first, last, beyond, vertex, from);
      writeDistances(columns, squared, row, first, last, parabolas, most, vertex, from);
    }
  }
}

/** Writes for each pixel the distance, in px, to the nearest pixel of value `to` in its own column, `beyond` at most. */
function measureColumns(
  distance: StaticArray<u16>,
  width: i32,
  height: i32,
  data: StaticArray<u8>,
  to: i32,
  beyond: i32,
): void {
  const end = width * height;
  for (let x = 0; x < width; x++) distance[x] = <u16>(data[x] === to ? 0 : beyond);
  for (let i = width; i < end; i++) {
    const above: i32 = distance[i - width];
    distance[i] = <u16>(data[i] === to ? 0 : above < beyond ? above + 1 : beyond);
  }
  for (let i = end - width - 1; i >= 0; i--) {
    const below = <i32>distance[i + width] + 1;
    if (below < <i32>distance[i]) distance[i] = <u16>below;
  }
}

/** Builds the envelope of the parabolas that stand on pixels `first` to `last` of a row; returns their number. */
function lowerEnvelope(
  columns: StaticArray<u16>,
  row: i32,
  first: i32,
  last: i32,
  beyond: i32,
  vertex: StaticArray<i32>,
  from: StaticArray<f64>,
): i32 {
  let count = 0;
  for (let x = first; x <= last; x++) {
    const d: i32 = columns[row + x];
    if (d >= beyond) continue;
    const height = square(d) + square(x);
    let start = -Infinity;
    while (count > 0) {
      const v = vertex[count - 1];
      start = (height - square(columns[row + v]) - square(v)) / <f64>(2 * (x - v));
      if (start > from[count - 1]) break;
      count--;
    }
    vertex[count] = x;
    from[count] = count === 0 ? -Infinity : start;
    count++;
  }
  from[count] = Infinity;
  return count;
}

function writeDistances(
  columns: StaticArray<u16>,
  squared: StaticArray<f32>,
  row: i32,
  first: i32,
  last: i32,
  parabolas: i32,
  most: f64,
  vertex: StaticArray<i32>,
  from: StaticArray<f64>,
): void {
  if (parabolas === 0) {
    for (let x = first; x <= last; x++) squared[row + x] = Infinity;
    return;
  }
  for (let x = first, k = 0; x <= last; x++) {
    while (from[k + 1] < <f64>x) k++;
    const v = vertex[k];
    const found = square(x - v) + square(columns[row + v]);
    squared[row + x] = <f32>(found <= most ? found : Infinity);
  }
}

/** As a real number: a whole one would run over. */
function square(value: i32): f64 {
  return <f64>value * <f64>value;
}
