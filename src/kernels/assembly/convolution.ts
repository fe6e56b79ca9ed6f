import { addressOfReal } from './lanes';

/*
 * Rows of the layers of a convolutional network; see src/faces/network/convolution.ts. A picture has a number for each channel,
 * pixel by pixel, row by row; what is called a row begins where it is handed over. Channels are taken four at a time.
 */

/** How many channels' weights lie side by side: `multiplyRow`. */
export const TOGETHER: i32 = 8;

/**
 * Lays the part of a picture that is shown in a square into it, by bilinear interpolation from the upper left corner of each
 * pixel, as the networks were taught. What is not of the picture is black.
 *
 * @param pixels three bytes a pixel, `stride` pixels a row; its box `x`, `y`, `width`, `height` is taken
 * @param across, down how many pixels of black stand before the box in its square
 * @param square how many of the picture's pixels the square is wide
 * @param means what is taken off the three colours
 * @param out rows of `side` + 2 pixels, the first of which stays as it is, as does the first row
 */
export function laySquare(
  pixels: StaticArray<u8>,
  stride: i32,
  x: i32,
  y: i32,
  width: i32,
  height: i32,
  across: i32,
  down: i32,
  square: i32,
  means: StaticArray<f32>,
  side: i32,
  out: StaticArray<f32>,
): void {
  const step: f32 = <f32>square / <f32>side;
  for (let row = 0; row < side; row++) {
    const fromTop: f32 = <f32>row * step;
    const first = <i32>fromTop;
    const second = min(first + 1, square - 1);
    const lower: f32 = fromTop - <f32>first;
    let to = 3 * ((row + 1) * (side + 2) + 1);
    for (let column = 0; column < side; column++) {
      const fromLeft: f32 = <f32>column * step;
      const left = <i32>fromLeft;
      const right = min(left + 1, square - 1);
      const farther: f32 = fromLeft - <f32>left;
      for (let colour = 0; colour < 3; colour++) {
        const a = valueAt(pixels, stride, x, y, width, height, left - across, first - down, colour);
        const b = valueAt(pixels, stride, x, y, width, height, right - across, first - down, colour); // prettier-ignore
        const c = valueAt(pixels, stride, x, y, width, height, left - across, second - down, colour); // prettier-ignore
        const d = valueAt(pixels, stride, x, y, width, height, right - across, second - down, colour); // prettier-ignore
        const above: f32 = a + (b - a) * farther;
        const below: f32 = c + (d - c) * farther;
        out[to++] = (above + (below - above) * lower - means[colour]) / 255;
      }
    }
  }
}

function valueAt(
  pixels: StaticArray<u8>,
  stride: i32,
  x: i32,
  y: i32,
  width: i32,
  height: i32,
  column: i32,
  row: i32,
  colour: i32,
): f32 {
  if (column < 0 || row < 0 || column >= width || row >= height) return 0;
  return <f32>pixels[3 * ((y + row) * stride + x + column) + colour];
}

/**
 * Lays what a filter of 3 × 3 pixels of three colours sees side by side, pixel by pixel of a row: 27 numbers each.
 *
 * @param picture from where the filter's upper left corner lies for the first of them
 * @param stride how many pixels a row of the picture has
 * @param step how many pixels it goes on each time
 */
export function gatherRow(
  picture: StaticArray<f32>,
  stride: i32,
  step: i32,
  count: i32,
  out: StaticArray<f32>,
): void {
  let to = 0;
  for (let i = 0; i < count; i++) {
    for (let row = 0; row < 3; row++) {
      const from = 3 * (row * stride + i * step);
      for (let k = 0; k < 9; k++) out[to++] = picture[from + k];
    }
  }
}

/**
 * Convolves each channel of a picture by its own filter of 3 × 3 pixels, for `count` pixels of a row.
 *
 * @param picture from where the filter's upper left corner lies for the first of them
 * @param stride how many pixels a row of the picture has
 * @param step how many pixels it goes on each time
 */
export function filterRow(
  picture: StaticArray<f32>,
  stride: i32,
  step: i32,
  channels: i32,
  filters: StaticArray<f32>,
  count: i32,
  out: StaticArray<f32>,
): void {
  const next = (<usize>channels) << 2;
  const below = (<usize>(stride * channels)) << 2;
  for (let channel = 0; channel < channels; channel += 4) {
    let weight = addressOfReal(filters, channel);
    const w0 = v128.load(weight);
    const w1 = v128.load((weight += next));
    const w2 = v128.load((weight += next));
    const w3 = v128.load((weight += next));
    const w4 = v128.load((weight += next));
    const w5 = v128.load((weight += next));
    const w6 = v128.load((weight += next));
    const w7 = v128.load((weight += next));
    const w8 = v128.load((weight += next));
    let from = addressOfReal(picture, channel);
    let to = addressOfReal(out, channel);
    for (let i = 0; i < count; i++) {
      let sum = f32x4.mul(v128.load(from), w0);
      sum = f32x4.add(sum, f32x4.mul(v128.load(from + next), w1));
      sum = f32x4.add(sum, f32x4.mul(v128.load(from + 2 * next), w2));
      const middle = from + below;
      sum = f32x4.add(sum, f32x4.mul(v128.load(middle), w3));
      sum = f32x4.add(sum, f32x4.mul(v128.load(middle + next), w4));
      sum = f32x4.add(sum, f32x4.mul(v128.load(middle + 2 * next), w5));
      const last = middle + below;
      sum = f32x4.add(sum, f32x4.mul(v128.load(last), w6));
      sum = f32x4.add(sum, f32x4.mul(v128.load(last + next), w7));
      sum = f32x4.add(sum, f32x4.mul(v128.load(last + 2 * next), w8));
      v128.store(to, sum);
      from += <usize>step * next;
      to += next;
    }
  }
}

