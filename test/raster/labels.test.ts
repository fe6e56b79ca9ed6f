import { describe, expect, it } from 'vitest';
import { labelRegions, regionOf } from '../../src/raster/labels.js';
import { drawn } from '../support/bitmaps.js';

const steps = drawn(
  '#..##', //
  '.#..#',
  '..#..',
  '#..##',
);

describe('labelRegions', () => {
  it('joins by sides only, or by corners too', () => {
    expect(labelRegions(steps, 1, 4).count).toBe(6);
    expect(labelRegions(steps, 1, 8).count).toBe(3);
  });

  it('numbers the regions from the top left and counts their pixels', () => {
    const { labels, areas } = labelRegions(steps, 1, 8);
    expect([...labels]).toEqual([1, 0, 0, 2, 2, 0, 1, 0, 0, 2, 0, 0, 1, 0, 0, 3, 0, 0, 1, 1]);
    expect([...areas]).toEqual([0, 5, 3, 1]);
  });

  it('joins a spiral that meets itself late', () => {
    const spiral = drawn(
      '#######', //
      '#.....#',
      '#.###.#',
      '#.#.#.#',
      '#.#...#',
      '#.#####',
    );
    expect(labelRegions(spiral, 1, 4).count).toBe(1);
    expect(labelRegions(spiral, 0, 4).count).toBe(1);
  });
});

describe('looked up by runs', () => {
  const regions = labelRegions(steps, 1, 8);

  it('each pixel has the number that it has in the labels', () => {
    const found = Array.from(regions.labels, (_, i) => regionOf(regions, i));
    expect(found).toEqual([...regions.labels]);
  });
});
