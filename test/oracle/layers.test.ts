import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  completeLayers,
  completeLettering,
  completeSheets,
  makeLayers,
  makeWordLayers,
  type JobInput,
  type LayersMade,
} from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { components } from '../support/opencv.js';
import { photographFile } from '../support/photographs.js';
import {
  brokenPromises,
  drawStencil,
  PIXELS_PER_MM,
  type Drawing,
} from '../support/stencil-drawing.js';

/*
 * Sets of layers, drawn by an independent renderer (resvg, by SVG 2) and measured by a computer-vision library
 * (OpenCV): all promises on all sheets, the register marks at the same places, and no card between two layers.
 */

const sample = (name: string): string =>
  fileURLToPath(new URL(`../../samples/${name}`, import.meta.url));

async function make(
  picture: string,
  settings: JobInput,
  { words, ...layers }: Readonly<Record<string, unknown>>,
): Promise<LayersMade> {
  const job = completeJob({ card: '60x60mm', registerMarks: true, ...settings });
  const origin = { where: 'test', spell: (name: string) => name };
  const options = { name: 'set', outputs: ['stencil'] } as const;
  if (typeof words !== 'string')
    return makeLayers(picture, job, completeLayers(layers, origin), options);
  const set = completeLettering({ picture, face: 'display' }, origin);
  return makeWordLayers({ words: [words], set }, completeSheets(layers, origin), job, options);
}

const made = new Map<string, Promise<LayersMade>>();

/** What `make` gives, made once for all tests that look at it. */
function madeOnce(...given: Parameters<typeof make>): Promise<LayersMade> {
  const key = JSON.stringify(given);
  const known = made.get(key) ?? make(...given);
  made.set(key, known);
  return known;
}

const drawings = new WeakMap<LayersMade, Drawing[]>();

/** The sheets of a set, each drawn once for all tests that look at it. */
function drawn(set: LayersMade): Drawing[] {
  const known =
    drawings.get(set) ??
    set.layers.map(({ made }) => drawStencil(made.files.get('stencil.svg') as string));
  drawings.set(set, known);
  return known;
}

/** The middles of the openings that lie in the margin as a whole, in mm. */
function marksOf(bitmap: Bitmap, marginMm: number): (readonly [number, number])[] {
  const { labels, areas, count } = components(bitmap, 8);
  const sums = Array.from({ length: count + 1 }, () => [0, 0, 0]);
  const margin = marginMm * PIXELS_PER_MM;
  for (let i = 0; i < labels.length; i++) {
    const [x, y] = [i % bitmap.width, Math.floor(i / bitmap.width)];
    const inside =
      x >= margin && y >= margin && x < bitmap.width - margin && y < bitmap.height - margin;
    const sum = sums[labels[i]];
    sum[0] += x + 0.5;
    sum[1] += y + 0.5;
    sum[2] += inside ? 1 : 0;
  }
  return sums
    .map(([x, y, inside], k) => [x / areas[k], y / areas[k], inside] as const)
    .filter(([, , inside], k) => k > 0 && inside === 0)
    .map(([x, y]) => [x / PIXELS_PER_MM, y / PIXELS_PER_MM] as const);
}

/** Card that comes to show between two layers, in mm², when the upper one is laid 0.5 mm off, in the worst direction. */
function gap(lower: Bitmap, upper: Bitmap): number {
  const { width, height } = lower;
  const off = 0.5 * PIXELS_PER_MM;
  const at = ({ data }: Bitmap, x: number, y: number): number =>
    x < 0 || y < 0 || x >= width || y >= height ? 0 : data[y * width + x];
  const onUpper: number[] = [];
  upper.data.forEach((value, i) => {
    if (value === 1 && lower.data[i] === 0) onUpper.push(i);
  });
  const gaps = Array.from({ length: 8 }, (_, k) => {
    const [dx, dy] = [Math.cos((k * Math.PI) / 4), Math.sin((k * Math.PI) / 4)];
    let between = 0;
    for (const i of onUpper) {
      const [x, y] = [i % width, Math.floor(i / width)];
      // Laid off along (dx, dy), the upper layer leaves a place where it was, between itself and the lower one.
      if (at(upper, Math.round(x - off * dx), Math.round(y - off * dy)) === 1) continue;
      if (at(lower, Math.round(x - 1.2 * off * dx), Math.round(y - 1.2 * off * dy)) === 1)
        between++;
    }
    return between / PIXELS_PER_MM ** 2;
  });
  return Math.max(...gaps);
}

