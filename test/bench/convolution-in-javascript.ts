/**
 * The kernels of src/kernels/assembly/convolution.ts one number at a time, as they would be in JavaScript. Sums are
 * rounded to 32 bits after each step, as there, so that they come out digit for digit.
 */

export const TOGETHER = 8;

const { fround } = Math;

export function laySquare(
  pixels: Uint8Array,
  stride: number,
  x: number,
  y: number,
  width: number,
  height: number,
  across: number,
  down: number,
  square: number,
  means: Float32Array,
  side: number,
  out: Float32Array,
): void {
  const valueAt = (column: number, row: number, colour: number): number =>
    column < 0 || row < 0 || column >= width || row >= height
      ? 0
      : pixels[3 * ((y + row) * stride + x + column) + colour];
  const step = fround(square / side);
  const between = (a: number, b: number, share: number): number =>
    fround(a + fround(fround(b - a) * share));
  for (let row = 0; row < side; row++) {
    const fromTop = fround(row * step);
    const first = Math.trunc(fromTop);
    const second = Math.min(first + 1, square - 1);
    const lower = fround(fromTop - first);
    let to = 3 * ((row + 1) * (side + 2) + 1);
    for (let column = 0; column < side; column++) {
      const fromLeft = fround(column * step);
      const left = Math.trunc(fromLeft);
      const right = Math.min(left + 1, square - 1);
      const farther = fround(fromLeft - left);
      for (let colour = 0; colour < 3; colour++) {
        const [a, b, c, d] = [first, second].flatMap((line) =>
          [left, right].map((place) => valueAt(place - across, line - down, colour)),
        );
        const mixed = between(between(a, b, farther), between(c, d, farther), lower);
        out[to++] = fround(fround(mixed - means[colour]) / 255);
      }
    }
  }
}

export function gatherRow(
  picture: Float32Array,
  stride: number,
  step: number,
  count: number,
  out: Float32Array,
): void {
  let to = 0;
  for (let i = 0; i < count; i++) {
    for (let row = 0; row < 3; row++) {
      const from = 3 * (row * stride + i * step);
      for (let k = 0; k < 9; k++) out[to++] = picture[from + k];
    }
  }
}

export function filterRow(
  picture: Float32Array,
  stride: number,
  step: number,
  channels: number,
  filters: Float32Array,
  count: number,
  out: Float32Array,
): void {
  for (let i = 0; i < count; i++) {
    for (let channel = 0; channel < channels; channel++) {
      let sum = 0;
      for (let k = 0; k < 9; k++) {
        const pixel = Math.trunc(k / 3) * stride + i * step + (k % 3);
        const seen = picture[pixel * channels + channel];
        sum = fround(sum + fround(seen * filters[k * channels + channel]));
      }
      out[i * channels + channel] = sum;
    }
  }
}

export function multiplyRow(
  row: Float32Array,
  count: number,
  given: number,
  weights: Float32Array,
  bias: Float32Array,
  slope: number,
  wanted: number,
  out: Float32Array,
): void {
  const steep = fround(slope);
  for (let i = 0; i < count; i++) {
    for (let column = 0; column < wanted; column++) {
      const beside = column % TOGETHER;
      const start = (column - beside) * given + beside;
      let sum = bias[column];
      for (let k = 0; k < given; k++)
        sum = fround(sum + fround(row[i * given + k] * weights[start + k * TOGETHER]));
      out[i * wanted + column] = Math.max(sum, fround(sum * steep));
    }
  }
}

export function poolRow(
  first: Float32Array,
  second: Float32Array,
  count: number,
  channels: number,
  step: number,
  out: Float32Array,
): void {
  let to = 0;
  for (let i = 0; i < count; i += step) {
    const beside = i + 1 < count ? channels : 0;
    for (let k = i * channels; k < (i + 1) * channels; k++)
      out[to++] = Math.max(first[k], first[k + beside], second[k], second[k + beside]);
  }
}

export function addRow(sum: Float32Array, row: Float32Array, n: number, out: Float32Array): void {
  for (let i = 0; i < n; i++) {
    sum[i] = fround(sum[i] + row[i]);
    out[i] = Math.max(sum[i], 0);
  }
}
