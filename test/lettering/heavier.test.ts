import { beforeAll, describe, expect, it } from 'vitest';
import { openTypeface } from '../../src/lettering/open-typeface.js';
import { boundsOfLoops } from '../../src/geometry/bounding-box.js';
import { heavierLines } from '../../src/lettering/heavier.js';
import { layHeavyEnough } from '../../src/lettering/heavy-enough.js';
import { inkOf } from '../../src/lettering/ink.js';
import { layOut } from '../../src/lettering/layout.js';
import { leastCapHeight, leastForStrokes } from '../../src/lettering/least-size.js';
import { setLine, type SetLine } from '../../src/lettering/typeset.js';
import { RULES } from '../support/layout-rules.js';

const LIMITS = { narrowestOpening: 1.5, narrowestStrip: 1.6, smallestOpening: 3 };
let line: (text: string) => SetLine;
beforeAll(async () => {
  const faces = await openTypeface('sans', '');
  line = (text) => setLine(text, faces);
});

describe('heavier letters', () => {
  const BY = 0.02;

  it('have every stroke thicker by as much, on either side half of it', () => {
    const [own, heavy] = [line('O'), heavierLines([line('O')], BY)[0]].map(
      ({ glyphs: [{ face, id }] }) => inkOf(face, id).regions[0],
    );
    const [a, b] = [own, heavy].map(({ outer }) => boundsOfLoops([outer]));
    expect(a.left - b.left).toBeCloseTo(BY / 2, 3);
    expect(b.bottom - a.bottom).toBeCloseTo(BY / 2, 3);
    const [c, d] = [own, heavy].map(({ holes }) => boundsOfLoops(holes));
    expect(d.left - c.left).toBeCloseTo(BY / 2, 3);
    expect(c.bottom - d.bottom).toBeCloseTo(BY / 2, 3);
  });

  it('have straight sides that are straight, where they were', () => {
    const [own, heavy] = [line('H'), heavierLines([line('H')], BY)[0]].map(
      ({ glyphs: [{ face, id }] }) => face.outlines(id)[0],
    );
    expect(heavy.straight).toEqual(own.straight);
    heavy.straight.forEach((_, i) => {
      const next = (6 * (i + 1)) % heavy.coords.length;
      const [from, to] = [heavy.coords.slice(6 * i), heavy.coords.slice(next)];
      // An H has upright and level sides alone.
      expect(Math.min(Math.abs(from[0] - to[0]), Math.abs(from[1] - to[1]))).toBeLessThan(1e-9);
    });
  });
});

describe('words that are a little small', () => {
  const laid = (text: string, capHeight: number) =>
    layHeavyEnough([line(text)], LIMITS, (lines) => layOut(lines, capHeight, RULES));

  it('grow until their strokes are wide enough', () => {
    const least = leastCapHeight([line('Nana')], LIMITS);
    const { lines, grownMm } = laid('Nana', 0.94 * least);
    expect(grownMm).toBeGreaterThan(0.05);
    expect(grownMm).toBeLessThan(0.3);
    expect(leastForStrokes(lines, LIMITS)).toBeLessThan(0.94 * least);
  });

  it.each([
    ['large enough', 1.2],
    ['far too small', 0.5],
  ])('stay as their typeface has them where they are %s', (_, share) => {
    const least = leastCapHeight([line('Nana')], LIMITS);
    expect(laid('Nana', share * least).grownMm).toBe(0);
  });

  it('do not grow until a mouth closes', () => {
    const { lines } = laid('a9', 8.5);
    const holes = ({ glyphs }: SetLine): number[] =>
      glyphs.map(({ face, id }) => inkOf(face, id).regions.flatMap((one) => one.holes).length);
    expect(holes(lines[0])).toEqual(holes(line('a9')));
  });
});
