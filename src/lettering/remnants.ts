import { opened } from '../raster/morphology.js';
import type { Bitmap } from '../raster/raster.js';
import { boundsOfLoops } from '../geometry/bounding-box.js';

/** A strip along the upright: between which places across, and from where to where along it. */
export interface UprightStrip {
  readonly across: readonly [number, number];
  readonly along: readonly [number, number];
}

/** The radius of the disk that a part has to hold, as a share of the least width: less would round every end off. */
const DISK = 0.45;
/** Pixels to that radius: as few as show which place is better. */
const PX = 5;

/**
 * Tells how much of a letter strips would leave that is too thin to be cut, or to be looked at: spurs, shards and waists
 * beside them. What the strips leave is opened by a disk (see morphology.ts); what that takes off is added up.
 *
 * @param spansAt where an upright line lies in the letter's ink
 * @param width the least width of a part, in the letter's own unit, as all that is given and comes back
 */
export function remnantsOf(
  loops: readonly Float64Array[],
  width: number,
  spansAt: (across: number) => readonly (readonly [number, number])[],
): (strips: readonly UprightStrip[]) => number {
  const px = PX / (DISK * width);
  const { left, top, right, bottom } = boundsOfLoops(loops);
  const at = { x: left - RIM / px, y: top - RIM / px };
  const size = {
    width: Math.ceil((right - left) * px) + 2 * RIM,
    height: Math.ceil((bottom - top) * px) + 2 * RIM,
  };
  const ink = drawn(size, px, at, spansAt);
  return (strips) => {
    const cut: Bitmap = { ...size, data: ink.data.slice() };
    for (const { across, along } of strips) {
      const [x0, x1] = across.map((u) => Math.round((u - at.x) * px));
      const [y0, y1] = along.map((v) => Math.round((v - at.y) * px));
      for (let y = Math.max(0, y0); y < Math.min(size.height, y1); y++)
        cut.data.fill(
          0,
          y * size.width + Math.max(0, x0),
          y * size.width + Math.min(size.width, x1),
        );
    }
    const wide = opened(cut, PX);
    let thin = 0;
    cut.data.forEach((value, i) => (thin += value - wide.data[i]));
    return thin / px ** 2;
  };
}

/** Nothing lies at the edge of the drawing, in px. */
const RIM = 2;

function drawn(
  { width, height }: Pick<Bitmap, 'width' | 'height'>,
  px: number,
  at: { readonly x: number; readonly y: number },
  spansAt: (across: number) => readonly (readonly [number, number])[],
): Bitmap {
  const data = new Uint8Array(width * height);
  for (let x = 0; x < width; x++) {
    for (const [from, to] of spansAt(at.x + (x + 0.5) / px)) {
      const end = Math.round((to - at.y) * px);
      for (let y = Math.round((from - at.y) * px); y < end; y++) data[y * width + x] = 1;
    }
  }
  return { width, height, data };
}
