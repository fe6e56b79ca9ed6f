import { gaussianBlur } from './blur.js';
import { upsampled, type Field } from './field.js';

/**
 * How light the bare paper is at every pixel of a picture of a page: what is left when everything dark and
 * narrower than 2 · `reach` blocks is closed.
 *
 * Each block gives its lightest value; a closing by a square fills the dark marks (J. Serra, Image analysis
 * and mathematical morphology, 1982), a blur takes away the steps. Beyond the border the picture goes on by
 * the slope that it has there, so that a page that falls into shadow is followed to its very edge.
 *
 * @param block pixels each way that give one value
 * @param reach blocks from the middle of the closing square to its edge
 */
export function paperOf(field: Field, block: number, reach: number): Field {
  const lightest = blockMaxima(field, block);
  const pad = 2 * reach;
  const wide = sloped(sloped(lightest, pad, 'columns'), pad, 'rows');
  const closed = slid(slid(wide, reach, Math.max), reach, Math.min);
  const smooth = gaussianBlur(closed, reach / 2);
  return upsampled(inside(smooth, pad, lightest), block, field.width, field.height);
}

/** The picture as it would be in even light: each value's share of the paper's, 0 to 255 for bare paper. */
export function flattened(field: Field, paper: Field): Field {
  const data = field.data.map((value, i) =>
    Math.min(255, (255 * Math.max(value, 0)) / Math.max(paper.data[i], 1)),
  );
  return { width: field.width, height: field.height, data };
}

/** The lightest value of each block of `block` × `block` pixels. */
export function blockMaxima(field: Field, block: number): Field {
  const width = Math.ceil(field.width / block);
  const height = Math.ceil(field.height / block);
  const data = new Float32Array(width * height);
  const column = Int32Array.from({ length: field.width }, (_, x) => Math.floor(x / block));
  for (let y = 0; y < field.height; y++) {
    const row = Math.floor(y / block) * width;
    for (let x = 0; x < field.width; x++) {
      const at = row + column[x];
      data[at] = Math.max(data[at], field.data[y * field.width + x]);
    }
  }
  return { width, height, data };
}

/** The field with `pad` more values at both ends of its rows or columns, turned about the last one: 2 f(0) − f(i). */
function sloped(field: Field, pad: number, of: 'rows' | 'columns'): Field {
  const lines = of === 'rows' ? field.height : field.width;
  const length = of === 'rows' ? field.width : field.height;
  const longer = length + 2 * pad;
  const [width, height] = of === 'rows' ? [longer, lines] : [lines, longer];
  const data = new Float32Array(width * height);
  const place = (line: number, i: number, stride: number) =>
    of === 'rows' ? line * stride + i : i * stride + line;
  for (let line = 0; line < lines; line++) {
    for (let i = 0; i < longer; i++) {
      const edge = Math.min(Math.max(i - pad, 0), length - 1);
      const mirror = Math.min(Math.max(2 * edge - (i - pad), 0), length - 1);
      const here = field.data[place(line, mirror, field.width)];
      const value = edge === i - pad ? here : 2 * field.data[place(line, edge, field.width)] - here;
      data[place(line, i, width)] = value;
    }
  }
  return { width, height, data };
}

/** The largest or smallest value in the square round each. */
function slid(field: Field, reach: number, pick: (a: number, b: number) => number): Field {
  const { width, height } = field;
  const rows = new Float32Array(width * height);
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const last = Math.min(x + reach, width - 1);
      let value = field.data[y * width + x];
      for (let i = Math.max(x - reach, 0); i <= last; i++)
        value = pick(value, field.data[y * width + i]);
      rows[y * width + x] = value;
    }
  }
  for (let y = 0; y < height; y++) {
    const last = Math.min(y + reach, height - 1);
    for (let x = 0; x < width; x++) {
      let value = rows[y * width + x];
      for (let i = Math.max(y - reach, 0); i <= last; i++) value = pick(value, rows[i * width + x]);
      data[y * width + x] = value;
    }
  }
  return { width, height, data };
}

function inside(field: Field, pad: number, { width, height }: Field): Field {
  const data = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const start = (y + pad) * field.width + pad;
    data.set(field.data.subarray(start, start + width), y * width);
  }
  return { width, height, data };
}
