/** Boxes sorted into the square cells of a grid, to find those near a place. */
export interface BoxIndex {
  /** Calls `visit` with the number of each box that may touch the given one; with one box perhaps more than once. */
  near(minX: number, minY: number, maxX: number, maxY: number, visit: (item: number) => void): void;
}

/**
 * @param boxes minX, minY, maxX, maxY of each box
 * @param cell the side of a cell, in the unit of the boxes; about the size of a usual box is best
 */
export function boxIndex(boxes: Float64Array, cell: number): BoxIndex {
  const bounds = boxRoundAll(boxes);
  const columns = Math.floor((bounds.maxX - bounds.minX) / cell) + 1;
  const rows = Math.floor((bounds.maxY - bounds.minY) / cell) + 1;
  const clamp = (value: number, count: number): number =>
    Math.max(0, Math.min(count - 1, Math.floor(value / cell)));
  const eachCell = (
    minX: number,
    minY: number,
    maxX: number,
    maxY: number,
    visit: (cellNumber: number) => void,
  ): void => {
    const left = clamp(minX - bounds.minX, columns);
    const right = clamp(maxX - bounds.minX, columns);
    const bottom = clamp(maxY - bounds.minY, rows);
    for (let row = clamp(minY - bounds.minY, rows); row <= bottom; row++) {
      for (let column = left; column <= right; column++) visit(row * columns + column);
    }
  };
  const eachBox = (visit: (item: number, cellNumber: number) => void): void => {
    for (let i = 0, item = 0; i < boxes.length; i += 4, item++) {
      eachCell(boxes[i], boxes[i + 1], boxes[i + 2], boxes[i + 3], (at) => visit(item, at));
    }
  };
  const starts = new Int32Array(columns * rows + 1);
  eachBox((_, at) => starts[at + 1]++);
  for (let at = 0; at < columns * rows; at++) starts[at + 1] += starts[at];
  const items = new Int32Array(starts[columns * rows]);
  const next = starts.slice();
  eachBox((item, at) => (items[next[at]++] = item));
  return {
    near: (minX, minY, maxX, maxY, visit) =>
      eachCell(minX, minY, maxX, maxY, (at) => {
        for (let k = starts[at]; k < starts[at + 1]; k++) visit(items[k]);
      }),
  };
}

function boxRoundAll(boxes: Float64Array): {
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
} {
  if (boxes.length === 0) return { minX: 0, minY: 0, maxX: 0, maxY: 0 };
  const bounds = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (let i = 0; i < boxes.length; i += 4) {
    bounds.minX = Math.min(bounds.minX, boxes[i]);
    bounds.minY = Math.min(bounds.minY, boxes[i + 1]);
    bounds.maxX = Math.max(bounds.maxX, boxes[i + 2]);
    bounds.maxY = Math.max(bounds.maxY, boxes[i + 3]);
  }
  return bounds;
}
