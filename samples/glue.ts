/**
 * Draws the picture of the guide's passage on lines of glue again: `npx tsx samples/glue.ts`.
 *
 * glue.png shows three of the samples, each with the strokes to follow, the card sprayed round the glue and the print.
 */
import { createPipeline, completeJob, makeStencil, type JobInput } from '../src/index.js';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';

const SIDE = 300;
const GAP = 18;
const PAGE = '#fbf9f5';
const JOB: JobInput = { as: 'glue-line', card: '8x8in' };

const ROWS = [
  { file: 'doodles/flower.svg', paint: '#30543b' },
  { file: 'doodles/elise.svg', paint: '#5b3557', card: '8x5in', glueUse: 'print-with' },
  { file: 'nana.jpg', paint: '#1f3a4d' },
] as const;

const parts: { input: Buffer; left: number; top: number }[] = [];
let top = GAP;
for (const { file, ...own } of ROWS) {
  const path = fileURLToPath(new URL(file, import.meta.url));
  const job = completeJob({ ...JOB, ...own });
  const made = await makeStencil(path, job, {
    name: 'glue',
    outputs: ['preview', 'strokes'],
    pipeline: createPipeline(),
  });
  const svg = String(made.files.get('strokes.svg'));
  const beads = svg.replace('stroke="#1d1d1f"', 'stroke="#d6d6dc"');
  const middles = svg
    .replace('stroke="#1d1d1f"', 'stroke="#1c1c1e"')
    .replace(/stroke-width="[\d.]+" stroke-linecap/, 'stroke-width="0.7" stroke-linecap');
  const [under, over] = await Promise.all(
    [beads, middles].map((text) =>
      sharp(Buffer.from(text)).resize({ width: SIDE }).png().toBuffer(),
    ),
  );
  const { height } = await sharp(under).metadata();
  const lines = await sharp(under)
    .flatten({ background: '#fff' })
    .composite([{ input: over }])
    .png()
    .toBuffer();
  const preview = await sharp(Buffer.from(made.files.get('preview.png') as Uint8Array))
    .resize({ height })
    .png()
    .toBuffer();
  parts.push({ input: lines, left: GAP, top }, { input: preview, left: 2 * GAP + SIDE, top });
  top += height + GAP;
}
const width = 3 * SIDE + 4 * GAP;
await sharp({ create: { width, height: top, channels: 3, background: PAGE } })
  .composite(parts)
  .png({ palette: true, quality: 90 })
  .toFile(fileURLToPath(new URL('glue.png', import.meta.url)));
