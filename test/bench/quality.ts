/**
 * `npm run quality`: how good the bridges are, in numbers. Takes some minutes.
 *
 * - one tie an island, wherever it is shortest: the total length beside the Euclidean minimum spanning tree;
 * - weighed by what the picture loses: the damage beside that of the shortest ties, and the length that it costs;
 * - as they are by default: how many, how long, what share of the card;
 * - letters of plain typefaces beside what the designers of their stencil siblings did.
 */
import { basename } from 'node:path';
import { leastLength } from '../support/bounds/least-length.js';
import { rasterise } from '../../src/geometry/rasterise.js';
import {
  completeJob,
  createPipeline,
  type Bridged,
  type JobInput,
  type StencilRun,
} from '../../src/index.js';
import type { Shape } from '../../src/geometry/shape.js';
import { saliencyAt, saliencyOf } from '../../src/raster/saliency.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { trace } from '../../src/stages/trace/trace.js';
import { enlarged, handwritten } from '../support/digits.js';
import { letterBitmap, letterSvg, typeface } from '../support/glyphs.js';
import { components, holes, inverse } from '../support/opencv.js';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';
import { drawStencil } from '../support/stencil-drawing.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { gapsOf } from './gap.js';

const SHORTEST: JobInput = { bridgeAmount: 'fewer', spareFeatures: false };
const SPARING: JobInput = { bridgeAmount: 'fewer' };

interface Measured {
  readonly islands: number;
  readonly bridges: number;
  readonly lengthMm: number;
  readonly leastMm: number;
  /** Area of opening lost, each place as it matters, in mm². */
  readonly damage: number;
  readonly shareChanged: number;
}

/** The total length of bridges, in mm, measured as the least length is: from film to film along their middle lines. */
function lengthOf({ bridges }: Bridged, shapes: readonly Shape[]): number {
  const gap = gapsOf(shapes);
  return bridges.reduce((sum, { from, to }) => sum + gap(from, to), 0);
}

function measure({ values }: StencilRun, given: JobInput): Measured {
  const { read, ease } = values;
  const { gray, pictureBox, pixelsPerMm } = read;
  const bridged = bridge(ease, read, completeJob({ card: '4x4in', ...given }));
  const importance = saliencyOf(gray, pictureBox, pixelsPerMm);
  const before = rasterise(ease.shapes, gray.width, gray.height, pixelsPerMm).data;
  const after = rasterise(bridged.openings, gray.width, gray.height, pixelsPerMm).data;
  let damage = 0;
  for (let i = 0; i < before.length; i++) {
    if (before[i] === 0 || after[i] === 1) continue;
    damage += saliencyAt(importance, i % gray.width, Math.floor(i / gray.width));
  }
  return {
    islands: bridged.islands,
    bridges: bridged.bridges.length,
    lengthMm: lengthOf(bridged, ease.shapes),
    leastMm: leastLength(bridged.laidOver),
    damage: damage / pixelsPerMm ** 2,
    shareChanged: bridged.shareChanged,
  };
}

interface Row {
  readonly name: string;
  readonly isPhotograph: boolean;
  readonly shortest: Measured;
  readonly sparing: Measured;
  readonly usual: Measured;
}

async function pictures(): Promise<Row[]> {
  const files = [
    ...photographs.map((name) => [name, photographFile(name), true] as const),
    ...sampleFiles.map((file) => [basename(file), file, false] as const),
  ];
  const rows: Row[] = [];
  for (const [name, file, isPhotograph] of files) {
    const run = await createPipeline().run(file, completeJob({ card: '4x4in' }));
    const [shortest, sparing, usual] = [SHORTEST, SPARING, {}].map((given) => measure(run, given));
    rows.push({ name, isPhotograph, shortest, sparing, usual });
  }
  return rows;
}

const sum = (rows: readonly Row[], value: (row: Row) => number): number =>
  rows.reduce((total, row) => total + value(row), 0);

function printPictures(rows: readonly Row[]): void {
  console.log('Pictures at 4 × 4 in, hot tip; lengths in mm, damage in mm² weighed by importance');
  console.log(
    '                           islands   one tie each:   least  ratio | weighed: damage  length | by default: bridges  length  % of card',
  );
  for (const { name, shortest, sparing, usual } of rows) {
    if (shortest.islands === 0) continue;
    console.log(
      `${name.padEnd(26)} ${String(shortest.islands).padStart(7)} ${shortest.lengthMm.toFixed(1).padStart(15)} ${shortest.leastMm.toFixed(1).padStart(7)} ${(shortest.lengthMm / shortest.leastMm).toFixed(3).padStart(6)} |` +
        ` ${shortest.damage.toFixed(1).padStart(6)} → ${sparing.damage.toFixed(1).padStart(6)} ${sparing.lengthMm.toFixed(1).padStart(7)} |` +
        ` ${String(usual.bridges).padStart(19)} ${usual.lengthMm.toFixed(1).padStart(7)} ${(100 * usual.shareChanged).toFixed(2).padStart(10)}`,
    );
  }
}

