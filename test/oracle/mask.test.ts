import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { flatten } from '../../src/geometry/flatten.js';
import { completeJob, makeStencil, type Made, type OutputName } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { above } from '../support/bitmaps.js';
import { components, distancesToZero, inverse } from '../support/opencv.js';
import { photographFile } from '../support/photographs.js';
import { readPdf } from '../support/pdf.js';
import { paintedBy } from '../support/resvg.js';
import { errorsOf } from '../support/stencil-drawing.js';

/*
 * The promises, checked the other way round: a mask's stencil.svg drawn by resvg (SVG 2), labelled and measured by
 * OpenCV. All that is no opening is the mask.
 */

const PIXELS_PER_MM = 10;
const JUST_UNDER_MM = 0.1;
/** What one renderer's pixels and another's may differ by along a strip that is just wide enough. */
const GRID_PX = 0.5;
/** Beyond a slight waist a part of its own has at least this much that is wide enough, in mm². */
const PART_MM2 = 0.25;

const sample = (file: string): Buffer =>
  readFileSync(new URL(`../../samples/${file}`, import.meta.url));

async function makeMask(
  picture: Uint8Array,
  given: object = {},
  outputs: readonly OutputName[] = ['stencil'],
): Promise<Made> {
  return makeStencil(picture, completeJob({ as: 'mask', ...given }), { name: 'mask', outputs });
}

const known = new Map<string, Promise<Made>>();

/** The mask of a sample by the default settings, made once for all tests that look at it. */
function sampleMask(file: string): Promise<Made> {
  const made = known.get(file) ?? makeMask(sample(file), {}, ['stencil', 'template']);
  known.set(file, made);
  return made;
}

/** The whole sheet, 1 where it is cut away. */
function drawnMask(made: Made): Bitmap {
  const svg = String(made.files.get('stencil.svg')).replace(/ stroke="[^"]*"/g, '');
  return paintedBy(svg, PIXELS_PER_MM * 25.4);
}

/**
 * For each region of what is 1 that is anywhere as wide as that, by its label: the parts that it falls into where it is
 * narrower. One that is only just wide enough has none that is large.
 *
 * @param labels of the regions
 */
function parts(of: Bitmap, labels: Int32Array, widthMm: number): Map<number, Set<number>> {
  const radius = (widthMm / 2 - JUST_UNDER_MM) * PIXELS_PER_MM;
  const distances = distancesToZero(of);
  const cores = components(above(distances, of, radius), 8);
  const joined = components(above(distances, of, radius - GRID_PX), 8).labels;
  const found = new Map<number, Set<number>>();
  for (let i = 0; i < labels.length; i++) {
    const core = cores.labels[i];
    if (core === 0) continue;
    const known = found.get(labels[i]) ?? new Set();
    found.set(labels[i], known);
    if (cores.areas[core] >= PART_MM2 * PIXELS_PER_MM ** 2) known.add(joined[i]);
  }
  return found;
}

function faults(made: Made): string[] {
  const { job } = made;
  const gaps = drawnMask(made);
  const film = inverse(gaps);
  const { width, height } = gaps;
  const wrong = errorsOf(made.run).map(({ code, message }) => `report: ${code}: ${message}`);
  const pieces = components(film, 4);
  const large = [...pieces.areas].filter((area, label) => label > 0 && area > 5);
  if (large.length !== 1) wrong.push(`the film is ${large.length} pieces`);
  const cores = [...parts(film, pieces.labels, job.narrowestStrip).values()];
  const count = cores.reduce((sum, { size }) => sum + size, 0);
  if (count !== 1) wrong.push(`eroded it is ${count} pieces`);
  const openings = components(gaps, 8);
  const rooms = parts(gaps, openings.labels, job.narrowestOpening);
  for (let label = 1; label <= openings.count; label++) {
    const areaMm2 = openings.areas[label] / PIXELS_PER_MM ** 2;
    if (areaMm2 < 0.97 * job.smallestOpening) wrong.push(`a gap of ${areaMm2.toFixed(2)} mm²`);
    const inside = rooms.get(label);
    if (!inside) wrong.push(`a gap of ${areaMm2.toFixed(1)} mm², narrow all over`);
    else if (inside.size > 1) wrong.push(`a gap with a neck, ${inside.size} rooms`);
  }
  const least = (job.margin - 0.1) * PIXELS_PER_MM;
  const reaches = film.data.some((value, i) => {
    if (value === 0) return false;
    const [x, y] = [(i % width) + 0.5, Math.floor(i / width) + 0.5];
    return Math.min(x, y, width - x, height - y) < least;
  });
  if (reaches) wrong.push('it reaches into the margin');
  return wrong;
}

