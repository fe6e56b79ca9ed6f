import { describe, expect, it } from 'vitest';
import { formsLost, smallForms } from '../../src/stages/check/small-forms.js';
import { drawn, PIXELS_PER_MM, SIDE, type Rectangles } from '../support/rectangles.js';

const limits = { narrowestOpening: 1.5, smallestOpening: 3, tool: 'hot-tip' } as const;

/** What is drawn in each of some places, 10 mm apart. */
const each = (count: number, at: (x: number, y: number) => Rectangles): Rectangles =>
  Array.from({ length: count }, (_, k) => at(4 + 11 * (k % 5), 4 + 11 * Math.floor(k / 5))).flat();

/** The small forms of a picture, and of what the widths make of it. */
const compared = (picture: Rectangles, print: Rectangles, [dark, light] = [30, 220]) =>
  smallForms(
    {
      gray: { width: SIDE, height: SIDE, data: drawn(picture, [dark, light]) },
      pixelsPerMm: PIXELS_PER_MM,
    },
    { width: SIDE, height: SIDE, data: drawn(print, [1, 0]) },
    limits,
  );

/** A body on four legs that are half a millimetre wide, and the bar that the widths make of it. */
const animal = (x: number, y: number): Rectangles => [
  [x, y, 7, 2],
  ...[0, 1.8, 4.6, 6.5].map((leg) => [x + leg, y + 2, 0.5, 2.5] as const),
];
const bar = (x: number, y: number): Rectangles => [[x, y, 7, 4.5]];

/** Contours of so many mm in all. */
const contoursOf = (mm: number) => ({
  contours: { weight: new Float32Array(mm).fill(1), pixelsPerMm: 1 },
});
const told = (forms: ReturnType<typeof compared>, allMm: number) =>
  formsLost(forms, contoursOf(allMm), limits).map(({ code }) => code);

describe('small forms', () => {
  it('that come out as bars are counted, with the outlines of their legs', () => {
    const forms = compared(each(12, animal), each(12, bar));
    expect(forms.count).toBe(12);
    // By the drawing: 7 + 7 + 2 + 2 and 8 legs' sides of 2.5; a bar of 7 × 4.5.
    expect(forms.pictureMm / 12).toBeCloseTo(38, -0.5);
    expect(forms.printMm / 12).toBeCloseTo(23, -0.5);
  });

  it('lead what is said where there are many, and their outlines are much of the picture', () => {
    const forms = compared(each(12, animal), each(12, bar));
    expect(told(forms, 300)).toEqual(['forms-lost']);
    expect(told(forms, 600)).toEqual([]);
    expect(told(compared(each(9, animal), each(9, bar)), 150)).toEqual([]);
  });

  it('are kept where they come out as they are, and where lines are only made wider', () => {
    expect(told(compared(each(12, animal), each(12, animal)), 100)).toEqual([]);
    const thin = each(12, (x, y) => [[x, y + 0.5, 7, 0.5]]);
    const wide = each(12, (x, y) => [[x, y, 7, 1.5]]);
    const lines = compared(thin, wide);
    expect(lines.count).toBe(12);
    expect(lines.printMm).toBeGreaterThanOrEqual(lines.pictureMm);
  });

  it('are looked at by the level of their own place: pale ones as well as dark ones', () => {
    const pale = compared(each(12, animal), each(12, bar), [190, 220]);
    const dark = compared(each(12, animal), each(12, bar));
    expect(pale).toEqual(dark);
  });

  it('are none that are large, or too small to be cut', () => {
    const large: Rectangles = [[5, 5, 20, 3]];
    const crumb: Rectangles = [[40, 40, 1.2, 1.2]];
    expect(compared(large, large).count).toBe(0);
    expect(compared(crumb, crumb).count).toBe(0);
  });
});
