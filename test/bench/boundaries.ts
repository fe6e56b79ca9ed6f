/**
 * Which boundaries a picture has, by two rules: those of a level, judged a contrario (A. Desolneux, L. Moisan & J.-M. Morel, Edge
 * detection by Helmholtz principle, Journal of Mathematical Imaging and Vision 14(3), 2001), and those that lie on contours
 * (`src/raster/contours.ts`), as the tones have it. What is in a scene is drawn by us: each dark part that one level makes of it is
 * the thing, or invented. `npm run boundaries`.
 */
import { completeJob, createPipeline } from '../../src/index.js';
import { gaussianBlur } from '../../src/raster/blur.js';
import { contoursOf } from '../../src/raster/contours.js';
import { squaredDistance } from '../../src/raster/distance.js';
import { fieldOf, type Field } from '../../src/raster/field.js';
import { labelRegions } from '../../src/raster/labels.js';
import { lineDrawings } from '../support/line-drawings.js';
import { oneThing } from '../support/scenes.js';

/** The grid that tones are judged on, the blur before a slope is taken, and how far round a boundary its own ground goes: mm. */
const [GRID_MM, SIGMA_MM, GROUND_MM] = [0.3, 0.5, [1.5, 5]] as const;
/** Places on an outline so many σ apart are independent, as the paper has every second pixel. */
const APART = 2;
/** Of the contrasts along an outline the rule goes by the least, as the paper does, or by this share of them from below. */
const SHARES = [0, 0.25] as const;
/** What is smaller, in mm², is left out; what has this share of its outline on contours is a shape, and how near they are, in mm. */
const [LEAST_MM2, SUPPORTED, NEAR_MM] = [1, 0.5, 1] as const;

function slopes({ width, height, data }: Field): Float32Array {
  const slope = new Float32Array(data.length);
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < (y + 1) * width - 1; i++) {
      slope[i] = Math.hypot(data[i + 1] - data[i - 1], data[i + width] - data[i - width]);
    }
  }
  return slope;
}

/** The share of sorted values that are no less than one. */
function shareFrom(value: number, sorted: Float32Array): number {
  let [low, high] = [0, sorted.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return Math.max(1, sorted.length - low) / Math.max(1, sorted.length);
}

const rules = ['a contrario, least contrast', 'a contrario, quarter', 'a contrario in its ground, least', 'a contrario in its ground, quarter', 'on contours'] as const; // prettier-ignore
/** By rule: of the things, and of what is invented, how many it takes for shapes. */
const taken = rules.map(() => [0, 0]);
const all = [0, 0];

async function look(
  name: string,
  picture: Buffer,
  isThing: (x: number, y: number) => boolean,
): Promise<void> {
  const job = completeJob({ tone: 'auto' });
  const { read, tone } = await createPipeline().runFor(['read', 'tone'], picture, job);
  const factor = Math.round(GRID_MM * read.pixelsPerMm);
  const perMm = read.pixelsPerMm / factor;
  const field = fieldOf(read.gray, read.pictureBox, factor);
  const { width, height } = field;
  const slope = slopes(gaussianBlur(field, SIGMA_MM * perMm));
  const whole = slope.toSorted();
  const dark = fieldOf(tone.bitmap, read.pictureBox, factor).data;
  const bitmap = { width, height, data: Uint8Array.from(dark, (value) => (value > 0.5 ? 1 : 0)) };
  const contours = Uint8Array.from(contoursOf(field, perMm).weight, (weight) => (weight > 0 ? 1 : 0)); // prettier-ignore
  const away = squaredDistance({ width, height, data: contours }, 1);
  const { labels, areas, count } = labelRegions(bitmap, 1, 8);
  for (let number = 1; number <= count; number++) {
    if (areas[number] < LEAST_MM2 * perMm ** 2) continue;
    const outline: number[] = [];
    let [x, y] = [0, 0];
    for (let i = width; i < labels.length - width; i++) {
      if (labels[i] !== number) continue;
      x += (i % width) / areas[number];
      y += Math.floor(i / width) / areas[number];
      const near = [i - 1, i + 1, i - width, i + width];
      const isAtRim = i % width === 0 || i % width === width - 1;
      if (!isAtRim && near.some((other) => bitmap.data[other] === 0)) outline.push(i);
    }
    if (outline.length === 0) continue;
    const line = new Uint8Array(labels.length);
    for (const i of outline) line[i] = 1;
    const off = squaredDistance({ width, height, data: line }, 1);
    const [from, to] = GROUND_MM.map((mm) => (mm * perMm) ** 2);
    const ground = slope.filter((_, i) => off[i] > from && off[i] < to).sort();
    const contrasts = Float32Array.from(outline, (i) => slope[i]).sort();
    const independent = outline.length / (APART * SIGMA_MM * perMm);
    const meaningful = (sorted: Float32Array) =>
      SHARES.map((share) => {
        const contrast = contrasts[Math.floor(share * (contrasts.length - 1))];
        const log = (1 - share) * independent * Math.log10(shareFrom(contrast, sorted));
        return Math.log10(count) + log < 0;
      });
    const supported = outline.filter((i) => away[i] <= (NEAR_MM * perMm) ** 2).length;
    const found = [...meaningful(whole), ...meaningful(ground), supported >= SUPPORTED * outline.length]; // prettier-ignore
    const kind = isThing(x / width, y / height) ? 0 : 1;
    all[kind]++;
    found.forEach((is, rule) => (taken[rule][kind] += Number(is)));
  }
  console.log(name);
}

for (const { name, png, thing } of oneThing) {
  // Its edge is one, though not of the drawing.
  if (name.includes('table')) continue;
  const [left, top, right, bottom] = thing.map((px) => px / 900);
  await look(name, await png(), (x, y) => x > left && x < right && y > top && y < bottom);
}
for (const { name, svg } of lineDrawings) await look(name, Buffer.from(svg), () => true);
console.log(`\n${'taken for shapes'.padEnd(36)} of ${all[0]} things  of ${all[1]} invented`);
rules.forEach((rule, k) => console.log(rule.padEnd(36), String(taken[k][0]).padStart(9), String(taken[k][1]).padStart(14))); // prettier-ignore
