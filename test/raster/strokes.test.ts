import { describe, expect, it } from 'vitest';
import { narrowBranches } from '../../src/raster/narrow-branches.js';
import { normalAt, strokesIn, type Stroke } from '../../src/raster/strokes.js';
import { painted } from '../support/bitmaps.js';

const SIZE = 200;
const STEP = 3;

/** The strokes of lines 5 px wide. */
function strokesOf(isDark: (x: number, y: number) => boolean): Stroke[] {
  const bitmap = painted(SIZE, SIZE, isDark);
  const whole = { x: 0, y: 0, width: SIZE, height: SIZE };
  return strokesIn(narrowBranches(bitmap, 1, 8, whole, whole), SIZE, STEP);
}

const lengths = (strokes: readonly Stroke[]): number[] =>
  strokes.map(({ x }) => x.length * STEP).sort((a, b) => b - a);

const within = (value: number, from: number, to: number): boolean => value >= from && value <= to;

describe('strokesIn', () => {
  it('goes straight on where two lines cross', () => {
    const [first, second, ...others] = strokesOf(
      (x, y) =>
        (Math.abs(x - 100) <= 2 && within(y, 20, 180)) ||
        (Math.abs(y - 90) <= 2 && within(x, 40, 160)),
    );
    expect(others).toEqual([]);
    const [across, down] = first.y[0] === first.y[5] ? [first, second] : [second, first];
    expect(Math.max(...down.x) - Math.min(...down.x)).toBeLessThan(2);
    expect(Math.max(...across.y) - Math.min(...across.y)).toBeLessThan(2);
    expect(lengths([across, down])[0]).toBeGreaterThan(140);
    expect(lengths([across, down])[1]).toBeGreaterThan(100);
  });

  it('follows a ring once round, and one that a line crosses, too', () => {
    const ring = (x: number, y: number): boolean =>
      Math.abs(Math.hypot(x - 100, y - 100) - 60) <= 2.5;
    const alone = strokesOf(ring);
    expect(alone).toHaveLength(1);
    expect(alone[0].isClosed).toBe(true);
    const crossed = strokesOf(
      (x, y) => ring(x, y) || (Math.abs(x - 100) <= 2 && y < 100 && y > 10),
    );
    const round = crossed.filter(({ isClosed }) => isClosed);
    expect(round).toHaveLength(1);
    for (const { x } of [alone[0], round[0]]) {
      expect(Math.abs(x.length * STEP - 2 * Math.PI * 60)).toBeLessThan(2 * Math.PI * 60 * 0.04);
    }
  });

  it('ends a line where it meets another', () => {
    const strokes = strokesOf(
      (x, y) =>
        (Math.abs(y - 100) <= 2 && within(x, 20, 180)) ||
        (Math.abs(x - 90) <= 2 && within(y, 100, 170)),
    );
    expect(strokes).toHaveLength(2);
    const [long, short] = lengths(strokes);
    expect(long).toBeGreaterThan(140);
    expect(within(short, 50, 72)).toBe(true);
  });

  it('tells half the width', () => {
    const [line] = strokesOf((x, y) => Math.abs(y - 100) <= 2 && within(x, 20, 180));
    // From a pixel's centre to the nearest centre outside; the middle may lie a pixel off.
    expect(line.halfWidth[20]).toBeGreaterThan(1.99);
    expect(line.halfWidth[20]).toBeLessThan(3.01);
  });
});

describe('normalAt', () => {
  it('is square to the line, on either side of it', () => {
    const [line] = strokesOf((x, y) => Math.abs(y - 100) <= 2 && within(x, 20, 180));
    const [dx, dy] = normalAt(line, 20, 1);
    expect(Math.abs(dy)).toBeCloseTo(1);
    expect(dx).toBeCloseTo(0);
    const [ex, ey] = normalAt(line, 20, -1);
    expect([ex, ey]).toEqual([-dx, -dy]);
  });
});
