import { describe, expect, it } from 'vitest';
import { gaussianBlur } from '../../src/raster/blur.js';
import { contoursOf } from '../../src/raster/contours.js';
import { focusOf } from '../../src/raster/defocus.js';
import type { Field } from '../../src/raster/field.js';

const SIDE = 160;
const PIXELS_PER_MM = 3;
const EDGES = [40, 120] as const;

const fieldOf = (rule: (x: number, y: number) => number): Field => ({
  width: SIDE,
  height: SIDE,
  data: Float32Array.from({ length: SIDE * SIDE }, (_, i) => rule(i % SIDE, Math.floor(i / SIDE))),
});

/** Two steps of 120 levels side by side: the left one sharp, the right one out of focus by a Gaussian of so many mm. */
function steps(blurMm: number): Field {
  const step = fieldOf((x) => (x < EDGES[0] || x >= EDGES[1] ? 200 : 80));
  const soft = blurMm > 0 ? gaussianBlur(step, blurMm * PIXELS_PER_MM) : step;
  return fieldOf((x, y) => (x < SIDE / 2 ? step : soft).data[y * SIDE + x]);
}

const onEdges = (): Uint8Array =>
  Uint8Array.from({ length: SIDE * SIDE }, (_, i) => ((EDGES as readonly number[]).includes(i % SIDE) ? 1 : 0)); // prettier-ignore

/** The focus of the two edges, half way down. */
function focusAt(blurMm: number): [number, number] {
  const focus = focusOf(steps(blurMm), onEdges(), PIXELS_PER_MM);
  const row = (SIDE / 2) * SIDE;
  return [focus[row + EDGES[0]], focus[row + EDGES[1]]];
}

describe('the focus of an edge', () => {
  it('is whole on a sharp step, and nothing on one out of focus by 2 mm', () => {
    expect(focusAt(0)).toEqual([1, 1]);
    expect(focusAt(2)).toEqual([1, 0]);
  });

  it('falls as the blur grows', () => {
    const [, ...soft] = [0, 0.8, 1, 1.2, 1.6].map((blur) => focusAt(blur)[1]);
    expect(soft).toEqual([...soft].sort((a, b) => b - a));
    expect(soft[0]).toBeGreaterThan(soft.at(-1)!);
  });

  it("is by the picture's own sharpest edges: a picture that is soft all over has contours", () => {
    const soft = gaussianBlur(steps(0), 1.4 * PIXELS_PER_MM);
    const focus = focusOf(soft, onEdges(), PIXELS_PER_MM);
    expect(focus[(SIDE / 2) * SIDE + EDGES[1]]).toBe(1);
  });

  it('is by the sharp edges, be they few: most of the edges are lamps behind a post', () => {
    const edges = onEdges();
    for (let y = 30; y < SIDE; y++) edges[y * SIDE + EDGES[0]] = 0;
    const focus = focusOf(steps(1.6), edges, PIXELS_PER_MM);
    expect(focus[15 * SIDE + EDGES[0]]).toBe(1);
    expect(focus[(SIDE / 2) * SIDE + EDGES[1]]).toBe(0);
  });

  it('leaves an edge out of focus out of the contours, though it is as strong', () => {
    const { weight } = contoursOf(steps(2), PIXELS_PER_MM);
    const near = (at: number): number =>
      weight.reduce((sum, value, i) => sum + (Math.abs((i % SIDE) - at) < 6 ? value : 0), 0);
    expect(near(EDGES[0])).toBeGreaterThan(0.9 * (SIDE - 2));
    expect(near(EDGES[1])).toBe(0);
  });
});
