/** Corners of a polygon in px, from the raster's top left; it closes by itself. */
export type Corners = readonly (readonly [x: number, y: number])[];

/** Sets a value at the pixels whose centre lies inside a polygon, by the even-odd rule. Writes to the data. */
export function fillPolygon(
  data: Uint8Array,
  width: number,
  corners: Corners,
  value: number,
): void {
  const height = data.length / width;
  for (let row = 0; row < height; row++) {
    const crossings = crossingsOf(corners, row + 0.5);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const first = clamped(Math.ceil(crossings[k] - 0.5), width);
      const end = clamped(Math.ceil(crossings[k + 1] - 0.5), width);
      data.fill(value, row * width + first, row * width + end);
    }
  }
}

/** Where a polygon's sides cross a height, from left to right. */
function crossingsOf(corners: Corners, y: number): number[] {
  const crossings: number[] = [];
  corners.forEach(([x1, y1], k) => {
    const [x2, y2] = corners[(k + 1) % corners.length];
    if (y1 > y !== y2 > y) crossings.push(x1 + ((y - y1) / (y2 - y1)) * (x2 - x1));
  });
  return crossings.sort((a, b) => a - b);
}

function clamped(column: number, width: number): number {
  return Math.min(Math.max(column, 0), width);
}
