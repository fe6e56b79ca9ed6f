/**
 * What bridges leave beside them: ends of the openings' centrelines in the print beyond those in the tone, two of which
 * each bridge makes that cuts a line, and stubs among them, which jut out of another line by less than 2.5 mm beside a
 * bridge. `npm run stubs`; `npm run stubs bicycle mandala` for some of the pictures.
 */
import { writeFile } from 'node:fs/promises';
import { basename } from 'node:path';
import sharp from 'sharp';
import { halfCovered } from '../../src/geometry/coverage.js';
import { completeJob, createPipeline } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { bridge } from '../../src/stages/bridge/bridge.js';
import { lineDrawings } from '../support/line-drawings.js';
import { photographFile, sampleFiles } from '../support/photographs.js';
import { skeletonEnds, stubsAmong, type SkeletonEnd } from '../support/skeleton-ends.js';

const PHOTOGRAPHS = ['locomotion-house-cat', 'dust-bowl-home', 'march-pastoral'] as const;

const sources: readonly (readonly [name: string, source: string | Buffer])[] = [
  ...sampleFiles
    .filter((file) => /(boathouse-sketch|nana)\.jpg$|moth\.png$/.test(file))
    .map((file) => [basename(file), file] as const),
  ...lineDrawings.map(({ name, svg }) => [name, Buffer.from(svg)] as const),
  ...PHOTOGRAPHS.map((name) => [name, photographFile(name)] as const),
];

interface Counted {
  readonly tone: number;
  readonly print: number;
  readonly stubs: number;
  readonly bridges: number;
  readonly lengthMm: number;
  readonly broken: number;
  readonly ms: number;
}

async function counted(name: string, source: string | Buffer): Promise<Counted> {
  const job = completeJob({});
  const { values } = await createPipeline().run(source, job);
  const { read, role, ease, check } = values;
  const { pixelsPerMm } = read;
  const times: number[] = [];
  for (let i = 0; i < 3; i++) {
    const from = performance.now();
    bridge(ease, read, job);
    times.push(performance.now() - from);
  }
  const { openings, bridges } = values.bridge;
  const { width, height } = role.wanted;
  const print = halfCovered(openings, width, height, pixelsPerMm);
  const ends = skeletonEnds(print);
  const stubs = stubsAmong(ends, bridges, pixelsPerMm);
  if (pictures) await drawn(`${pictures}/${name.replaceAll(/\W+/g, '-')}.png`, print, stubs);
  return {
    tone: skeletonEnds(role.wanted).length,
    print: ends.length,
    stubs: stubs.length,
    bridges: bridges.length,
    lengthMm: bridges.reduce((sum, { from, to }) => sum + Math.hypot(to.x - from.x, to.y - from.y), 0), // prettier-ignore
    broken: check.findings.filter(({ level }) => level === 'error').length,
    ms: Math.min(...times),
  };
}

/** The print, with a ring round each stub. */
async function drawn(file: string, print: Bitmap, stubs: readonly SkeletonEnd[]): Promise<void> {
  const { width, height, data } = print;
  const gray = Buffer.from(data.map((opening) => 255 - 225 * opening));
  const rings = stubs.map(({ x, y }) => `<circle cx="${x}" cy="${y}" r="16"/>`).join('');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><g fill="none" stroke="#e00" stroke-width="2">${rings}</g></svg>`;
  const bytes = await sharp(gray, { raw: { width, height, channels: 1 } })
    .toColourspace('srgb')
    .png()
    .toBuffer();
  await writeFile(file, await sharp(bytes).composite([{ input: Buffer.from(svg) }]).png().toBuffer()); // prettier-ignore
}

const given = process.argv.slice(2);
/** A folder into which the prints are drawn, their stubs marked. */
const pictures = given.find((word) => word.startsWith('--pictures='))?.slice(11);
const words = given.filter((word) => !word.startsWith('--'));
const isWanted = (name: string): boolean =>
  words.length === 0 || words.some((word) => name.includes(word));

const row = (name: string, cells: readonly string[]): void =>
  console.log([name.padEnd(24), ...cells.map((cell) => cell.padStart(8))].join(' '));
const cellsOf = (c: Counted): string[] => [
  `${c.tone}`,
  `${c.print}`,
  `${c.print - c.tone}`,
  `${c.stubs}`,
  `${c.bridges}`,
  c.lengthMm.toFixed(1),
  `${c.broken}`,
  c.ms.toFixed(0),
];

row('', ['tone', 'print', 'more', 'stubs', 'bridges', 'mm', 'broken', 'ms']);
const all: Counted[] = [];
for (const [name, source] of sources.filter(([each]) => isWanted(each))) {
  const one = await counted(name, source);
  all.push(one);
  row(name, cellsOf(one));
}
const keys = ['tone', 'print', 'stubs', 'bridges', 'lengthMm', 'broken', 'ms'] as const;
const total = Object.fromEntries(
  keys.map((key) => [key, all.reduce((sum, one) => sum + one[key], 0)]),
) as unknown as Counted;
row('all', cellsOf(total));
