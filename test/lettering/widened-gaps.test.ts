import { describe, expect, it } from 'vitest';
import { findNecks } from '../../src/geometry/necks.js';
import { flatten } from '../../src/geometry/flatten.js';
import { signedArea } from '../../src/geometry/signed-area.js';
import type { Outline, Shape } from '../../src/geometry/shape.js';
import { withWideGaps } from '../../src/lettering/widened-gaps.js';
import { turnedBack } from '../../src/geometry/outline.js';
import { union } from '../../src/geometry/boolean-operations.js';
import { circle, polygonOutline } from '../support/openings.js';

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

  it('is as smooth as the gap was where that bends', () => {
    // Two rooms, and a gap of 1 mm that joins them along a quarter of a circle.
    const arc = (radius: number): number[] =>
      Array.from({ length: 46 }, (_, k) => (k * Math.PI) / 90).flatMap((angle) => [
        12 + radius * Math.cos(angle),
        12 + radius * Math.sin(angle),
      ]);
    const there = arc(13.5);
    const back = arc(12.5);
    const points = Array.from({ length: 46 }, (_, k) => [back[90 - 2 * k], back[91 - 2 * k]]);
    const gap = Float64Array.from([...there, ...points.flat()]);
    const rooms = [[25, 9.5], [9.5, 25]].map(([x, y]) => flatten(circle(x, y, 3), 0.01)); // prettier-ignore
    const [film] = union([gap, ...rooms]);
    const drawn: Shape = {
      outer: polygonOutline([5, 5, 35, 5, 35, 35, 5, 35]),
      holes: [turnedBack(polygonOutline(film.outer))],
    };
    expect(narrow([drawn]).length).toBeGreaterThan(0);
    const [made] = withWideGaps([drawn], SHEET, JOB);
    expect(narrow([made])).toEqual([]);
    expect(made.holes.length).toBe(1);
    // A person sees a bend of more than some ten degrees as a corner. Between the rooms there is none.
    const edge = flatten(made.holes[0], 0.003);
    const count = edge.length / 2;
    const at = (i: number): readonly [number, number] => [
      edge[2 * (i % count)],
      edge[2 * (i % count) + 1],
    ];
    const turns = Array.from({ length: count }, (_, i) => {
      const [[ax, ay], [bx, by], [cx, cy]] = [at(i), at(i + 1), at(i + 2)];
      const turn = Math.atan2(cy - by, cx - bx) - Math.atan2(by - ay, bx - ax);
      return { x: bx, y: by, turn: Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) };
    });
    const between = turns.filter(({ x, y }) => x > 14 && y > 14);
    expect(between.length).toBeGreaterThan(10);
    expect(Math.max(...between.map(({ turn }) => turn))).toBeLessThan(0.2);
  });
});
