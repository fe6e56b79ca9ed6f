/**
 * The pairs of polygons that come closer to each other than `reachMm`, each pair once, lower number first.
 *
 * Points are set along the sides at most half a reach apart; what a pair is off by for that is less than a sixteenth of
 * the reach.
 *
 * @param polygons x, y pairs in mm, the first point not repeated
 */
export function closePairs(
  polygons: readonly Float64Array[],
  reachMm: number,
): (readonly [number, number])[] {
  const cells = new Map<number, number[]>();
  const samples = polygons.map((polygon) => samplesOn(polygon, reachMm / 2));
  const owner = samples.flatMap((points, i) => Array<number>(points.length / 2).fill(i));
  const all = samples.flat();
  const found = new Set<number>();
  for (let s = 0; s < owner.length; s++) {
    const [x, y] = [all[2 * s], all[2 * s + 1]];
    const column = Math.floor(x / reachMm);
    const row = Math.floor(y / reachMm);
    for (let r = row - 1; r <= row + 1; r++) {
      for (let c = column - 1; c <= column + 1; c++) {
        for (const t of cells.get(keyOf(c, r)) ?? []) {
          if (owner[t] === owner[s]) continue;
          if (Math.hypot(all[2 * t] - x, all[2 * t + 1] - y) >= reachMm) continue;
          found.add(owner[t] * polygons.length + owner[s]);
        }
      }
    }
    const key = keyOf(column, row);
    const cell = cells.get(key);
    if (cell) cell.push(s);
    else cells.set(key, [s]);
  }
  return [...found].map((pair) => [Math.floor(pair / polygons.length), pair % polygons.length]);
}

/** More columns than a sheet has of the narrowest reach: each cell has a number of its own. */
const MOST_COLUMNS = 65536;

const keyOf = (column: number, row: number): number => row * MOST_COLUMNS + column;

/** The polygon's points, and more between them where they are further apart than `mostMm`. */
function samplesOn(polygon: Float64Array, mostMm: number): number[] {
  const points: number[] = [];
  for (let i = 0; i < polygon.length; i += 2) {
    const j = (i + 2) % polygon.length;
    const [dx, dy] = [polygon[j] - polygon[i], polygon[j + 1] - polygon[i + 1]];
    const steps = Math.max(1, Math.ceil(Math.hypot(dx, dy) / mostMm));
    for (let k = 0; k < steps; k++)
      points.push(polygon[i] + (k / steps) * dx, polygon[i + 1] + (k / steps) * dy);
  }
  return points;
}
