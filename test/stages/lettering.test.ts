import { describe, expect, it } from 'vitest';
import { findNecks } from '../../src/geometry/necks.js';
import { flatten } from '../../src/geometry/flatten.js';
import { signedArea } from '../../src/geometry/signed-area.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { withWideGaps } from '../../src/stages/lettering/widened-gaps.js';
import { polygonOutline } from '../support/openings.js';

const SHEET = { widthMm: 40, heightMm: 40 };
const JOB = { narrowestStrip: 1.6, narrowestOpening: 1.5, tightestTurn: 1 };

/** An n with feet that nearly touch: a room of 4 mm, and a gap so wide between the feet. */
const letter = (gap: number): Shape => ({
  outer: polygonOutline(
    [10, 10, 24, 10, 24, 24, 17 + gap / 2, 24, 17 + gap / 2, 21, 19, 21].concat([
      19,
      15,
      15,
      15,
      15,
      21,
      17 - gap / 2,
      21,
      17 - gap / 2,
      24,
      10,
      24,
    ]),
  ),
  holes: [],
});

const narrow = (shapes: readonly Shape[]): readonly number[] =>
  findNecks(shapes, SHEET, { film: JOB.narrowestStrip, opening: JOB.narrowestOpening })
    .map(({ widthMm }) => widthMm)
    .filter((mm) => mm < 1.56);

const areaOf = ({ outer }: { readonly outer: Outline }): number =>
  Math.abs(signedArea(flatten(outer, 0.001)));

describe('film within letters', () => {
  it('is widened where it is too narrow between wider parts, and nothing else is changed', () => {
    const drawn = letter(0.6);
    expect(narrow([drawn]).length).toBe(1);
    const made = withWideGaps([drawn], SHEET, JOB);
    expect(narrow(made)).toEqual([]);
    expect(made.length).toBe(1);
    // A millimetre of each foot, which is 3 mm high, at the most with what a strip takes at its ends.
    expect(areaOf(drawn) - areaOf(made[0])).toBeGreaterThan(2.9);
    expect(areaOf(drawn) - areaOf(made[0])).toBeLessThan(3.6);
  });

  it('stays as it was drawn where it is wide enough', () => {
    const drawn = letter(2);
    expect(withWideGaps([drawn], SHEET, JOB)[0]).toBe(drawn);
  });
});
