/**
 * Draws the README's picture of the printed pages again: `npx tsx samples/table.ts`.
 *
 * table.png shows pages as a printer gives them: a photo's template and plan, and a sheet of 9 × 12 in over two pages of
 * letter paper. The pages are drawn by pdftoppm of the poppler tools, which has to be installed.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { completeJob, makeStencil, type JobInput, type OutputName } from '../src/index.js';

const PAGE_HEIGHT = 560;
const DPI = 110;
const GAP = 26;
const EDGE = 34;
const ROUND = 24;
const TABLE = '#efe9dd';

const scratch = mkdtempSync(join(tmpdir(), 'table-'));
try {
  const face: JobInput = { fit: 'fill', crop: '4,18,92,74', paper: 'letter' };
  const large: JobInput = { card: '9x12in', fit: 'fill', smoothing: 0.7, paper: 'letter' };
  const upright = [
    ...(await pages('nana.jpg', face, 'template')),
    ...(await pages('nana.jpg', face, 'plan')),
  ];
  const lying = await pages('hen.jpg', large, 'template');
  await save([...upright, ...lying]);
} finally {
  rmSync(scratch, { recursive: true });
}

/** The pages of one file of a sample, as PNGs. */
async function pages(file: string, given: JobInput, output: OutputName): Promise<Buffer[]> {
  const name = file.replace(/\.\w+$/, '');
  const job = completeJob(given);
  const source = fileURLToPath(new URL(file, import.meta.url));
  const { files, good } = await makeStencil(source, job, { name, outputs: [output] });
  console.log(`${file}: ${good ? 'good' : 'NOT GOOD'}`);
  const pdf = join(scratch, `${name}-${output}.pdf`);
  writeFileSync(pdf, files.get(`${output}.pdf`)!);
  execFileSync('pdftoppm', ['-r', String(DPI), '-png', pdf, pdf]);
  return Array.from({ length: output === 'template' && name === 'hen' ? 2 : 1 }, (_, i) =>
    readFileSync(`${pdf}-${i + 1}.png`),
  );
}

/** Pages side by side on a table: the upright ones as high as two lying ones. */
async function save(all: readonly Buffer[]): Promise<void> {
  const [first, second, ...lying] = await Promise.all(
    all.map(async (png, i) => {
      const height = i < 2 ? PAGE_HEIGHT : (PAGE_HEIGHT - GAP) / 2;
      return sharp(png)
        .resize({ height: Math.round(height) })
        .png()
        .toBuffer({ resolveWithObject: true });
    }),
  );
  const placed: { readonly input: Buffer; readonly left: number; readonly top: number }[] = [];
  let left = EDGE;
  for (const { data, info } of [first, second]) {
    placed.push({ input: data, left, top: EDGE });
    left += info.width + GAP;
  }
  lying.forEach(({ data, info }, i) => {
    placed.push({ input: data, left, top: EDGE + i * (info.height + GAP) });
  });
  const width = left + lying[0].info.width + EDGE;
  const height = PAGE_HEIGHT + 2 * EDGE;
  const table = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><rect width="${width}" height="${height}" rx="${ROUND}" fill="${TABLE}"/></svg>`;
  const png = await sharp(Buffer.from(table))
    .composite(placed)
    .png({ palette: true, quality: 90, effort: 10, compressionLevel: 9 })
    .toBuffer();
  writeFileSync(fileURLToPath(new URL('table.png', import.meta.url)), png);
  console.log(`table.png: ${Math.round(png.length / 1000)} kB`);
}
