/**
 * Sets every pixel whose centre lies within a radius of a place; returns how many had another value before.
 *
 * @param data one byte a pixel, row by row; written to
 * @param radius in px
 */
export function stampDisc(
  data: Uint8Array,
  width: number,
  height: number,
  x: number,
  y: number,
  radius: number,
  value: number,
): number {
  const top = Math.max(0, Math.ceil(y - radius));
  const bottom = Math.min(height - 1, Math.floor(y + radius));
  let changed = 0;
  for (let row = top; row <= bottom; row++) {
    const half = Math.sqrt(radius * radius - (row - y) * (row - y));
    const from = row * width + Math.max(0, Math.ceil(x - half));
    const to = row * width + Math.min(width - 1, Math.floor(x + half));
    for (let i = from; i <= to; i++) {
      if (data[i] === value) continue;
      data[i] = value;
      changed++;
    }
  }
  return changed;
}
