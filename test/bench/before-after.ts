import { fileURLToPath } from 'node:url';
import sharp, { type OverlayOptions } from 'sharp';
import { completeJob, makeStencil } from '../../src/index.js';
import { photographFile, sampleFiles } from '../support/photographs.js';

/** The contributors' guide's picture. */
export const beforeAfterFile = fileURLToPath(
  new URL('../../docs/before-after.png', import.meta.url),
);

/** Portrait, animals, house and plants: our own samples, and photographs that are in the public domain (CC0). */
const SHOWN: readonly string[] = [
  ...sampleFiles.filter((file) => /(nana|hen)\.jpg$/.test(file)),
  photographFile('dust-bowl-home'),
  photographFile('allium-oreophilum'),
  photographFile('acanthus-mollis'),
  photographFile('locomotion-house-cat'),
  photographFile('march-pastoral'),
];
const TONES = ['auto', 'edges', 'best'] as const;
const CELL = 200;
const GAP = 6;

/** Draws each picture, and beside it its prints by one level, by the plain edges tone, and by default. */
export async function drawBeforeAfter(): Promise<void> {
  const cells: OverlayOptions[] = [];
  for (const [row, file] of SHOWN.entries()) {
    for (const [column, input] of (await rowOf(file)).entries()) {
      cells.push({ input, left: column * (CELL + GAP), top: row * (CELL + GAP) });
    }
  }
  const create = {
    width: (TONES.length + 1) * (CELL + GAP) - GAP,
    height: SHOWN.length * (CELL + GAP) - GAP,
    channels: 3 as const,
    background: '#ffffff',
  };
  await sharp({ create })
    .composite(cells)
    .greyscale()
    .png({ palette: true, colours: 16, compressionLevel: 9 })
    .toFile(beforeAfterFile);
}

async function rowOf(file: string): Promise<Buffer[]> {
  const prints: Buffer[] = [];
  for (const tone of TONES) {
    const { files } = await makeStencil(file, completeJob({ tone }), {
      name: 'print',
      outputs: ['preview'],
    });
    prints.push(await cell(Buffer.from(files.get('preview.png') as Uint8Array)));
  }
  return [await cell(file), ...prints];
}

const cell = (picture: string | Buffer): Promise<Buffer> =>
  sharp(picture)
    .resize(CELL, CELL, { fit: 'contain', background: '#ffffff' })
    .flatten({ background: '#ffffff' })
    .png()
    .toBuffer();
