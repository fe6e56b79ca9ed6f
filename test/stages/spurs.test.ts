import { describe, expect, it } from 'vitest';
import { withoutSpurs } from '../../src/stages/bridge/spurs.js';

/** A stem from 0 to 3 across, and right of it, up to 3.5, what a strip has left of a bowl: a spur that tapers upwards. */
const stem = Float64Array.of(0, 0, 3, 0, 3, 4, 3.5, 3, 3.5, 6, 3, 8, 3, 10, 0, 10);
/** Its left side lies on the spur's right one. */
const strip = Float64Array.of(5.9, 2, 5.9, 7, 3.5, 7, 3.5, 2);

const corners = (loop: Float64Array): string[] =>
  Array.from({ length: loop.length / 2 }, (_, i) => `${loop[2 * i]} ${loop[2 * i + 1]}`).sort();

describe('spurs beside strips', () => {
  it('are cut off along the stem, which has no ledge then', () => {
    const made = withoutSpurs(stem, [strip], 1.5);
    // From the root at 3, 4 to the end of the strip's side at 3.5, 6, nearly.
    expect(corners(made)).toEqual(
      corners(stem).map((corner) => (corner === '3.5 3' ? '3.5 5.9399999999999995' : corner)),
    );
  });

  it('are cut off as a foot goes on that leans towards the strip', () => {
    // The foot's edge runs from 2.4, 0 to its root at 3, 4, and meets the strip's side at 3.5, 7.33.
    const foot = Float64Array.of(0, 0, 2.4, 0, 3, 4, 3.5, 3, 3.5, 9, 3, 9.5, 3, 12, 0, 12);
    const beside = Float64Array.of(5.9, 2, 5.9, 9.5, 3.5, 9.5, 3.5, 2);
    const made = withoutSpurs(foot, [beside], 1.5);
    const on = corners(made).map((corner) => corner.split(' ').map(Number));
    const met = on.find(([x, y]) => x === 3.5 && y < 9)!;
    expect(met[1]).toBeCloseTo(4 + (0.5 * 4) / 0.6, 6);
  });

  it('are cut off square at their root where that would take too much of a stem', () => {
    const long = stem.map((value, i) => (i % 2 === 1 && value >= 6 ? value + 30 : value));
    const beside = strip.map((value) => (value === 7 ? 37 : value));
    expect(corners(withoutSpurs(long, [beside], 1.5))).toEqual(
      corners(long)
        .map((corner) => (corner === '3.5 3' ? '3.5 4' : corner))
        .sort(),
    );
  });

  it('are cut off on a loop that turns the other way', () => {
    const turned = Float64Array.from(
      Array.from({ length: 8 }, (_, i) => [stem[14 - 2 * i], stem[15 - 2 * i]]).flat(),
    );
    expect(corners(withoutSpurs(turned, [strip], 1.5))).toEqual(
      corners(withoutSpurs(stem, [strip], 1.5)),
    );
  });

  it('stay where they are as wide as an opening, where no strip lies, and where the corner is blunt', () => {
    expect(withoutSpurs(stem, [strip], 0.4)).toBe(stem);
    expect(withoutSpurs(stem, [], 1.5)).toBe(stem);
    const blunt = stem.slice();
    blunt[7] = 3.9;
    expect(withoutSpurs(blunt, [strip], 1.5)).toBe(blunt);
  });
});
