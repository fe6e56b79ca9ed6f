import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { tell } from '../../cli/trouble.js';
import { nest } from '../../src/geometry/boolean-operations.js';
import { Problem } from '../../src/index.js';

const square = (x: number, y: number, side: number): Float64Array =>
  Float64Array.of(x, y, x + side, y, x + side, y + side, x, y + side);

/** The same square as the polygon library turns a hole. */
const hole = (x: number, y: number, side: number): Float64Array =>
  Float64Array.of(x, y, x, y + side, x + side, y + side, x + side, y);

describe('loops that a boolean made', () => {
  it('are nested: each hole in the smallest region round it', () => {
    const loops = [square(0, 0, 20), hole(2, 2, 16), square(4, 4, 10), hole(6, 6, 3)];
    const regions = nest(loops);
    expect(regions.map(({ outer, holes }) => [outer, holes])).toEqual([
      [loops[2], [loops[3]]],
      [loops[0], [loops[1]]],
    ]);
  });

  it('are a fault of ours when a hole lies in no region, and told as one', () => {
    const stderr = new PassThrough();
    let thrown: unknown;
    try {
      nest([square(0, 0, 20), hole(30, 2, 5)]);
    } catch (error) {
      thrown = error;
    }
    expect(thrown).toBeInstanceOf(Error);
    expect(thrown).not.toBeInstanceOf(Problem);
    expect(tell(thrown, 'nana.jpg', stderr)).toBe(2);
    expect(String(stderr.read())).toMatch(
      /This is a fault of stencilwright, not of yours: an island lies in no opening, at 30\.0, 2\.0 mm \(nana\.jpg\)/,
    );
  });

  it('may have hairs that rounding made beside a region', () => {
    const hair = Float64Array.of(20, 0, 20, 20, 20.0001, 10);
    expect(nest([square(0, 0, 20), hair])).toHaveLength(1);
  });

  it('may touch: a hole that runs along its region for most of its sides is no other loop', () => {
    const along = [18, 15, 12, 9, 6, 3].flatMap((y) => [20, y]);
    const touching = Float64Array.of(...along, 12, 3, 12, 18);
    expect(nest([square(0, 0, 20), touching])[0].holes).toEqual([touching]);
  });
});
