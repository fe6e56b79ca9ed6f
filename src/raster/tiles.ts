import type { Box } from './raster.js';

/**
 * The side of a tile, in px: small enough to leave out what is the same, large enough that a tile is worth its
 * accounts.
 */
const SIDE = 32;

/** Which square tiles of a raster have been marked. */
export interface Tiles {
  readonly columns: number;
  readonly rows: number;
  /** One byte a tile, row by row: 1 where it is marked. */
  readonly marked: Uint8Array;
}

/** The tiles of a raster, none marked. */
export function tilesOf(width: number, height: number): Tiles {
  const columns = Math.ceil(width / SIDE);
  const rows = Math.ceil(height / SIDE);
  return { columns, rows, marked: new Uint8Array(columns * rows) };
}

/** The same tiles, to be marked apart. */
export function copyOf({ columns, rows, marked }: Tiles): Tiles {
  return { columns, rows, marked: marked.slice() };
}

/** The last column of pixels in the tile that a column lies in; the raster may end before it. */
export function lastInTile(x: number): number {
  return (Math.floor(x / SIDE) + 1) * SIDE - 1;
}

/** Marks every tile that a square of side 2 × `reach` round a pixel touches. Writes to the tiles. */
export function markAround(tiles: Tiles, x: number, y: number, reach: number): void {
  const left = Math.max(0, Math.floor((x - reach) / SIDE));
  const right = Math.min(tiles.columns - 1, Math.floor((x + reach) / SIDE));
  const top = Math.max(0, Math.floor((y - reach) / SIDE));
  const bottom = Math.min(tiles.rows - 1, Math.floor((y + reach) / SIDE));
  for (let row = top; row <= bottom; row++) {
    tiles.marked.fill(1, row * tiles.columns + left, row * tiles.columns + right + 1);
  }
}

/** True when the pixel's tile is marked. */
export function isMarked(tiles: Tiles, x: number, y: number): boolean {
  return tiles.marked[Math.floor(y / SIDE) * tiles.columns + Math.floor(x / SIDE)] === 1;
}

/** The tiles with their marks grown by `steps` tiles to all sides. */
export function grown({ columns, rows, marked }: Tiles, steps: number): Tiles {
  const more = new Uint8Array(marked.length);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (marked[row * columns + column] === 0) continue;
      const from = Math.max(0, column - steps);
      const to = Math.min(columns - 1, column + steps);
      for (let r = Math.max(0, row - steps); r <= Math.min(rows - 1, row + steps); r++) {
        more.fill(1, r * columns + from, r * columns + to + 1);
      }
    }
  }
  return { columns, rows, marked: more };
}

/** The boxes, in px, round each connected group of marked tiles; boxes that overlap are taken together. */
export function boxesRound(tiles: Tiles, width: number, height: number): Box[] {
  const boxes: Box[] = [];
  const seen = new Uint8Array(tiles.marked.length);
  for (let tile = 0; tile < seen.length; tile++) {
    if (tiles.marked[tile] === 0 || seen[tile] === 1) continue;
    boxes.push(groupBox(tiles, tile, seen, width, height));
  }
  return merged(boxes);
}

function groupBox(
  tiles: Tiles,
  start: number,
  seen: Uint8Array,
  width: number,
  height: number,
): Box {
  const { columns, rows, marked } = tiles;
  const group = [start];
  seen[start] = 1;
  let [left, right, top, bottom] = [columns, 0, rows, 0];
  for (let k = 0; k < group.length; k++) {
    const column = group[k] % columns;
    const row = Math.floor(group[k] / columns);
    left = Math.min(left, column);
    right = Math.max(right, column);
    top = Math.min(top, row);
    bottom = Math.max(bottom, row);
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
      for (let c = Math.max(0, column - 1); c <= Math.min(columns - 1, column + 1); c++) {
        const next = r * columns + c;
        if (marked[next] === 0 || seen[next] === 1) continue;
        seen[next] = 1;
        group.push(next);
      }
    }
  }
  const x = left * SIDE;
  const y = top * SIDE;
  return {
    x,
    y,
    width: Math.min(width, (right + 1) * SIDE) - x,
    height: Math.min(height, (bottom + 1) * SIDE) - y,
  };
}

function merged(boxes: readonly Box[]): Box[] {
  const apart: Box[] = [];
  for (let box of boxes) {
    for (let k = apart.length - 1; k >= 0; k--) {
      if (!overlap(apart[k], box)) continue;
      box = both(apart[k], box);
      apart.splice(k, 1);
      k = apart.length;
    }
    apart.push(box);
  }
  return apart;
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function both(a: Box, b: Box): Box {
  const x = Math.min(a.x, b.x);
  const y = Math.min(a.y, b.y);
  return {
    x,
    y,
    width: Math.max(a.x + a.width, b.x + b.width) - x,
    height: Math.max(a.y + a.height, b.y + b.height) - y,
  };
}
