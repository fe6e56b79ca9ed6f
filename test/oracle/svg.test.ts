import { describe, expect, it } from 'vitest';
import type { Sheet } from '../../src/settings/card.js';
import { coverage } from '../../src/geometry/coverage.js';
import { flatten } from '../../src/geometry/flatten.js';
import type { Shape } from '../../src/geometry/shape.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { circle, leaf, polygonArea, rectangle, solid, sprig } from '../output/outlines.js';
import { svgPicture } from '../support/resvg.js';

/*
 * stencil.svg drawn by an independent renderer (@resvg/resvg-js). Sizes: SVG 2, chapter 8 (viewBox and
 * units); CSS Values and Units 3, section 6.2: 1 in is 25.4 mm.
 */

/** So many dots an inch that the renderer's rounding to whole pixels is 0.005 mm. */
const FINE_DPI = 2540;
const SCALE = 20;

interface Drawn {
  readonly width: number;
  readonly height: number;
  /** How much of each pixel is the openings' fill, 0 to 255. */
  readonly alpha: Uint8Array;
}

/** The openings alone, without the sheet's edge, at 20 px a mm. */
function draw(svg: string, sheet: Sheet): Drawn {
  const withoutEdge = svg.replace(/<rect id="sheet"[^>]*>/, '');
  expect(withoutEdge.length).toBeLessThan(svg.length);
  const { pixels, width, height } = svgPicture(withoutEdge, {
    fitTo: { mode: 'width', value: Math.round(sheet.widthMm * SCALE) },
  }).render();
  const alpha = new Uint8Array(width * height);
  for (let i = 0; i < alpha.length; i++) alpha[i] = pixels[4 * i + 3];
  return { width, height, alpha };
}

const coveredMm2 = ({ alpha }: Drawn): number =>
  alpha.reduce((sum, value) => sum + value, 0) / 255 / SCALE ** 2;

function areaOf(shapes: readonly Shape[]): number {
  const area = (outline: Shape['outer']): number => polygonArea(flatten(outline, 1e-4));
  return shapes.reduce(
    (sum, { outer, holes }) =>
      sum + area(outer) - holes.reduce((inside, hole) => inside + area(hole), 0),
    0,
  );
}

const card: Sheet = { widthMm: 101.6, heightMm: 101.6 };

describe('stencil.svg in an independent renderer', () => {
  it.each([
    [101.6, 101.6],
    [85.6, 53.98],
    [148, 210],
    [228.6, 304.8],
  ])('is %d by %d mm large', (widthMm, heightMm) => {
    const { width, height } = svgPicture(stencilSvg([], { widthMm, heightMm }), { dpi: FINE_DPI });
    expect(Math.abs((width * 25.4) / FINE_DPI - widthMm)).toBeLessThan(0.01);
    expect(Math.abs((height * 25.4) / FINE_DPI - heightMm)).toBeLessThan(0.01);
  });

  it.each([
    ['a circle', [solid(circle(50, 50, 30))], Math.PI * 900],
    ['a ring', [solid(circle(50, 50, 30), circle(50, 50, 20))], Math.PI * 500],
    ['a square', [solid(rectangle(10, 10, 81.6, 81.6))], 81.6 ** 2],
    ['nothing', [], 0],
  ] as const)('covers the area of %s', (_, shapes, areaMm2) => {
    const drawn = draw(stencilSvg(shapes, card), card);
    expect(Math.abs(coveredMm2(drawn) - areaMm2)).toBeLessThanOrEqual(0.0005 * areaMm2);
  });

  it.each([
    ['a sprig', sprig],
    ['leaves', [solid(leaf(20, 20, 60, 20, 30)), solid(leaf(20, 70, 50, 12, -10))]],
  ] as const)('covers the area inside the outlines of %s', (_, shapes) => {
    const drawn = draw(stencilSvg(shapes, card), card);
    expect(Math.abs(coveredMm2(drawn) / areaOf(shapes) - 1)).toBeLessThan(0.001);
  });

  it("draws the sheet's edge along the border of the picture and nothing inside", () => {
    const svg = stencilSvg([], card);
    const { pixels, width, height } = svgPicture(svg, {
      fitTo: { mode: 'width', value: card.widthMm * SCALE },
    }).render();
    expect([width, height]).toEqual([2032, 2032]);
    // The line is 0.1 mm wide and centred on the edge: the inner half of it is one pixel wide here.
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const onBorder = Math.min(x, y, width - 1 - x, height - 1 - y) === 0;
        if (pixels[4 * (y * width + x) + 3] > 0 !== onBorder) {
          throw new Error(`The pixel at ${x}, ${y} is ${onBorder ? 'empty' : 'drawn on'}`);
        }
      }
    }
  });
});

describe('coverage against an independent renderer', () => {
  it('agrees pixel by pixel with what it draws', () => {
    const { alpha, width, height } = draw(stencilSvg(sprig, card), card);
    const { data } = coverage(sprig, width, height, SCALE);
    let sum = 0;
    let largest = 0;
    data.forEach((value, i) => {
      const difference = Math.abs(value - alpha[i]);
      sum += difference;
      largest = Math.max(largest, difference);
    });
    expect(sum / data.length).toBeLessThan(0.2);
    // The renderer samples a pixel's share in steps; ours is exact.
    expect(largest).toBeLessThan(64);
  });
});
