/**
 * What becomes of the suite's pictures at 4 × 4 in, each in a row: how well its contours are kept, what there is to cut,
 * its bridges, the stubs beside them, how much of a symmetric picture's print is off its image, by all that its dark and
 * light was found to be symmetric by, and how much of a line drawing's strokes is kept. `npm run pictures`; `npm run pictures bicycle moth` for some of them; with `--sheet=FILE` the
 * pictures and their prints are drawn side by side, and with `--before=FOLDER` those of another checkout between them.
 */
import { basename, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import sharp, { type OverlayOptions } from 'sharp';
import { halfCovered } from '../../src/geometry/coverage.js';
import { imageOf, type Isometry, type SymmetryPattern } from '../../src/geometry/fold-pattern.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { completeJob, createPipeline } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { lineDrawings, type LineDrawing } from '../support/line-drawings.js';
import { photographFile, photographs, sampleFiles } from '../support/photographs.js';
import { scenes } from '../support/scenes.js';
import { symmetricDrawings } from '../support/symmetric-drawings.js';
import { skeletonEnds } from '../support/skeleton-ends.js';
import { shareKept } from '../support/strokes-kept.js';

const { values: given, positionals: words } = parseArgs({
  allowPositionals: true,
  options: { sheet: { type: 'string' }, before: { type: 'string' } },
});

interface Source {
  readonly name: string;
  readonly kind: 'drawing' | 'symmetric drawing' | 'scene' | 'photograph or sample';
  readonly picture: () => Promise<string | Buffer>;
  readonly drawing?: LineDrawing;
}

const sources: readonly Source[] = [
  ...lineDrawings.map((drawing) => ({
    name: drawing.name,
    kind: 'drawing' as const,
    picture: () => Promise.resolve(Buffer.from(drawing.svg)),
    drawing,
  })),
  ...symmetricDrawings.map(({ name, svg }) => ({
    name,
    kind: 'symmetric drawing' as const,
    picture: () => Promise.resolve(Buffer.from(svg)),
  })),
  ...scenes.map(({ name, png }) => ({ name, kind: 'scene' as const, picture: png })),
  ...[...photographs.map(photographFile), ...sampleFiles].map((file, k) => ({
    name: photographs[k] ?? basename(file),
    kind: 'photograph or sample' as const,
    picture: () => Promise.resolve(file),
  })),
];

interface Row {
  readonly f: number;
  readonly recall: number;
  readonly lengthMm: number;
  readonly bridges: readonly number[];
  readonly stubs: number;
  /** The largest share of the print that lies off one of its images; undefined where the tone itself is not symmetric. */
  readonly asymmetry: number | undefined;
  readonly kept: number | undefined;
  readonly broken: number;
  readonly tone: string;
  readonly print: Bitmap;
}

async function rowOf({ drawing }: Source, picture: string | Buffer): Promise<Row> {
  const { values } = await createPipeline().run(picture, completeJob({}));
  const { read, tone, role, fold, frame, likeness, check, bridge } = values;
  const { pixelsPerMm } = read;
  const { width, height } = role.wanted;
  const print = halfCovered(frame.openings, width, height, pixelsPerMm);
  const ends = (of: Bitmap): number => skeletonEnds(of).length;
  return {
    f: likeness!.f,
    recall: likeness!.recall,
    lengthMm: check.openings.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    bridges: bridge.bridges.map(({ from, to }) => Math.hypot(to.x - from.x, to.y - from.y)),
    stubs: Math.max(0, ends(print) - ends(role.wanted)),
    asymmetry: fold.symmetry && offImages(frame.openings, print, fold.symmetry, pixelsPerMm),
    kept: drawing && shareKept(drawing, print, read.pictureBox, pixelsPerMm),
    broken: check.findings.filter(({ level }) => level === 'error').length,
    tone: tone.chosen?.tone === 'mixed' ? `mixed ${tone.chosen.masses}` : tone.mode,
    print,
  };
}

/** The largest share of a print that lies off its image by one of a pattern's isometries. */
function offImages(
  openings: readonly Shape[],
  { width, height, data }: Bitmap,
  { copies }: SymmetryPattern,
  pixelsPerMm: number,
): number {
  const all = data.reduce((sum, value) => sum + value, 0);
  const shares = copies.slice(1).map((to) => {
    const image = halfCovered(openings.map((shape) => movedShape(shape, to)), width, height, pixelsPerMm); // prettier-ignore
    return data.reduce((sum, value, i) => sum + (value & (1 - image.data[i])), 0) / all;
  });
  return Math.max(0, ...shares);
}

function movedShape({ outer, holes }: Shape, to: Isometry): Shape {
  const moved = (outline: Outline): Outline => {
    const coords = outline.coords.slice();
    for (let i = 0; i < coords.length; i += 2) {
      const { x, y } = imageOf(to, { x: outline.coords[i], y: outline.coords[i + 1] });
      [coords[i], coords[i + 1]] = [x, y];
    }
    return { ...outline, coords };
  };
  return { outer: moved(outer), holes: holes.map(moved) };
}

const CELL = 220;

const cellOf = (bitmap: Bitmap): Promise<Buffer> =>
  sharp(Buffer.from(bitmap.data.map((value) => 255 - 235 * value)), {
    raw: { width: bitmap.width, height: bitmap.height, channels: 1 },
  })
    .resize(CELL, CELL, { fit: 'contain', background: '#fff' })
    .toColourspace('srgb')
    .png()
    .toBuffer();

async function printBefore(folder: string, picture: string | Buffer): Promise<Bitmap> {
  const at = (file: string): string => pathToFileURL(resolve(folder, file)).href;
  const door = (await import(at('src/index.ts'))) as typeof import('../../src/index.js');
  const { values } = await door.createPipeline().run(picture, door.completeJob({}));
  const { width, height } = values.role.wanted;
  return halfCovered(values.frame.openings, width, height, values.read.pixelsPerMm);
}

const COLUMNS = 3;

async function draw(file: string, rows: readonly (readonly Buffer[])[]): Promise<void> {
  const wide = rows[0].length * CELL + 24;
  const cells = rows.flatMap((row, k): OverlayOptions[] =>
    row.map((input, i) => ({
      input,
      left: (k % COLUMNS) * wide + i * CELL,
      top: Math.floor(k / COLUMNS) * (CELL + 10),
    })),
  );
  const height = Math.ceil(rows.length / COLUMNS) * (CELL + 10) - 10;
  await sharp({ create: { width: COLUMNS * wide - 24, height, channels: 3, background: '#fff' } })
    .composite(cells)
    .greyscale()
    .png({ palette: true, colours: 16, compressionLevel: 9 })
    .toFile(file);
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
const two = (value: number | undefined): string => (value === undefined ? '' : value.toFixed(2));
const say = (name: string, cells: readonly string[]): void =>
  console.log([name.padEnd(27), ...cells.map((cell) => cell.padStart(8))].join(' '));
const longest = (bridges: readonly number[]): number => Math.max(0, ...bridges);
const LONG_MM = 8;

const wanted = sources.filter(
  ({ name }) => words.length === 0 || words.some((word) => name.includes(word)),
);
say('', ['F', 'recall', 'mm', 'bridges', 'longest', 'over 8', 'stubs', 'off', 'strokes', 'broken']); // prettier-ignore
const rows: { readonly source: Source; readonly row: Row }[] = [];
const drawn: Buffer[][] = [];
for (const source of wanted) {
  const picture = await source.picture();
  const row = await rowOf(source, picture);
  rows.push({ source, row });
  say(source.name, [
    two(row.f),
    two(row.recall),
    row.lengthMm.toFixed(0),
    `${row.bridges.length}`,
    row.bridges.length > 0 ? longest(row.bridges).toFixed(1) : '',
    `${row.bridges.filter((length) => length > LONG_MM).length}`,
    `${row.stubs}`,
    two(row.asymmetry),
    two(row.kept),
    `${row.broken}`,
    ` ${row.tone}`,
  ]);
  if (given.sheet === undefined) continue;
  const shown = await sharp(picture, { density: 250 })
    .rotate()
    .flatten({ background: '#fff' })
    .resize(CELL, CELL, { fit: 'contain', background: '#fff' })
    .png()
    .toBuffer();
  const before = given.before === undefined ? [] : [await cellOf(await printBefore(given.before, picture))]; // prettier-ignore
  drawn.push([shown, ...before, await cellOf(row.print)]);
}
for (const kind of new Set(rows.map(({ source }) => source.kind))) {
  const all = rows.filter(({ source }) => source.kind === kind).map(({ row }) => row);
  const bridges = all.flatMap((row) => [...row.bridges]);
  const known = (of: (row: Row) => number | undefined): number[] =>
    all.map(of).filter((value) => value !== undefined);
  say(`${kind}s, mean`, [
    two(mean(all.map(({ f }) => f))),
    two(mean(all.map(({ recall }) => recall))),
    mean(all.map(({ lengthMm }) => lengthMm)).toFixed(0),
    mean(all.map((row) => row.bridges.length)).toFixed(1),
    longest(bridges).toFixed(1),
    `${((100 * bridges.filter((length) => length > LONG_MM).length) / Math.max(1, bridges.length)).toFixed(1)} %`,
    mean(all.map(({ stubs }) => stubs)).toFixed(1),
    two(mean(known(({ asymmetry }) => asymmetry))),
    kind === 'drawing' ? two(mean(known(({ kept }) => kept))) : '',
    `${all.filter(({ broken }) => broken > 0).length}`,
  ]);
}
if (given.sheet !== undefined) await draw(given.sheet, drawn);
