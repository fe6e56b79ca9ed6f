import { gaussianBlur } from './blur.js';
import { downsampled, type Field } from './field.js';

/** The direction along the picture's edges and lines, a unit vector for each pixel of its grid. */
export interface TangentFlow {
  readonly width: number;
  readonly height: number;
  readonly x: Float32Array;
  readonly y: Float32Array;
  /** How many pixels of the picture one pixel of this grid covers, each way. */
  readonly factor: number;
}

/**
 * The way lines run, smoothed so that neighbours agree: the minor eigenvector of the blurred structure tensor.
 *
 * J. E. Kyprianidis & J. Döllner, Image abstraction by structure adaptive filtering, Theory and Practice of
 * Computer Graphics, 2008. Directions change slowly, so a coarser grid is enough.
 *
 * @param sigma over how many pixels of `field` directions are averaged
 * @param factor how much coarser the grid is than `field`
 */
export function edgeTangentFlow(field: Field, sigma: number, factor: number): TangentFlow {
  const small = downsampled(field, factor);
  const { width, height } = small;
  const [xx, xy, yy] = structureTensor(small).map(
    (part) => gaussianBlur(part, sigma / factor).data,
  );
  const x = new Float32Array(width * height);
  const y = new Float32Array(width * height);
  for (let i = 0; i < x.length; i++) {
    const angle = 0.5 * Math.atan2(2 * xy[i], xx[i] - yy[i]);
    x[i] = -Math.sin(angle);
    y[i] = Math.cos(angle);
  }
  return { width, height, x, y, factor };
}

function structureTensor({ width, height, data }: Field): [Field, Field, Field] {
  const empty = (): Field => ({ width, height, data: new Float32Array(width * height) });
  const [xx, xy, yy] = [empty(), empty(), empty()];
  for (let row = 0; row < height; row++) {
    const above = Math.max(row - 1, 0) * width;
    const below = Math.min(row + 1, height - 1) * width;
    for (let column = 0; column < width; column++) {
      const i = row * width + column;
      const across = data[column < width - 1 ? i + 1 : i] - data[column > 0 ? i - 1 : i];
      const down = data[below + column] - data[above + column];
      xx.data[i] = across * across;
      xy.data[i] = across * down;
      yy.data[i] = down * down;
    }
  }
  return [xx, xy, yy];
}

/**
 * Pixels from one sample to the next along a line: a third fewer samples than one a pixel, and a weighted mean of many
 * hardly differs.
 */
const STRIDE = 1.5;

/**
 * Blurs along the flow only: lines that are broken close, and texture across the flow stays sharp.
 *
 * H. Kang, S. Lee & C. K. Chui, Coherent line drawing, Non-Photorealistic Animation and Rendering, 2007.
 *
 * @param sigma in pixels along the line; samples are taken to 2 σ on either side
 */
export function blurAlong(field: Field, flow: TangentFlow, sigma: number): Field {
  return blurBothAlong(field, field, flow, sigma)[0];
}

/** `blurAlong` of two fields of one size, in little more time than of one: the lines are followed once. */
export function blurBothAlong(
  { width, height, data }: Field,
  other: Field,
  flow: TangentFlow,
  sigma: number,
): [Field, Field] {
  const weights = Float64Array.from({ length: Math.ceil((2 * sigma) / STRIDE) }, (_, step) =>
    Math.exp(-(((step + 1) * STRIDE) ** 2) / (2 * sigma ** 2)),
  );
  const scale = 1 / flow.factor;
  const first = new Float32Array(width * height);
  const second = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const i = row * width + column;
      const here = Math.floor(row * scale) * flow.width + Math.floor(column * scale);
      let sum = data[i];
      let otherSum = other.data[i];
      let total = 1;
      for (let side = -1; side <= 1; side += 2) {
        let x = column + 0.5;
        let y = row + 0.5;
        let towardsX = flow.x[here] * side;
        let towardsY = flow.y[here] * side;
        for (let step = 0; step < weights.length; step++) {
          x += STRIDE * towardsX;
          y += STRIDE * towardsY;
          if (x < 0 || y < 0 || x >= width || y >= height) break;
          const there = Math.floor(y) * width + Math.floor(x);
          sum += weights[step] * data[there];
          otherSum += weights[step] * other.data[there];
          total += weights[step];
          const at = Math.floor(y * scale) * flow.width + Math.floor(x * scale);
          // A line has no front end: keep on the way we came.
          const onward = flow.x[at] * towardsX + flow.y[at] * towardsY < 0 ? -1 : 1;
          towardsX = flow.x[at] * onward;
          towardsY = flow.y[at] * onward;
        }
      }
      first[i] = sum / total;
      second[i] = otherSum / total;
    }
  }
  return [
    { width, height, data: first },
    { width, height, data: second },
  ];
}
