/**
 * Draws the sample pictures again: `npx tsx samples/draw.ts [part of a name …] [--quick]`.
 * The two photographs take a minute or two each; `--quick` computes them coarsely, to look at while changing them.
 */
import { writeFile } from 'node:fs/promises';
import { boathouse } from './draw/boathouse.js';
import { dancerFigure } from './draw/dancer.js';
import { fern } from './draw/fern.js';
import { hen } from './draw/hen.js';
import { leafMotif } from './draw/leaf.js';
import { moth } from './draw/moth.js';
import { nana } from './draw/nana.js';
import { iceStar } from './draw/star.js';

const quick = process.argv.includes('--quick');
const wanted = process.argv.slice(2).filter((word) => !word.startsWith('--'));
for (const { file, draw } of [moth, boathouse, fern, leafMotif, iceStar, dancerFigure, nana, hen]) {
  if (wanted.length && !wanted.some((part) => file.includes(part))) continue;
  const bytes = await draw(quick ? 0.25 : undefined);
  await writeFile(new URL(file, import.meta.url), bytes);
  console.log(`${file}: ${Math.round(bytes.length / 1000)} kB`);
}
