/**
 * Draws the picture of folded sheets in the README again: `npx tsx samples/folded.ts`.
 *
 * Four sheets as the README's commands make them, opened, as they print. What it shows is made here and now by the
 * library.
 */
import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { completeJob, makeStencil, type JobInput } from '../src/index.js';

/** In pixels of the PNG. */
const SIDE = 300;
const GAP = 8;

const sheets: readonly (readonly [file: string, given: JobInput, wide: number, which: 0 | 1])[] = [
  ['star.svg', { fold: 'eighth' }, SIDE, 0],
  ['fern-border.svg', { fold: 'quarter', foldPicture: 'whole' }, SIDE, 0],
  ['hen.jpg', { fold: 'eighth', subject: 'find' }, SIDE, 0],
  ['dancer.svg', { fold: 'to-and-fro', as: 'mask', card: '9x4in' }, 3 * SIDE + 2 * GAP, 1],
];

/** One of the two prints of a sheet: through it, or round what fell out. */
async function printed([file, given, wide, which]: (typeof sheets)[number]): Promise<Buffer> {
  const path = fileURLToPath(new URL(file, import.meta.url));
  const made = await makeStencil(path, completeJob(given), { name: file, outputs: ['preview'] });
  const preview = sharp(made.files.get('preview.png'));
  const { width, height } = await preview.metadata();
  const { widthMm, heightMm } = made.run.values.read.sheet;
  const own = Math.floor((height * widthMm) / heightMm);
  const left = which === 0 ? 0 : width - own;
  return preview
    .extract({ left, top: 0, width: own, height })
    .resize({ width: wide })
    .png()
    .toBuffer();
}

const panels: Buffer[] = [];
for (const sheet of sheets) panels.push(await printed(sheet));
const { height: low } = await sharp(panels[3]).metadata();
const page = sharp({
  create: { width: 3 * SIDE + 2 * GAP, height: SIDE + GAP + low, channels: 3, background: '#bbb' },
});
const picture = page.composite(
  panels.map((input, i) =>
    i < 3 ? { input, left: i * (SIDE + GAP), top: 0 } : { input, left: 0, top: SIDE + GAP },
  ),
);
await writeFile(
  new URL('folded.png', import.meta.url),
  await picture.png({ palette: true, colours: 32 }).toBuffer(),
);
