import sharp from 'sharp';
import {
  completeJob,
  createPipeline,
  type StencilRun,
  type StencilStage,
} from '../../src/index.js';
import { exponent, median } from './numbers.js';
import { openPhotograph } from './photo.js';

/** Tiles along a side: 1, 4 and 16 times the outline. */
const SIDES = [1, 2, 4];
const MARGIN_MM = 6;
const TILE_MM = 4 * 25.4 - 2 * MARGIN_MM;
const TILE_PX = TILE_MM * 10;

const MEASURED: readonly StencilStage[] = ['trace', 'ease', 'bridge', 'measure'];

interface Row {
  readonly points: number;
  readonly stages: readonly number[];
  readonly total: number;
}

/** Section 2: the time from trace on, when one picture is tiled on larger and larger cards. */
export async function printGrowth(times: number): Promise<void> {
  console.log(`2. From trace on, one picture tiled on larger cards; medians of ${times}`);
  console.log(
    `   tiles   points   ${MEASURED.map((name) => name.padStart(8)).join('')}    total ms`,
  );
  await measure(1, 1); // loads the code
  const rows: Row[] = [];
  for (const side of SIDES) {
    const row = await measure(side, times);
    rows.push(row);
    const cells = row.stages.map((ms) => ms.toFixed(0).padStart(8)).join('');
    console.log(
      `   ${String(side ** 2).padStart(5)} ${String(row.points).padStart(8)}   ${cells} ${row.total.toFixed(0).padStart(11)}`,
    );
  }
  const [first] = rows;
  const last = rows[rows.length - 1];
  const nLogN = (n: number): number => n * Math.log(n);
  const grew = last.total / first.total;
  const allowed = nLogN(last.points) / nLogN(first.points);
  const fitted = exponent(
    rows.map(({ points }) => points),
    rows.map(({ total }) => total),
  );
  console.log(
    `   time grew ${grew.toFixed(1)} ×; n log n would be ${allowed.toFixed(1)} ×   (${grew <= allowed ? 'kept' : 'NOT kept'})`,
  );
  console.log(`   fitted exponent of the points: ${fitted.toFixed(2)}\n`);
}

async function measure(side: number, times: number): Promise<Row> {
  const picture = await tiled(side);
  const cardMm = side * TILE_MM + 2 * MARGIN_MM;
  const job = completeJob({ card: `${cardMm}x${cardMm}mm`, margin: MARGIN_MM, tone: 'auto' });
  const runs: StencilRun[] = [];
  for (let i = 0; i < times; i++) runs.push(await createPipeline().run(picture, job));
  const stages = MEASURED.map((name) => median(runs.map(({ timingsMs }) => timingsMs[name])));
  const total = median(
    runs.map(({ timingsMs }) => MEASURED.reduce((sum, name) => sum + timingsMs[name], 0)),
  );
  return { points: outlinePoints(runs[0].values.trace.shapes), stages, total };
}

/** A square of an open photograph, mirrored from tile to tile so that no seam shows. */
async function tiled(side: number): Promise<Uint8Array> {
  const tile = await sharp(openPhotograph('nagasaki-boats'))
    .resize(TILE_PX, TILE_PX, { fit: 'cover' })
    .greyscale()
    .png()
    .toBuffer();
  const tiles = [];
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const input = await sharp(tile)
        .flip(y % 2 === 1)
        .flop(x % 2 === 1)
        .toBuffer();
      tiles.push({ input, left: x * TILE_PX, top: y * TILE_PX });
    }
  }
  const size = side * TILE_PX;
  return sharp({ create: { width: size, height: size, channels: 3, background: '#ffffff' } })
    .composite(tiles)
    .png({ compressionLevel: 1 })
    .toBuffer();
}

interface Outlined {
  readonly outer: { readonly straight: Uint8Array };
  readonly holes: readonly { readonly straight: Uint8Array }[];
}

function outlinePoints(shapes: readonly Outlined[]): number {
  return shapes
    .flatMap(({ outer, holes }) => [outer, ...holes])
    .reduce((sum, { straight }) => sum + straight.length, 0);
}