const sets: readonly [string, string, JobInput, Readonly<Record<string, unknown>>][] = [
  ['nana, 3 nested', sample('nana.jpg'), {}, { count: '3' }],
  ['acanthus, 4 separate, knife', photographFile('acanthus-mollis'), { tool: 'craft-knife' }, { count: '4', laid: 'separate' }], // prettier-ignore
  ['nana and her name, 2 nested and an outline', sample('nana.jpg'), { card: '80x80mm' }, { words: 'Ida', layers: '2', under: 'outline' }], // prettier-ignore
];

describe('a set of layers', () => {
  it.each(sets)('%s: keeps every promise on every sheet', async (_, picture, settings, layers) => {
    const set = await madeOnce(picture, settings, layers);
    const sheet = set.layers[0].made.run.values.read.sheet;
    const { job } = set.layers[0].made;
    const drawings = drawn(set);
    for (const [k, drawing] of drawings.entries()) {
      const broken = brokenPromises(drawing, sheet, job).filter(({ code }) => code !== 'in-margin');
      expect(broken, `layer ${k + 1}`).toEqual([]);
      expect(set.layers[k].made.good).toBe(true);
    }
    expect(set.good).toBe(true);

    const marks = drawings.map(({ bitmap }) => marksOf(bitmap, job.margin));
    const away = job.margin / 2;
    const { widthMm, heightMm } = sheet;
    const wanted = [[away, away], [widthMm - away, away], [away, heightMm - away]]; // prettier-ignore
    for (const found of marks) {
      expect(found).toHaveLength(3);
      for (const [x, y] of wanted) {
        expect(Math.min(...found.map(([u, v]) => Math.hypot(u - x, v - y)))).toBeLessThan(0.05);
      }
      expect(found).toEqual(marks[0]);
    }
  });

  it.each(sets)('%s: covers as it says', async (_, picture, settings, layers) => {
    const set = await madeOnce(picture, settings, layers);
    const drawings = drawn(set).map(({ bitmap }) => withoutMarks(bitmap, set));
    const nested = layers.laid !== 'separate';
    for (let k = 1; k < drawings.length; k++) {
      const [lower, upper] = [drawings[k - 1], drawings[k]];
      const all = upper.data.reduce((sum, value) => sum + value, 0);
      const on = upper.data.reduce((sum, value, i) => sum + (value & lower.data[i]), 0);
      expect(on / all).toBeCloseTo(set.layers[k].onLayerBefore ?? NaN, 1.7);
      if (nested) expect(on / all).toBeGreaterThan(0.95);
      // A thousandth of the card in all: at the ends of bridges, where a layer's rim is cut off.
      const most = (0.001 * lower.data.length) / PIXELS_PER_MM ** 2;
      expect(gap(lower, upper), `under layer ${k + 1}`).toBeLessThan(most);
    }
  });

  it('without an overlap would show card: the measure finds it', async () => {
    const set = await madeOnce(sample('nana.jpg'), {}, { count: '3', laid: 'separate' });
    const [, lower, upper] = drawn(set).map(({ bitmap }) => bitmap);
    const cut = { ...lower, data: lower.data.map((value, i) => value & (1 - upper.data[i])) };
    expect(gap(cut, upper)).toBeGreaterThan((0.005 * cut.data.length) / PIXELS_PER_MM ** 2);
  });
});

function withoutMarks({ width, height, data }: Bitmap, { layers }: LayersMade): Bitmap {
  const margin = layers[0].made.job.margin * PIXELS_PER_MM - 1;
  return {
    width,
    height,
    data: data.map((value, i) => {
      const [x, y] = [i % width, Math.floor(i / width)];
      return x < margin || y < margin || x >= width - margin || y >= height - margin ? 0 : value;
    }),
  };
}
