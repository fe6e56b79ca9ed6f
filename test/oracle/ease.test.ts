import { beforeAll, describe, expect, it } from 'vitest';
import type { Bitmap } from '../../src/raster/raster.js';
import { stencilSvg } from '../../src/output/svg/svg.js';
import { easedPicture, type EasedPicture } from '../support/eased-pictures.js';
import { distancesToZero, inverse } from '../support/opencv.js';
import { photographFile, photographs, type Photograph } from '../support/photographs.js';
import { drawStencil, PIXELS_PER_MM } from '../support/stencil-drawing.js';
import { curvesOfTracer } from '../support/tracer.js';

/*
 * The figures of the eased outlines, told by others: how many curves the tracer itself (potrace; Selinger 2003)
 * writes for the same bitmap by its own front door and at its own defaults, and how far the eased outlines, drawn by
 * resvg and measured by OpenCV, are from the bitmap.
 */

/** Curves that the tracer may be given for each of its own. */
const MOST_CURVES = 0.45;
const MOST_OFF_MM = 0.25;
/** Both drawings are of pixels: a pixel's side is 0.1 mm. */
const GRID_MM = 0.1;
/** Of the pixels that differ, those that may be further off: where a corner is rounded. */
const ROUNDED_CORNERS = 0.002;

/** How far, in mm, each pixel that two drawings differ in is from where they agree on its value. */
function differences(a: Bitmap, b: Bitmap): number[] {
  const toOpening = [a, b].map((bitmap) => distancesToZero(inverse(bitmap)));
  const toFilm = [a, b].map(distancesToZero);
  return [...a.data.keys()]
    .filter((i) => a.data[i] !== b.data[i])
    .map((i) => Math.max(...[...toOpening, ...toFilm].map((distances) => distances[i])))
    .map((pixels) => pixels / PIXELS_PER_MM);
}

describe.each(photographs)('the eased outlines of %s', (name: Photograph) => {
  let values: EasedPicture;

  beforeAll(async () => {
    values = await easedPicture(photographFile(name));
  });

  it('have at most 0.45 times the curves that the tracer writes', async () => {
    const { trace, ease, widen } = values;
    expect(trace.curves).toBe(await curvesOfTracer(widen.bitmap));
    expect(ease.curves / trace.curves).toBeLessThanOrEqual(MOST_CURVES);
    expect(ease.corners).toBeLessThan(ease.curves);
  });

  it('are within 0.25 mm of what was traced but at rounded corners', () => {
    const { ease, widen, read } = values;
    expect(ease.deviationMm).toBeLessThanOrEqual(MOST_OFF_MM);
    const eased = drawStencil(stencilSvg(ease.shapes, read.sheet)).bitmap;
    const off = differences(widen.bitmap, eased);
    expect(off.length).toBeGreaterThan(0);
    const far = off.filter((mm) => mm > MOST_OFF_MM + GRID_MM);
    expect(far.length / off.length, `${Math.max(...off)} mm at most`).toBeLessThan(ROUNDED_CORNERS);
  });
});
