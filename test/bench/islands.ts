import { completeJob } from '../../src/index.js';
import type { Shape } from '../../src/geometry/shape.js';
import { circle, rectangle } from '../support/openings.js';
import { exponent, median } from './numbers.js';

/** The stage as built, as people run it: `npm run bench` builds it first. */
const built = new URL('../../dist/src/stages/bridge/bridge.js', import.meta.url).href;

const COUNTS = [10, 100, 1000];
/** The sheet of 9 × 12 in, its margin, and the room of an island in the fullest drawing, in mm. */
const SHEET = { widthMm: 228.6, heightMm: 304.8 };
const MARGIN_MM = 12;
const ROOM_MM = 7.5;
const MOST_MS = 1000;

/** Section 4: the time of the bridge stage with more and more islands on one sheet of 9 × 12 in. */
export async function printIslands(times: number): Promise<void> {
  const { bridge } = (await import(built)) as typeof import('../../src/stages/bridge/bridge.js');
  console.log(`4. Bridges on a sheet of 9 × 12 in, by the number of islands; medians of ${times}`);
  const job = completeJob({ card: '9x12in' });
  const rows = COUNTS.map((count) => {
    const shapes = drawing(count);
    const runs = Array.from({ length: times + 1 }, () => {
      const start = performance.now();
      const { bridges } = bridge({ shapes }, { sheet: SHEET, pixelsPerMm: 10 }, job);
      return { ms: performance.now() - start, bridges: bridges.length };
    });
    const ms = median(runs.slice(1).map((run) => run.ms));
    console.log(
      `   ${String(count).padStart(5)} islands ${String(runs[0].bridges).padStart(6)} bridges ${ms.toFixed(0).padStart(7)} ms`,
    );
    return { count, ms };
  });
  const last = rows[rows.length - 1];
  const fitted = exponent(
    rows.map(({ count }) => count),
    rows.map(({ ms }) => ms),
  );
  console.log(
    `   at most ${MOST_MS} ms are wanted at ${last.count}: ${last.ms <= MOST_MS ? 'kept' : 'NOT kept'}; fitted exponent ${fitted.toFixed(2)}\n`,
  );
}

/** Islands in rows, in openings of ten: some hang on the edge, some on each other. */
function drawing(count: number): Shape[] {
  const columns = Math.floor((SHEET.widthMm - 2 * MARGIN_MM) / ROOM_MM);
  const rows = new Map<number, [number, number][]>();
  for (let i = 0; i < count; i++) {
    const [row, column] = [Math.floor(i / columns), i % columns];
    const x = MARGIN_MM + (column + 0.5) * ROOM_MM;
    const y = MARGIN_MM + (row + 0.5) * ROOM_MM;
    rows.set(row, [...(rows.get(row) ?? []), [x, y]]);
  }
  return [...rows.values()].map((places) => {
    const [left, y] = places[0];
    const right = places[places.length - 1][0];
    const [x, width] = [left - 0.45 * ROOM_MM, right - left + 0.9 * ROOM_MM];
    return {
      outer: rectangle(x, y - 0.38 * ROOM_MM, width, 0.76 * ROOM_MM),
      holes: places.map(([cx, cy]) => circle(cx, cy, 1.3)),
    };
  });
}