function digits(each: number): { readonly length: number; readonly least: number } {
  const sheet = { widthMm: 56, heightMm: 56 };
  const job = completeJob({ card: '56x56mm', margin: 2, ...SHORTEST });
  let length = 0;
  let least = 0;
  for (let digit = 0; digit < 10; digit++) {
    for (const bitmap of handwritten(digit, each)) {
      const { shapes } = trace(enlarged(bitmap, 10), 5);
      if (shapes.every(({ holes }) => holes.length === 0)) continue;
      const bridged = bridge({ shapes }, { sheet, pixelsPerMm: 5 }, job);
      length += lengthOf(bridged, shapes);
      least += leastLength(bridged.laidOver);
    }
  }
  return { length, least };
}

/** Plain faces and their stencil siblings, under the SIL Open Font License, on npm as `@fontsource/*`. */
const SIBLINGS = [
  ['allerta', 'allerta-stencil'],
  ['big-shoulders-display 700', 'big-shoulders-stencil-display 700'],
  ['saira 800', 'saira-stencil-one'],
] as const;
const LETTERS = 'ABDOPQRabdegopq04689';

async function printTypefaces(): Promise<void> {
  console.log('\nLetters with counters, of plain faces, beside their stencil siblings');
  console.log(
    '                              counters   designers: bridges a counter   ours   one film region: theirs  ours',
  );
  for (const [plain, stencil] of SIBLINGS) {
    const [face, sibling] = [typeface(plain), typeface(stencil)];
    const total = { counters: 0, theirs: 0, ours: 0, letters: 0, theirWhole: 0, ourWhole: 0 };
    for (const letter of LETTERS) {
      const [before, theirs] = [letterBitmap(face, letter), letterBitmap(sibling, letter)];
      const counters = holes(before);
      if (counters === 0) continue;
      const cuts = cutsBetween(before, theirs);
      const run = await createPipeline().run(
        Buffer.from(letterSvg(face, letter)),
        completeJob({ card: '40x40mm', margin: 4, tone: 'level' }),
      );
      const { openings, bridges } = run.values.bridge;
      const drawn = drawStencil(stencilSvg(openings, run.values.read.sheet)).bitmap;
      total.counters += counters;
      total.theirs += cuts;
      total.ours += bridges.length;
      total.letters++;
      total.theirWhole += Number(holes(theirs) === 0);
      total.ourWhole += Number(components(inverse(drawn), 4).count === 1);
    }
    const { counters, letters } = total;
    console.log(
      `${`${plain} / ${stencil}`.padEnd(60)} ${String(counters).padStart(4)} ${(total.theirs / counters).toFixed(2).padStart(8)} ${(total.ours / counters).toFixed(2).padStart(8)} ${((100 * total.theirWhole) / letters).toFixed(0).padStart(6)} % ${((100 * total.ourWhole) / letters).toFixed(0).padStart(4)} %`,
    );
  }
}

/** Every cut takes a hole away or makes a piece more: Euler's number of the letter tells how many there are. */
function cutsBetween(
  plain: Parameters<typeof holes>[0],
  stencil: Parameters<typeof holes>[0],
): number {
  const pieces = components(stencil, 8).count - components(plain, 8).count;
  return pieces + holes(plain) - holes(stencil);
}

const rows = await pictures();
printPictures(rows);
const drawn = digits(100);
const length = sum(rows, ({ shortest }) => shortest.lengthMm) + drawn.length;
const least = sum(rows, ({ shortest }) => shortest.leastMm) + drawn.least;
console.log(
  `1,000 handwritten digits: ${drawn.length.toFixed(0)} mm, least ${drawn.least.toFixed(0)} mm, ratio ${(drawn.length / drawn.least).toFixed(3)}`,
);
console.log(
  `All, one tie an island, unweighed: ${(length / least).toFixed(3)} × the least length (at most 1.05 is wanted)`,
);
const photos = rows.filter(({ isPhotograph }) => isPhotograph);
const harm =
  sum(photos, ({ sparing }) => sparing.damage) / sum(photos, ({ shortest }) => shortest.damage);
const longer =
  sum(photos, ({ sparing }) => sparing.lengthMm) / sum(photos, ({ shortest }) => shortest.lengthMm);
console.log(
  `Photographs, weighed: ${harm.toFixed(3)} × the damage of the shortest ties (at most 0.8 is wanted), at ${longer.toFixed(3)} × their length`,
);
await printTypefaces();
