import { upsampled, type Field } from '../../raster/field.js';
import type { Gray } from '../../raster/raster.js';

/** The side of the squares that are looked at, in px: the rim is soft, so a coarse grid does for it. */
const CELL_PX = 4;

/**
 * How much film lies within about half a millimetre of each pixel, 0 none to 1 all.
 *
 * @param covered the openings' share of each pixel, 0 to 255, at about 10 px a mm
 */
export function nearFilm(covered: Gray): Field {
  const near = filmByCell(covered);
  const soft = smoothedDown(smoothedAlong(near));
  return upsampled(soft, CELL_PX, covered.width, covered.height);
}

/** The share of film in each square of `CELL_PX` px; those that reach over the edge have film there. */
function filmByCell({ width, height, data }: Gray): Field {
  const columns = Math.ceil(width / CELL_PX);
  const rows = Math.ceil(height / CELL_PX);
  const film = new Float32Array(columns * rows).fill(1);
  const part = 1 / (255 * CELL_PX ** 2);
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / CELL_PX) * columns;
    for (let column = 0, i = y * width; column < columns; column++) {
      const end = Math.min((column + 1) * CELL_PX, width) + y * width;
      let paint = 0;
      while (i < end) paint += data[i++];
      film[row + column] -= paint * part;
    }
  }
  return { width: columns, height: rows, data: film };
}

/** The binomial filter 1 2 1 along the rows; at the ends of a row its last value goes on. */
function smoothedAlong({ width, height, data }: Field): Field {
  const smooth = new Float32Array(data.length);
  for (let start = 0; start < data.length; start += width) {
    for (let x = 0; x < width; x++) {
      const before = data[start + Math.max(x - 1, 0)];
      const after = data[start + Math.min(x + 1, width - 1)];
      smooth[start + x] = (before + 2 * data[start + x] + after) / 4;
    }
  }
  return { width, height, data: smooth };
}

function smoothedDown({ width, height, data }: Field): Field {
  const smooth = new Float32Array(data.length);
  for (let y = 0, i = 0; y < height; y++) {
    const above = Math.max(y - 1, 0) * width;
    const below = Math.min(y + 1, height - 1) * width;
    for (let x = 0; x < width; x++, i++) {
      smooth[i] = (data[above + x] + 2 * data[i] + data[below + x]) / 4;
    }
  }
  return { width, height, data: smooth };
}