describe('a mask', () => {
  it.each(['moth.png', 'leaf.svg'])(
    'of %s is one piece that holds, cut clear of the margin, its gaps wide enough',
    async (file) => {
      expect(faults(await sampleMask(file))).toEqual([]);
    },
    60_000,
  );

  it.each(['locomotion-house-cat'] as const)(
    'of the open photograph %s likewise',
    async (name) => {
      const picture = readFileSync(photographFile(name));
      expect(faults(await makeMask(picture, { card: '80x80mm' }))).toEqual([]);
    },
    60_000,
  );

  it.each([
    ['with a craft knife', { tool: 'craft-knife', card: '60x60mm' }],
    ['on a page, filled', { card: '60x84mm', fit: 'fill' }],
    ['of the light parts', { swap: true, card: '60x60mm' }],
    [
      'of a repeated motif',
      { repeat: 'half-drop', motifSize: 30, motifEdge: 'bled', card: '80x80mm' },
    ],
  ])(
    '%s likewise',
    async (_what, given) => {
      expect(faults(await makeMask(sample('moth.png'), given))).toEqual([]);
    },
    60_000,
  );

  it('and what is cut away are the whole sheet', async () => {
    const made = await sampleMask('moth.png');
    const { sheet } = made.run.values.read;
    const cut = made.run.values.check.openings.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    const kept =
      inverse(drawnMask(made)).data.reduce((sum, value) => sum + value, 0) / PIXELS_PER_MM ** 2;
    expect((cut + kept) / (sheet.widthMm * sheet.heightMm)).toBeCloseTo(1, 3);
  });

  it('joins the parts that a stencil lets fall: two dots by one bridge as long as the gap', async () => {
    // Two dots of 20 mm, 12 mm apart, on a card of 80 × 60 mm; the shortest bridge is 12 mm.
    const dots = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="600" height="400"><rect width="600" height="400" fill="#fff"/><circle cx="140" cy="200" r="100"/><circle cx="460" cy="200" r="100"/></svg>',
    );
    // Each dot is heavier and longer than what may hang on one bridge; here they may.
    const given = { card: '80x60mm', tone: 'auto' };
    const made = await makeMask(dots, { ...given, twoTiesFrom: 10_000, tieEvery: 500 });
    expect(faults(made)).toEqual([]);
    const { bridges, islands, cuts } = made.run.values.frame;
    expect(islands).toBe(1);
    expect(bridges).toHaveLength(1);
    const [{ from, to }] = bridges;
    const scale = made.run.values.read.pictureBox.width / PIXELS_PER_MM / 600;
    expect(Math.hypot(to.x - from.x, to.y - from.y)).toBeCloseTo(120 * scale, 0);
    // One line to cut: round both dots and their bridge.
    expect(cuts).toHaveLength(1);
    expect(cuts[0].holes).toHaveLength(0);

    const held = await makeMask(dots, given);
    expect(faults(held)).toEqual([]);
    expect(held.run.values.frame.bridges).toHaveLength(2);
  });

  it('is one line to cut on the template, at true size, and says what to keep', async () => {
    const made = await sampleMask('fern-border.svg');
    const [page] = await readPdf(made.files.get('template.pdf') as Uint8Array);
    expect(page.text).toContain('mask: keep the grey piece');
    const xs = made.run.values.frame.cuts.flatMap(({ outer }) => [
      ...flatten(outer).filter((_, i) => i % 2 === 0),
    ]);
    const widthMm = Math.max(...xs) - Math.min(...xs);
    expect(page.drawn.some((one) => Math.abs(one.widthMm - widthMm) < 0.3)).toBe(true);
  });
});

describe('a mask that can’t be', () => {
  it.each([
    [
      'a margin with no room to cut round it',
      { margin: 3 },
      /A margin of 3 mm is too narrow to cut round a mask/,
    ],
  ])('%s is refused', (_what, given, words) => {
    expect(() => completeJob({ as: 'mask', ...given })).toThrow(words);
  });

  it('has nothing dark that is large enough', async () => {
    const speck = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300"><rect width="300" height="300" fill="#fff"/><circle cx="150" cy="150" r="5"/></svg>',
    );
    await expect(makeMask(speck, { tone: 'level' })).rejects.toThrow(
      /every dark part of the picture is smaller than you can cut/,
    );
  });
});