/**
 * Multiplies the numbers of each pixel of a row, `given` of them, by a matrix of `wanted` columns, and adds the bias.
 *
 * @param weights eight columns side by side, row by row of the matrix, then the next eight
 * @param slope what is below 0 is multiplied by that: 1 leaves it as it is
 * @param wanted a multiple of eight
 */
export function multiplyRow(
  row: StaticArray<f32>,
  count: i32,
  given: i32,
  weights: StaticArray<f32>,
  bias: StaticArray<f32>,
  slope: f64,
  wanted: i32,
  out: StaticArray<f32>,
): void {
  const steep = f32x4.splat(<f32>slope);
  const nextIn = (<usize>given) << 2;
  const nextOut = (<usize>wanted) << 2;
  for (let column = 0; column < wanted; column += TOGETHER) {
    const start = addressOfReal(weights, column * given);
    const end = start + ((<usize>given * TOGETHER) << 2);
    const near = v128.load(addressOfReal(bias, column));
    const far = v128.load(addressOfReal(bias, column), 16);
    let i = 0;
    for (; i + 4 <= count; i += 4) {
      let from = addressOfReal(row, i * given);
      let a0 = near;
      let a1 = far;
      let b0 = near;
      let b1 = far;
      let c0 = near;
      let c1 = far;
      let d0 = near;
      let d1 = far;
      for (let weight = start; weight < end; weight += 32) {
        const w0 = v128.load(weight);
        const w1 = v128.load(weight, 16);
        const a = v128.load32_splat(from);
        a0 = f32x4.add(a0, f32x4.mul(a, w0));
        a1 = f32x4.add(a1, f32x4.mul(a, w1));
        const b = v128.load32_splat(from + nextIn);
        b0 = f32x4.add(b0, f32x4.mul(b, w0));
        b1 = f32x4.add(b1, f32x4.mul(b, w1));
        const c = v128.load32_splat(from + 2 * nextIn);
        c0 = f32x4.add(c0, f32x4.mul(c, w0));
        c1 = f32x4.add(c1, f32x4.mul(c, w1));
        const d = v128.load32_splat(from + 3 * nextIn);
        d0 = f32x4.add(d0, f32x4.mul(d, w0));
        d1 = f32x4.add(d1, f32x4.mul(d, w1));
        from += 4;
      }
      const to = addressOfReal(out, i * wanted + column);
      v128.store(to, f32x4.max(a0, f32x4.mul(a0, steep)));
      v128.store(to, f32x4.max(a1, f32x4.mul(a1, steep)), 16);
      v128.store(to + nextOut, f32x4.max(b0, f32x4.mul(b0, steep)));
      v128.store(to + nextOut, f32x4.max(b1, f32x4.mul(b1, steep)), 16);
      v128.store(to + 2 * nextOut, f32x4.max(c0, f32x4.mul(c0, steep)));
      v128.store(to + 2 * nextOut, f32x4.max(c1, f32x4.mul(c1, steep)), 16);
      v128.store(to + 3 * nextOut, f32x4.max(d0, f32x4.mul(d0, steep)));
      v128.store(to + 3 * nextOut, f32x4.max(d1, f32x4.mul(d1, steep)), 16);
    }
    for (; i < count; i++) {
      let from = addressOfReal(row, i * given);
      let a0 = near;
      let a1 = far;
      for (let weight = start; weight < end; weight += 32) {
        const a = v128.load32_splat(from);
        a0 = f32x4.add(a0, f32x4.mul(a, v128.load(weight)));
        a1 = f32x4.add(a1, f32x4.mul(a, v128.load(weight, 16)));
        from += 4;
      }
      const to = addressOfReal(out, i * wanted + column);
      v128.store(to, f32x4.max(a0, f32x4.mul(a0, steep)));
      v128.store(to, f32x4.max(a1, f32x4.mul(a1, steep)), 16);
    }
  }
}

/**
 * The largest of each 2 × 2 pixels of two rows of `count` pixels, channel by channel; the last pixel's right neighbour is
 * itself where there is none.
 *
 * @param step how many pixels it goes on each time
 */
export function poolRow(
  first: StaticArray<f32>,
  second: StaticArray<f32>,
  count: i32,
  channels: i32,
  step: i32,
  out: StaticArray<f32>,
): void {
  const all = (<usize>channels) << 2;
  let to = addressOfReal(out, 0);
  for (let i = 0; i < count; i += step) {
    const beside: usize = i + 1 < count ? all : 0;
    const above = addressOfReal(first, i * channels);
    const below = addressOfReal(second, i * channels);
    for (let by: usize = 0; by < all; by += 16) {
      const upper = f32x4.max(v128.load(above + by), v128.load(above + by + beside));
      const lower = f32x4.max(v128.load(below + by), v128.load(below + by + beside));
      v128.store(to + by, f32x4.max(upper, lower));
    }
    to += all;
  }
}

/** Adds a row of `n` numbers to a sum, and lays what of that is above 0 into a picture. */
export function addRow(
  sum: StaticArray<f32>,
  row: StaticArray<f32>,
  n: i32,
  out: StaticArray<f32>,
): void {
  const none = f32x4.splat(0);
  for (let i = 0; i < n; i += 4) {
    const there = addressOfReal(sum, i);
    const added = f32x4.add(v128.load(there), v128.load(addressOfReal(row, i)));
    v128.store(there, added);
    v128.store(addressOfReal(out, i), f32x4.max(added, none));
  }
}
