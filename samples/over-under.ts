/**
 * Draws the picture of the contributors' guide again: `npx tsx samples/over-under.ts`.
 *
 * A knot and a plait, as they are drawn, printed with the step that lets strands pass over and under, and printed
 * without it. What it shows is made here and now by the library.
 */
import { writeFile } from 'node:fs/promises';
import sharp from 'sharp';
import { completeJob, makeStencil, type JobInput } from '../src/index.js';
import { overhandKnot, plait } from '../test/support/strands.js';

/** In pixels of the PNG. */
const SIDE = 400;
const GAP = 8;

/** Lines in the shadow between strands, 0.4 mm wide, that stop short of the edges: the tone loses them. */
const FAINT = { width: 11, line: 0.4, short: 0.5, colour: '#6a6a6a' };
const USUAL: JobInput = { card: '4x4in', paint: '#1f3a4d' };

async function printed(drawing: string, name: string, given: JobInput): Promise<Buffer> {
  const job = completeJob({ ...USUAL, ...given });
  const { files } = await makeStencil(Buffer.from(drawing), job, { name, outputs: ['preview'] });
  const preview = files.get('preview.png');
  if (preview === undefined) throw new Error(`There is no preview of ${name}`);
  return sharp(preview).resize(SIDE, SIDE).toBuffer();
}

const rows = [overhandKnot(FAINT), plait(FAINT)];
const panels = await Promise.all(
  rows.flatMap((drawing, row) => [
    sharp(Buffer.from(drawing)).resize(SIDE, SIDE).png().toBuffer(),
    printed(drawing, `with ${row}`, {}),
    printed(drawing, `without ${row}`, { strands: 'never' }),
  ]),
);
const page = sharp({
  create: { width: 3 * SIDE + 2 * GAP, height: 2 * SIDE + GAP, channels: 3, background: '#bbb' },
});
const picture = page.composite(
  panels.map((input, i) => ({
    input,
    left: (i % 3) * (SIDE + GAP),
    top: Math.floor(i / 3) * (SIDE + GAP),
  })),
);
await writeFile(
  new URL('over-under.png', import.meta.url),
  await picture.png({ palette: true, colours: 96 }).toBuffer(),
);
