/**
 * Draws words.png of the guide again, `npx tsx samples/words.ts`: prints of a name, a verse, a year in an arch and a
 * caption under a photograph, each made by the words that stand with it there.
 */
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { completeJob, completeLettering, makeWords } from '../src/index.js';

const here = (file: string): string => fileURLToPath(new URL(file, import.meta.url));

/** A print's height, and the gap between prints, in px. */
const HEIGHT = 320;
const GAP = 18;

const CASES = [
  { words: ['Margarethe'], set: { face: 'script' }, job: { card: '5x7in', turn: 'landscape' } },
  {
    words: ['and the sea', 'remembers', 'every boat'],
    set: { face: 'hand' },
    job: { card: '5x7in', turn: 'landscape' },
  },
  { words: ['1987'], set: { face: 'slab', along: 'arch' }, job: {} },
  {
    words: ['Nana, 1931'],
    set: { face: 'display', picture: here('nana.jpg') },
    job: { card: '5x7in', turn: 'portrait' },
  },
] as const;

const origin = { where: 'samples/words.ts', spell: (name: string) => name };
const prints: Buffer[] = [];
for (const { words, set, job } of CASES) {
  const made = await makeWords({ words, set: completeLettering(set, origin) }, completeJob(job), {
    name: words.join(' '),
    outputs: ['preview'],
  });
  const preview = made.files.get('preview.png');
  prints.push(await sharp(preview).resize({ height: HEIGHT }).blur(0.6).png().toBuffer());
}

let left = GAP;
const placed = [];
for (const input of prints) {
  const { width } = await sharp(input).metadata();
  placed.push({ input, left, top: GAP });
  left += width + GAP;
}
await sharp({
  create: { width: left, height: HEIGHT + 2 * GAP, channels: 3, background: '#d9d3c6' },
})
  .composite(placed)
  .png({ palette: true, colours: 24, dither: 0, effort: 10 })
  .toFile(here('words.png'));
