import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { createPipeline } from '../../src/pipeline/pipeline.js';
import { completeJob, type JobInput } from '../../src/settings/job.js';
import { findRegions } from '../../src/raster/labels.js';
import { opened } from '../../src/raster/morphology.js';
import { linesTold } from '../../src/stages/check/lines.js';
import { widen } from '../../src/stages/widen/widen.js';
import { painted } from '../support/bitmaps.js';
import { hatch, lineDrawings, rings, type LineDrawing } from '../support/line-drawings.js';
import { shareKept, shareMassed } from '../support/strokes-kept.js';

/** A drawing as it is after its lines were made wide enough. */
async function widened(drawing: LineDrawing, job: JobInput) {
  const { read, widen } = await createPipeline().runFor(
    ['read', 'widen'],
    Buffer.from(drawing.svg),
    completeJob(job),
  );
  return { print: widen.bitmap, pictureBox: read.pictureBox, pixelsPerMm: read.pixelsPerMm };
}

async function keptOf(drawing: LineDrawing, job: JobInput): Promise<number> {
  const { print, pictureBox, pixelsPerMm } = await widened(drawing, job);
  return shareKept(drawing, print, pictureBox, pixelsPerMm);
}

const tools = ['hot-tip', 'craft-knife'] as const;

describe('lines side by side', () => {
  it.each(
    // `npm run strokes` tries all distances.
    tools.flatMap((tool) => [[tool, 0.5, 1.4] as const, [tool, 0.9, 2.1] as const]),
  )('are kept, with a %s: rings and hatches of %s mm, %s mm apart', async (tool, line, gap) => {
    expect(await keptOf(rings(line, gap), { tool, tone: 'auto' })).toBeGreaterThan(0.95);
    expect(await keptOf(hatch(line, gap), { tool, tone: 'auto' })).toBeGreaterThan(0.95);
  });

  it('are kept in drawings, and kept apart', async () => {
    const kept: number[] = [];
    const massed: number[] = [];
    for (const drawing of lineDrawings) {
      // Lines as they are drawn: the contest may take a tone that draws a hatching as a mass.
      const { print, pictureBox, pixelsPerMm } = await widened(drawing, { tone: 'auto' });
      kept.push(shareKept(drawing, print, pictureBox, pixelsPerMm));
      massed.push(shareMassed(drawing, print, pictureBox, pixelsPerMm));
    }
    const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length; // prettier-ignore
    expect(mean(kept)).toBeGreaterThan(0.95);
    expect(Math.min(...kept)).toBeGreaterThan(0.8);
    expect(mean(massed)).toBeLessThan(0.05);
  });
});

/** A picture of 1 px a tenth of a millimetre; at 896 px it fills a 4 × 4 in card inside its margin. */
async function pictureOf(isDark: (x: number, y: number) => boolean, side = 896): Promise<Buffer> {
  const { width, height, data } = painted(side, side, isDark);
  const gray = data.map((value) => 255 * (1 - value));
  return sharp(gray, { raw: { width, height, channels: 1 } })
    .png()
    .toBuffer();
}

describe('a pattern too fine for its card', () => {
  it.each([0.5, 2])(
    'is a stencil or a sentence that is true: a checkerboard of %s mm',
    async (mm) => {
      const board = await pictureOf((x, y) => {
        return (Math.floor(x / (10 * mm)) + Math.floor(y / (10 * mm))) % 2 === 0;
      }, 480);
      const { widen } = await createPipeline()
        .runFor(['widen'], board, completeJob({ card: '60x60mm' }))
        .catch((error: unknown) => {
          expect(String(error)).toContain('dark all over');
          return { widen: undefined };
        });
      if (mm >= 2) expect(widen).toBeDefined();
      if (widen) expect(findRegions(widen.bitmap, 1, 8).count).toBeGreaterThan(0);
    },
  );

  it('a spiral is merged turn by turn, and keeps its film between', async () => {
    const spiral = await pictureOf((x, y) => {
      const [dx, dy] = [x - 448, y - 448];
      const turns = Math.hypot(dx, dy) / 26 - Math.atan2(dy, dx) / (2 * Math.PI);
      return turns > 0.5 && turns < 15 && turns - Math.floor(turns) < 0.35;
    });
    const { widen } = await createPipeline().runFor(['widen'], spiral, completeJob({}));
    const { width, data } = widen.bitmap;
    const middle = data.subarray(508 * width, 509 * width);
    const strips = middle.filter((value, i) => value === 0 && middle[i - 1] === 1).length;
    // 15 turns on either side, two of them one.
    expect(strips).toBeGreaterThan(11);
    expect(strips).toBeLessThan(20);
  });
});

const SIZE = 600;
const PIXELS_PER_MM = 10;
const job = completeJob({});

