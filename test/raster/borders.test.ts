import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { followBorders } from '../../src/raster/borders.js';
import { labelRegions } from '../../src/raster/labels.js';
import { bitmaps, drawn } from '../support/bitmaps.js';

describe('followBorders', () => {
  it('finds nothing in a sheet of film', () => {
    expect(followBorders(drawn('...', '...'))).toEqual([]);
  });

  it('goes down the left side of a pixel first', () => {
    const [border] = followBorders(drawn('...', '.#.', '...'));
    expect([...border.points]).toEqual([1, 1, 1, 2, 2, 2, 2, 1]);
    expect(border).toMatchObject({ parent: -1, area: 1 });
  });

  it('goes round the whole sheet when it is all opening', () => {
    const [border] = followBorders(drawn('###', '###'));
    expect(border.area).toBe(6);
    expect(border.points).toHaveLength(2 * 10);
  });

  it('joins openings that touch by a corner, and parts film that does', () => {
    expect(followBorders(drawn('....', '.#..', '..#.', '....'))).toHaveLength(1);
    const holes = followBorders(drawn('####', '#.##', '##.#', '####'));
    expect(holes.map(({ parent }) => parent)).toEqual([-1, 0, 0]);
  });

  it('gives an opening inside an island its own outer border', () => {
    const borders = followBorders(
      drawn('#######', '#.....#', '#.###.#', '#.#.#.#', '#.###.#', '#.....#', '#######'),
    );
    expect(borders.map(({ parent }) => parent)).toEqual([-1, 0, -1, 2]);
  });

  it('has one outer border for each opening and one hole for each island, by labelling', () => {
    fc.assert(
      fc.property(bitmaps(1, 14), (bitmap) => {
        const borders = followBorders(bitmap);
        const outer = borders.filter(({ parent }) => parent === -1);
        expect(outer).toHaveLength(labelRegions(bitmap, 1, 8).count);
        // Film beyond the edge counts: a frame of it is put round.
        const width = bitmap.width + 2;
        const framed = new Uint8Array(width * (bitmap.height + 2));
        for (let y = 0; y < bitmap.height; y++) {
          const row = bitmap.data.subarray(y * bitmap.width, (y + 1) * bitmap.width);
          framed.set(row, (y + 1) * width + 1);
        }
        const film = labelRegions({ width, height: bitmap.height + 2, data: framed }, 0, 4);
        expect(borders.length - outer.length).toBe(film.count - 1);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('encloses as many pixels as its steps say', () => {
    fc.assert(
      fc.property(bitmaps(1, 14), (bitmap) => {
        const signed = followBorders(bitmap).map(({ area, parent }) => (parent < 0 ? area : -area));
        const openings = bitmap.data.reduce((sum, value) => sum + value, 0);
        expect(signed.reduce((sum, area) => sum + area, 0)).toBe(openings);
      }),
      { seed: 2, numRuns: 300 },
    );
  });
});
