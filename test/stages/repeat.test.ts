import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import {
  completeJob,
  createPipeline,
  makeStencil,
  Problem,
  type JobInput,
} from '../../src/index.js';
import { repeat } from '../../src/stages/repeat/repeat.js';
import { motifPlaces } from '../../src/stages/repeat/places.js';
import { drawn } from '../support/bitmaps.js';
import { components } from '../support/opencv.js';
import { faults } from '../support/stencil-drawing.js';

const ROOM = { x: 10, y: 10, width: 100, height: 80 };
const LEAF = new URL('../../samples/leaf.svg', import.meta.url);

const corners = (
  motif: { width: number; height: number },
  gap: number,
  job: Parameters<typeof motifPlaces>[3],
): (readonly [number, number])[] =>
  motifPlaces(motif, gap, ROOM, job).map(({ x, y }) => [x, y] as const);

describe('motifPlaces', () => {
  // Worked by hand: (100 + 5) / 25 = 4.2 across and (80 + 5) / 35 = 2.4 down; a block of 95 × 65 in 100 × 80, from 10, 10.
  it('lays as many whole motifs as fit, in the middle of the room', () => {
    expect(
      corners({ width: 20, height: 30 }, 5, { repeat: 'straight', motifEdge: 'whole' }),
    ).toEqual([18, 53].flatMap((y) => [13, 38, 63, 88].map((x) => [x, y])));
  });

  it('shifts every second row by half a motif and half a gap', () => {
    // Three fit into the shifted row: (100 − 12.5 + 5) / 25 = 3.7.
    const places = corners({ width: 20, height: 30 }, 5, { repeat: 'brick', motifEdge: 'whole' });
    const [first, second] = [...new Set(places.map(([, y]) => y))];
    expect(places.filter(([, y]) => y === first).map(([x]) => x)).toEqual([13, 38, 63, 88]);
    expect(places.filter(([, y]) => y === second).map(([x]) => x)).toEqual([25, 50, 75]);
  });

  it('drops every second column by half', () => {
    const places = corners({ width: 20, height: 20 }, 5, {
      repeat: 'half-drop',
      motifEdge: 'whole',
    });
    const column = (x: number): number[] => places.filter(([at]) => at === x).map(([, y]) => y);
    const [first, second] = [...new Set(places.map(([x]) => x))].sort((a, b) => a - b);
    expect(column(first)).toHaveLength(3);
    expect(column(second)[0] - column(first)[0]).toBeCloseTo(12.5, -0.5);
  });

  it('bled, covers the room: with no gap, every pixel lies under one motif', () => {
    for (const arrangement of ['straight', 'brick', 'half-drop', 'mirrored'] as const) {
      const size = { width: 18, height: 22 };
      const places = motifPlaces(size, 0, ROOM, { repeat: arrangement, motifEdge: 'bled' });
      const bare: string[] = [];
      for (let y = ROOM.y; y < ROOM.y + ROOM.height; y++) {
        for (let x = ROOM.x; x < ROOM.x + ROOM.width; x++) {
          const over = places.filter(
            (p) => x >= p.x && y >= p.y && x < p.x + size.width && y < p.y + size.height,
          );
          if (over.length !== 1) bare.push(`${x}, ${y}`);
        }
      }
      expect(bare, arrangement).toEqual([]);
    }
  });

  it('refuses whole bricks where none fits into a shifted row', () => {
    const one = (): unknown =>
      corners({ width: 80, height: 30 }, 5, { repeat: 'brick', motifEdge: 'whole' });
    expect(one).toThrow(Problem);
    expect(one).toThrow(/No whole motif fits into a row that is shifted by half/);
  });
});

