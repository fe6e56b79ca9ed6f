import { describe, expect, it } from 'vitest';
import { findRegions } from '../../src/raster/labels.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { shortestPathThrough } from '../../src/raster/shortest-path.js';

/** `#` is a region, `+` what leads from one to another. */
function drawn(rows: readonly string[]): { readonly open: Bitmap; readonly cores: Bitmap } {
  const [width, height] = [rows[0].length, rows.length];
  const cells = rows.join('');
  const marked = (marks: string): Bitmap => ({
    width,
    height,
    data: Uint8Array.from(cells, (cell) => (marks.includes(cell) ? 1 : 0)),
  });
  return { open: marked('#+'), cores: marked('#') };
}

function way(rows: readonly string[], from = 1, others: readonly number[] = [2]): string[] {
  const { open, cores } = drawn(rows);
  return shortestPathThrough(open, findRegions(cores, 1, 8), from, others).map(
    (i) => `${i % open.width},${Math.floor(i / open.width)}`,
  );
}

// Counted by hand.
describe('wayThrough', () => {
  it('goes round what lies between, from the last pixel of one region to the first of another', () => {
    const corners = way(['#...#', '+...+', '+++++']);
    expect(corners).toEqual(['0,0', '0,1', '1,2', '2,2', '3,2', '4,1', '4,0']);
  });

  it('takes the shorter of two ways', () => {
    const rows = ['#+++++++#', '#.......#', '#++...++#', '#..+++..#'];
    expect(way(rows)).toHaveLength(9);
    expect(way(['#+++++++#', '##.....##', '##+...+##', '##.+++.##'])).toHaveLength(7);
  });

  it('ends at the nearest of several others', () => {
    expect(way(['#++#+++#'], 2, [1, 3])).toEqual(['3,0', '2,0', '1,0', '0,0']);
  });

  it('does not run over the edge to the next row', () => {
    expect(way(['#..', '...', '..#'])).toEqual([]);
    expect(way(['..#', '#..'])).toEqual([]);
  });
});
