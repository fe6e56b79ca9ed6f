import { Resvg, type ResvgRenderOptions } from '@resvg/resvg-js';
import type { Bitmap } from '../../src/raster/raster.js';

/*
 * resvg, an independent renderer of SVG (npm: @resvg/resvg-js). Nothing that it draws here holds text to be read, and
 * looking for the system's typefaces would take longer than the drawing.
 */
const WITHOUT_TYPEFACES = { loadSystemFonts: false };

/** An SVG picture, ready to be drawn. */
export function svgPicture(svg: string, options: ResvgRenderOptions = {}): Resvg {
  return new Resvg(svg, { ...options, font: WITHOUT_TYPEFACES });
}

/** What an SVG picture paints, on a ground of nothing: 1 where at least half of a pixel is covered. */
export function paintedBy(svg: string, dpi?: number): Bitmap {
  const { pixels, width, height } = svgPicture(svg, dpi === undefined ? {} : { dpi }).render();
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = pixels[4 * i + 3] >= 128 ? 1 : 0;
  return { width, height, data };
}