describe('widen', () => {
  it('makes one ring of two that are too near for the film between them', () => {
    const two = painted(SIZE, SIZE, (x, y) => {
      const r = Math.hypot(x - 300, y - 300);
      return Math.abs(r - 150) < 3 || Math.abs(r - 170) < 3;
    });
    const { bitmap, linesMerged, linesLost } = widen(two, PIXELS_PER_MM, job);
    expect([linesMerged, linesLost]).toEqual([1, []]);
    expect(findRegions(bitmap, 1, 8).count).toBe(1);
    // Film inside and film outside.
    expect(findRegions(bitmap, 0, 4).count).toBe(2);
    const width = bitmap.data.subarray(300 * SIZE, 300 * SIZE + 300).reduce((sum, v) => sum + v, 0);
    expect(width).toBeGreaterThan(22);
    expect(width).toBeLessThan(30);
  });

  it.each([
    ['a field of lines', 24, 5, 8],
    ['a field of fine lines, dense', 10, 4, 10],
  ])('thins out %s: fewer stay, whole and apart', (_, pitch, line, count) => {
    const field = painted(
      SIZE,
      SIZE,
      (x, y) => y > 150 && y < 450 && x >= 100 && x < 484 && (x - 100) % pitch < line,
    );
    const { bitmap, linesMerged, linesThinned, linesLost } = widen(field, PIXELS_PER_MM, job);
    expect([linesMerged, linesLost]).toEqual([0, []]);
    const bars = findRegions(bitmap, 1, 8);
    expect(bars.count).toBe(count);
    expect(linesThinned).toBe(Math.ceil(384 / pitch) - count);
    for (let bar = 1; bar <= bars.count; bar++)
      expect(bars.bounds[4 * bar + 3] - bars.bounds[4 * bar + 1]).toBeGreaterThan(290);
  });

  it('leaves shapes alone that lie beside a line', () => {
    // A row of 10 × 3 mm, a millimetre above and below a bar.
    const row = painted(SIZE, SIZE, (x, y) => {
      if (x < 80 || x >= 520) return false;
      if (y >= 300 && y < 318) return true;
      return (x - 80) % 120 < 100 && ((y >= 260 && y < 290) || (y >= 328 && y < 358));
    });
    expect(widen(row, PIXELS_PER_MM, job).linesThinned).toBe(0);
  });

  it('leaves out no line that stands alone for most of its length: a stem beside two leaves', () => {
    const flower = painted(SIZE, SIZE, (x, y) => {
      const isAcross = (at: number): boolean => Math.abs(x - at) < 3.5;
      return (
        y < 500 && ((y > 100 && isAcross(324)) || (y > 380 && (isAcross(314) || isAcross(304))))
      );
    });
    const { bitmap } = widen(flower, PIXELS_PER_MM, job);
    for (let y = 120; y < 480; y += 20) {
      const row = bitmap.data.subarray(y * SIZE + 310, y * SIZE + 340);
      expect(row.includes(1)).toBe(true);
    }
  });

  it('thins out the turns of a spiral', () => {
    const spiral = painted(SIZE, SIZE, (x, y) => {
      const [dx, dy] = [x - 300, y - 300];
      const turns = (Math.hypot(dx, dy) - 60) / 28 - Math.atan2(dy, dx) / (2 * Math.PI);
      return turns > 0 && turns < 6 && turns - Math.floor(turns) < 0.36;
    });
    const { bitmap, linesThinned } = widen(spiral, PIXELS_PER_MM, job);
    expect(linesThinned).toBeGreaterThan(1);
    // No disk of 4 mm fits into what is left.
    expect(opened(bitmap, 20).data).not.toContain(1);
  });

  it('leaves lines alone that have room', () => {
    const far = painted(
      SIZE,
      SIZE,
      (x, y) => y > 150 && y < 450 && x > 100 && x < 500 && (x - 100) % 60 < 8,
    );
    expect(widen(far, PIXELS_PER_MM, job)).toMatchObject({
      linesMerged: 0,
      linesThinned: 0,
      linesLost: [],
    });
  });

  it('makes a line as wide as it has to be that is a pixel too thin for its whole length', () => {
    const line = painted(SIZE, SIZE, (x, y) => y > 150 && y < 450 && x >= 300 && x < 309);
    const { bitmap } = widen(line, PIXELS_PER_MM, completeJob({ tool: 'craft-knife' }));
    const width = bitmap.data.subarray(300 * SIZE, 301 * SIZE).reduce((sum, v) => sum + v, 0);
    expect(width).toBeGreaterThanOrEqual(10);
    expect(width).toBeLessThanOrEqual(13);
  });
});

describe('linesTold', () => {
  it('says nothing where nothing became of lines', () => {
    expect(linesTold({ linesMerged: 0, linesThinned: 0, linesLost: [] })).toEqual([]);
  });

  it('counts pairs, and tells where a line is gone', () => {
    const told = linesTold({
      linesMerged: 3,
      linesThinned: 0,
      linesLost: [{ lengthMm: 12.3, at: [40, 50] }],
    });
    expect(told.map(({ level, code, at }) => ({ level, code, at }))).toEqual([
      { level: 'warning', code: 'line-lost', at: [40, 50] },
      { level: 'note', code: 'lines-merged', at: undefined },
    ]);
    expect(told[0].message).toContain('12 mm long');
    expect(told[1].message).toBe(
      '3 pairs of lines are too near to each other to cut both, and became one line each.',
    );
    expect(
      linesTold({ linesMerged: 0, linesThinned: 4, linesLost: [] }).map(({ message }) => message),
    ).toEqual([expect.stringMatching(/^4 lines of those that lie side by side are left out/)]);
    expect(linesTold({ linesMerged: 1, linesThinned: 0, linesLost: [] })[0].message).toContain(
      '1 pair of lines is',
    );
  });
});
