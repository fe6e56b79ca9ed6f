import type { Bitmap } from './raster.js';

/**
 * One closed border between opening and film, along the edges of the pixels.
 *
 * `points` are the pixel corners it passes, x and y by turns, one step apart, the first not repeated. What the
 * border encloses lies on its left hand as seen on the page (y down): openings inside an outer border, film inside
 * a hole's.
 */
export interface Border {
  readonly points: Int32Array;
  /** Index of the outer border whose opening this border is a hole of; -1 for an outer border. */
  readonly parent: number;
  /** Pixels enclosed. */
  readonly area: number;
}

/**
 * Follows every border of a bitmap: openings 8-connected, film 4-connected, film beyond the edge.
 *
 * A hole is found from its topmost left pixel; the border last crossed on that row is either its parent or a
 * sibling of it.
 *
 * After Suzuki & Abe, "Topological structural analysis of digitized binary images by border following", CVGIP 30 (1985),
 * whose rule for parents it is; they follow border pixels, this follows the edges between pixels.
 */
export function followBorders(bitmap: Bitmap): Border[] {
  const { width, height, data } = bitmap;
  const owner = new Int32Array((width + 1) * height); // border of the crack left of each pixel, from 1; 0 is none
  const borders: Border[] = [];
  for (let y = 0; y < height; y++) {
    let last = 0;
    let before = 0;
    for (let x = 0; x <= width; x++) {
      const here = x < width ? data[y * width + x] : 0;
      if (here === before) continue;
      before = here;
      const crack = y * (width + 1) + x;
      if (owner[crack] === 0) {
        const parent = here === 1 ? -1 : parentFrom(borders, last - 1);
        borders.push(follow(bitmap, owner, x, y, borders.length + 1, parent));
      }
      last = owner[crack];
    }
  }
  return borders;
}

function parentFrom(borders: readonly Border[], crossed: number): number {
  const { parent } = borders[crossed];
  return parent === -1 ? crossed : parent;
}

/** Walks one border from the crack left of pixel (x, y), downward first. */
function follow(
  { width, height, data }: Bitmap,
  owner: Int32Array,
  startX: number,
  startY: number,
  id: number,
  parent: number,
): Border {
  const hole = parent !== -1;
  const inside = (px: number, py: number): boolean => {
    const open = px >= 0 && py >= 0 && px < width && py < height && data[py * width + px] === 1;
    return open !== hole;
  };
  const points: number[] = [];
  let x = startX;
  let y = startY;
  let dx = 0;
  let dy = 1;
  let area = 0;
  do {
    points.push(x, y);
    if (dy !== 0) owner[(dy > 0 ? y : y - 1) * (width + 1) + x] = id;
    x += dx;
    y += dy;
    area -= x * dy;
    const left = inside(x + (dx + dy - 1) / 2, y + (dy - dx - 1) / 2);
    const right = inside(x + (dx - dy - 1) / 2, y + (dy + dx - 1) / 2);
    // Where two openings touch by a corner the border goes on round both; film is parted there.
    const turnRight = right && (left || !hole);
    const turnLeft = !left && !turnRight;
    if (turnRight) [dx, dy] = [-dy, dx];
    else if (turnLeft) [dx, dy] = [dy, -dx];
  } while (x !== startX || y !== startY || dx !== 0 || dy !== 1);
  return { points: Int32Array.from(points), parent, area };
}