describe('repeat', () => {
  const bitmap = drawn('........', '.##.....', '.#......', '........', '........', '........');
  const picture = {
    pictureBox: { x: 1, y: 1, width: 2, height: 2 },
    sheet: { widthMm: 8, heightMm: 6 },
    pixelsPerMm: 1,
  };
  const job = { motifGap: 0, motifEdge: 'whole', margin: 1 } as const;
  const rows = (arrangement: 'straight' | 'mirrored'): string[] => {
    const { bitmap: made } = repeat({ bitmap }, picture, { ...job, repeat: arrangement });
    return Array.from({ length: 6 }, (_, y) =>
      Array.from(made.data.subarray(8 * y, 8 * y + 8), (value) => '.#'[value]).join(''),
    );
  };

  it('copies the motif', () => {
    expect(rows('straight')).toEqual([
      '........',
      '.######.',
      '.#.#.#..',
      '.######.',
      '.#.#.#..',
      '........',
    ]);
  });

  it('turns every second one over, across and down', () => {
    expect(rows('mirrored')).toEqual([
      '........',
      '.######.',
      '.#..##..',
      '.#..##..',
      '.######.',
      '........',
    ]);
  });

  it('costs nothing where it is not wanted: the tone picture passes as it is', () => {
    expect(repeat({ bitmap }, picture, { ...job, repeat: 'none' }).bitmap).toBe(bitmap);
  });
});

describe('a repeated motif', () => {
  const JOB: JobInput = { repeat: 'straight', motifSize: 26, motifGap: 3 };

  it.each(['straight', 'brick', 'half-drop', 'mirrored'] as const)(
    '%s, whole and bled, keeps every promise, measured by others',
    async (arrangement) => {
      for (const motifEdge of ['whole', 'bled'] as const) {
        const job = completeJob({ ...JOB, repeat: arrangement, motifEdge });
        const made = await makeStencil(await readFile(LEAF), job, {
          name: 'leaf',
          outputs: ['stencil'],
        });
        expect(faults(made)).toEqual([]);
      }
    },
  );

  it('is as large as the job says, and the gaps are, by a count of its parts', async () => {
    // A black oblong on white paper, off the middle: the paper is left off, the oblong is the motif.
    const oblong = Buffer.from(
      '<svg xmlns="http://www.w3.org/2000/svg" width="500" height="400"><rect width="500" height="400" fill="#fff"/><rect x="40" y="60" width="100" height="200" fill="#000"/></svg>',
    );
    const job = completeJob({
      card: '100x100mm',
      tone: 'auto',
      repeat: 'straight',
      motifSize: 20,
      motifGap: 5,
    });
    const { repeat } = await createPipeline().runFor(['repeat'], oblong, job);
    const { count, areas, labels } = components(repeat.bitmap, 8);
    // 88 mm inside the margin: (88 + 5) / (10 + 5) = 6.2 across, (88 + 5) / (20 + 5) = 3.7 down.
    expect(repeat.motifs).toBe(18);
    expect(count).toBe(18);
    for (let label = 1; label <= count; label++) {
      // 10 × 20 mm, but for the rim of the look that finds the oblong.
      expect(areas[label] / 100).toBeGreaterThan(185);
      expect(areas[label] / 100).toBeLessThanOrEqual(200);
    }
    const row = labels.subarray(1000 * 500, 1000 * 501);
    const starts = [...row.keys()].filter((x) => row[x] > 0 && row[x - 1] === 0);
    starts.slice(1).forEach((x, i) => expect((x - starts[i]) / 10).toBeCloseTo(15, 0));
  });

  it('of a photograph keeps all of it', async () => {
    const photo = await sharp({
      create: { width: 90, height: 60, channels: 3, background: '#888' },
    })
      .composite([
        {
          input: { create: { width: 45, height: 60, channels: 3, background: '#111' } },
          left: 0,
          top: 0,
        },
      ])
      .png()
      .toBuffer();
    const job = completeJob({ ...JOB, motifSize: 30 });
    const { read } = await createPipeline().runFor(['read'], photo, job);
    expect(read.pictureBox).toMatchObject({ width: 300, height: 200 });
  });

  it('larger than the card is refused in words', async () => {
    const run = createPipeline().run(await readFile(LEAF), completeJob({ ...JOB, motifSize: 140 }));
    await expect(run).rejects.toThrow(
      /^The motif is larger than the card: 63 × 140 mm, where 90 × 90 mm/,
    );
    await expect(run).rejects.toThrow(Problem);
  });
});
