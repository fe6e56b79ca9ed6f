import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { completeJob, createPipeline, type JobInput } from '../../src/index.js';
import { labelRegions } from '../../src/raster/labels.js';
import { strands } from '../../src/stages/strands/strands.js';
import { painted } from '../support/bitmaps.js';
import { overhandKnot, plait } from '../support/strands.js';

/** The openings and bridges of a drawing, and which promises they break. */
async function make(svg: string) {
  const job = completeJob({ card: '4x4in' });
  const { bridge, measure } = await createPipeline().runFor(
    ['bridge', 'measure'],
    Buffer.from(svg),
    job,
  );
  return { ...bridge, errors: measure.findings.filter(({ level }) => level === 'error') };
}

/** Lines a quarter of a millimetre wide that stop short of the edges: at 4 × 4 in the tone loses them. */
const faint = { width: 11, line: 0.25, short: 0.5 };
/** Lines in the shadow between strands, as in the picture of the contributors' guide. */
const shadowed = { ...faint, line: 0.4, colour: '#6a6a6a' };
/** Lines that the tone sees, but that stop well short. */
const short = { width: 11, line: 0.6, short: 1.2 };

describe.each([
  ['faint lines', faint],
  ['lines in shadow', shadowed],
  ['lines that stop short', short],
])('with %s', (_, look) => {
  // The knot: three crossings, at each of which the strand beneath is parted on both sides: 1 + 3 pieces, of which
  // the loop at the top reaches the edge of the picture.
  it('an overhand knot is parted where it passes under', async () => {
    const { openings, bridges, errors } = await make(overhandKnot(look));
    expect(openings).toHaveLength(4);
    expect(bridges).toEqual([]);
    expect(errors).toEqual([]);
  });

  it.each([
    'rotate(15 45 45) translate(4.5 8.5) scale(0.9)',
    'rotate(180 45 45) translate(4.5 8.5) scale(0.9)',
  ])('the knot is parted wherever and however it lies: %s', async (transform) => {
    const lying = overhandKnot(look).replace('<g ', `<g transform="${transform}" `);
    expect((await make(lying)).openings).toHaveLength(4);
  });

  it('a plait is parted at each of its crossings', async () => {
    const { openings, errors } = await make(plait(look));
    expect(openings.length).toBeGreaterThanOrEqual(8);
    expect(errors).toEqual([]);
  });
});

describe('without the step', () => {
  it('both are one blob where the lines are faint', async () => {
    for (const svg of [faint, shadowed].flatMap((look) => [overhandKnot(look), plait(look)])) {
      const { tone } = await createPipeline().runFor(
        ['tone'],
        Buffer.from(svg),
        completeJob({ card: '4x4in', strands: 'never' }),
      );
      expect(labelRegions(tone.bitmap, 1, 8).areas.filter((area) => area > 100)).toHaveLength(1);
    }
  });
});

describe('strands', () => {
  const job = completeJob({});
  const gap = job.strandGap * 10;
  /** A dark square of 400 px on a sheet of 600, with a light line of 4 px that comes from the left and stops. */
  const square = (stop: number) =>
    painted(
      600,
      600,
      (x, y) => x > 100 && x < 500 && y > 100 && y < 500 && !(Math.abs(y - 300) < 2 && x < stop),
    );
  const run = (stop: number, given: JobInput = {}) => {
    const bitmap = square(stop);
    const gray = { ...bitmap, data: bitmap.data.map((dark) => (dark ? 0 : 255)) };
    const pictureBox = { x: 60, y: 60, width: 480, height: 480 };
    const tone = { bitmap, mode: 'auto' as const, why: '' };
    return strands(tone, { gray, pictureBox, pixelsPerMm: 10 }, completeJob(given)).bitmap;
  };

  it('carries a line on that stops less than the gap short', () => {
    expect(labelRegions(run(500 - gap + 3), 1, 8).count).toBe(2);
  });

  it('leaves a line that stops more than the gap short', () => {
    expect(labelRegions(run(500 - gap - 5), 1, 8).count).toBe(1);
    expect(run(500 - gap - 5).data).toEqual(square(500 - gap - 5).data);
  });

  it.each(['2x2in', '3x3in'])(
    'leaves the drops and lines of a small motif alone, on %s',
    async (card) => {
      const moth = readFileSync(new URL('../../samples/moth.png', import.meta.url));
      const values = await createPipeline().runFor(
        ['tone', 'strands'],
        moth,
        completeJob({ card }),
      );
      expect(values.strands.bitmap).toEqual(values.tone.bitmap);
    },
  );

  it('leaves the film between two lines that meet, as in a doubled outline', () => {
    // Two lines of 8 px that meet, and go on as one for less than a line is carried on by.
    const bitmap = painted(600, 600, (x, y) => {
      const [apart, off] = [Math.max(0, 8 - (x - 100) * 0.05), Math.abs(y - 300)];
      return x > 100 && x < 272 && off < apart + 8 && (apart < 1 || off > apart);
    });
    const gray = { ...bitmap, data: bitmap.data.map((dark) => (dark ? 0 : 255)) };
    const pictureBox = { x: 60, y: 60, width: 480, height: 480 };
    const tone = { bitmap, mode: 'auto' as const, why: '' };
    const { data } = strands(tone, { gray, pictureBox, pixelsPerMm: 10 }, job).bitmap;
    expect(data.reduce((count, value, i) => count + Number(value !== bitmap.data[i]), 0)).toBe(0);
  });

  it('leaves a line that runs into wide film, be there an opening beyond', () => {
    // The light line comes from the left and meets a light patch, behind which a dark bar and light film follow.
    const bitmap = painted(600, 600, (x, y) => {
      const isPatch = x > 250 && x < 320 && Math.abs(y - 300) < 60;
      const isLine = x < 260 && Math.abs(y - 300) < 4;
      return x > 100 && x < 330 && y > 100 && y < 500 && !isPatch && !isLine;
    });
    const gray = { ...bitmap, data: bitmap.data.map((dark) => (dark ? 0 : 255)) };
    const pictureBox = { x: 60, y: 60, width: 480, height: 480 };
    const tone = { bitmap, mode: 'auto' as const, why: '' };
    expect(strands(tone, { gray, pictureBox, pixelsPerMm: 10 }, job).bitmap.data).toEqual(
      bitmap.data,
    );
  });

  it('does nothing when it is not wanted, nor by itself to a photograph', () => {
    expect(run(495, { strands: 'never' }).data).toEqual(square(495).data);
    const bitmap = square(495);
    const gray = { ...bitmap, data: bitmap.data.map(() => 128) };
    const photograph = { bitmap, mode: 'edges' as const, why: '' };
    const pictureBox = { x: 60, y: 60, width: 480, height: 480 };
    expect(strands(photograph, { gray, pictureBox, pixelsPerMm: 10 }, job)).toBe(photograph);
  });

  it('finds a line in the picture that the tone has lost', () => {
    const bitmap = painted(600, 600, (x, y) => x > 100 && x < 500 && y > 100 && y < 500);
    const gray = { ...bitmap, data: bitmap.data.map((dark) => (dark ? 20 : 255)) };
    for (let x = 100; x < 500; x++) for (const y of [250, 251]) gray.data[y * 600 + x] = 90;
    const pictureBox = { x: 60, y: 60, width: 480, height: 480 };
    const tone = { bitmap, mode: 'auto' as const, why: '' };
    const found = strands(tone, { gray, pictureBox, pixelsPerMm: 10 }, job).bitmap;
    expect(labelRegions(found, 1, 8).count).toBe(2);
  });
});
