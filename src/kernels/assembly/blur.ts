/**
 * Blurs by a recursive filter along the rows, then along the columns; the picture is continued by its mirror image.
 *
 * @param data the picture; what comes out of it
 * @param turned room for as many numbers
 * @param line, source room for the longer side and twice `reach`
 * @param reach how far outside the picture the recursion starts, in px
 * @param filter the filter's numbers: n0 … n3, d1 … d4, m1 … m4, then what the recursions to the right and to the left
 *   give in the long run for one that is fed
 * @param scale what the sum of both is multiplied by
 */
export function blurRecursively(
  data: StaticArray<f32>,
  width: i32,
  height: i32,
  turned: StaticArray<f32>,
  line: StaticArray<f64>,
  source: StaticArray<i32>,
  reach: i32,
  filter: StaticArray<f64>,
  scale: f64,
): void {
  recursiveRows(data, width, height, line, source, reach, filter, scale);
  transpose(data, width, height, turned);
  recursiveRows(turned, height, width, line, source, reach, filter, scale);
  transpose(turned, height, width, data);
}

/** The same by a sampled kernel of 2 × `reach` + 1 weights, whose sum is given. */
export function blurBySamples(
  data: StaticArray<f32>,
  width: i32,
  height: i32,
  turned: StaticArray<f32>,
  line: StaticArray<f64>,
  source: StaticArray<i32>,
  reach: i32,
  weights: StaticArray<f64>,
  sum: f64,
): void {
  sampledRows(data, width, height, line, source, reach, weights, sum);
  transpose(data, width, height, turned);
  sampledRows(turned, height, width, line, source, reach, weights, sum);
  transpose(turned, height, width, data);
}

/** Square tiles, so that neither reading nor writing leaves the processor's cache. */
const TILE = 16;

function transpose(data: StaticArray<f32>, width: i32, height: i32, out: StaticArray<f32>): void {
  for (let top = 0; top < height; top += TILE) {
    const bottom = min(top + TILE, height);
    for (let left = 0; left < width; left += TILE) {
      const right = min(left + TILE, width);
      for (let x = left; x < right; x++) {
        for (let y = top; y < bottom; y++) out[x * height + y] = data[y * width + x];
      }
    }
  }
}

/** Writes where each number of a line comes from that starts `reach` before the row and ends as far behind it. */
function mirrorRow(source: StaticArray<i32>, width: i32, reach: i32): void {
  const period = 2 * width;
  for (let i = 0; i < width + 2 * reach; i++) {
    const within = (((i - reach) % period) + period) % period;
    source[i] = within < width ? within : period - 1 - within;
  }
}

function readLine(
  data: StaticArray<f32>,
  start: i32,
  line: StaticArray<f64>,
  source: StaticArray<i32>,
  length: i32,
): void {
  for (let i = 0; i < length; i++) line[i] = data[start + source[i]];
}

function recursiveRows(
  data: StaticArray<f32>,
  width: i32,
  height: i32,
  line: StaticArray<f64>,
  source: StaticArray<i32>,
  reach: i32,
  filter: StaticArray<f64>,
  scale: f64,
): void {
  mirrorRow(source, width, reach);
  for (let y = 0; y < height; y++) {
    readLine(data, y * width, line, source, width + 2 * reach);
    filterLine(line, width, reach, filter, scale, data, y * width);
  }
}

/** One line to the right, then to the left; the two are summed up. */
function filterLine(
  line: StaticArray<f64>,
  width: i32,
  reach: i32,
  filter: StaticArray<f64>,
  scale: f64,
  out: StaticArray<f32>,
  start: i32,
): void {
  const d1 = filter[4];
  const d2 = filter[5];
  const d3 = filter[6];
  const d4 = filter[7];
  const end = reach + width;
  const to = start - reach;

  const n0 = filter[0];
  const n1 = filter[1];
  const n2 = filter[2];
  const n3 = filter[3];
  let x1 = line[0];
  let x2 = x1;
  let x3 = x1;
  let y1 = x1 * filter[12];
  let y2 = y1;
  let y3 = y1;
  let y4 = y1;
  for (let i = 0; i < end; i++) {
    const x0 = line[i];
    const y0 = n0 * x0 + n1 * x1 + n2 * x2 + n3 * x3 - d2 * y2 - d3 * y3 - d4 * y4 - d1 * y1;
    x3 = x2;
    x2 = x1;
    x1 = x0;
    y4 = y3;
    y3 = y2;
    y2 = y1;
    y1 = y0;
    if (i >= reach) out[to + i] = <f32>(scale * y0);
  }

  const m1 = filter[8];
  const m2 = filter[9];
  const m3 = filter[10];
  const m4 = filter[11];
  const last = width + 2 * reach - 1;
  x1 = line[last];
  x2 = x1;
  x3 = x1;
  let x4 = x1;
  y1 = x1 * filter[13];
  y2 = y1;
  y3 = y1;
  y4 = y1;
  for (let i = last; i >= reach; i--) {
    const y0 = m1 * x1 + m2 * x2 + m3 * x3 + m4 * x4 - d2 * y2 - d3 * y3 - d4 * y4 - d1 * y1;
    x4 = x3;
    x3 = x2;
    x2 = x1;
    x1 = line[i];
    y4 = y3;
    y3 = y2;
    y2 = y1;
    y1 = y0;
    if (i < end) out[to + i] = <f32>(<f64>out[to + i] + scale * y0);
  }
}

function sampledRows(
  data: StaticArray<f32>,
  width: i32,
  height: i32,
  line: StaticArray<f64>,
  source: StaticArray<i32>,
  reach: i32,
  weights: StaticArray<f64>,
  sum: f64,
): void {
  mirrorRow(source, width, reach);
  for (let y = 0; y < height; y++) {
    readLine(data, y * width, line, source, width + 2 * reach);
    for (let x = 0; x < width; x++) {
      let value: f64 = 0;
      for (let i = 0; i <= 2 * reach; i++) value += weights[i] * line[x + i];
      data[y * width + x] = <f32>(value / sum);
    }
  }
}
