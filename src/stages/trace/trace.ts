import { Potrace, type PotracePath } from '../../built-in/potrace.js';
import { turnedBack, writeLine } from '../../geometry/outline.js';
import type { Outline, Shape } from '../../geometry/shape.js';
import { followBorders, type Border } from '../../raster/borders.js';
import type { Bitmap } from '../../raster/raster.js';

/** A bitmap's openings as curves, in mm on the whole sheet. */
export interface Traced {
  /** Outer outlines run clockwise on the page (∮ x dy > 0 with y down), holes the other way. */
  readonly shapes: readonly Shape[];
  /** What was traced. */
  readonly bitmap: Bitmap;
  /** Curve pieces at the tracer's own defaults: one for each curve, and one for each corner with its two lines. */
  readonly curves: number;
}

/** The tracer leaves out what encloses no more pixels than this, at its own defaults. */
const SPECK_PX = 2;

/**
 * Traces the borders of a bitmap to smooth outlines: straight lines with marked corners, and curves.
 *
 * Openings that touch by a corner are one opening, film that does is parted. An opening inside an island is a shape
 * of its own.
 *
 * Selinger 2003, "Potrace: a polygon-based tracing algorithm".
 *
 * @param pixelsPerMm px a millimetre
 */
export function trace(bitmap: Bitmap, pixelsPerMm: number): Traced {
  const borders = followBorders(bitmap);
  const tracer = new Potrace();
  // The tracer's public way to its paths splits openings that touch by a corner, and gives them back as text of three
  // digits. So the paths are handed to it ready made, by its inner parts: test/built-in.test.ts holds them to be there.
  tracer._pathlist = borders.filter((border) => border.area > SPECK_PX).map(toPath);
  tracer._processPath();
  return {
    shapes: assemble(borders, tracer._pathlist, pixelsPerMm),
    bitmap,
    curves: tracer._pathlist.reduce((sum, { curve }) => sum + (curve?.n ?? 0), 0),
  };
}

function toPath({ points, area }: Border): PotracePath {
  const len = points.length / 2;
  const pt = Array.from({ length: len }, (_, i) => ({ x: points[2 * i], y: points[2 * i + 1] }));
  return { pt, len, area, sign: '+' };
}

/** Gives every hole to its opening, and turns the outer outlines to run clockwise. */
function assemble(
  borders: readonly Border[],
  paths: readonly PotracePath[],
  pixelsPerMm: number,
): Shape[] {
  const shapes: { outer: Outline; holes: Outline[] }[] = [];
  const shapeOf = new Map<number, (typeof shapes)[number]>();
  let traced = 0;
  borders.forEach(({ area, parent }, i) => {
    if (area <= SPECK_PX) return;
    const outline = toOutline(paths[traced++], pixelsPerMm);
    if (parent === -1) {
      const shape = { outer: turnedBack(outline), holes: [] };
      shapes.push(shape);
      shapeOf.set(i, shape);
    } else {
      shapeOf.get(parent)?.holes.push(outline);
    }
  });
  return shapes;
}

function toOutline({ curve }: PotracePath, pixelsPerMm: number): Outline {
  const { n, tag, c } = curve!;
  const corners = tag.reduce((sum, kind) => sum + Number(kind === 'CORNER'), 0);
  const coords = new Float64Array(6 * (n + corners));
  const straight = new Uint8Array(n + corners);
  const corner = new Uint8Array(n + corners);
  let start = c[3 * n - 1];
  let at = 0;
  for (let i = 0; i < n; i++) {
    const end = c[3 * i + 2];
    if (tag[i] === 'CURVE') {
      coords.set(
        [start.x, start.y, c[3 * i].x, c[3 * i].y, c[3 * i + 1].x, c[3 * i + 1].y],
        6 * at++,
      );
    } else {
      const vertex = c[3 * i + 1];
      straight[at] = 1;
      writeLine(coords, 6 * at++, start, vertex);
      straight[at] = 1;
      corner[at] = 1;
      writeLine(coords, 6 * at++, vertex, end);
    }
    start = end;
  }
  for (let i = 0; i < coords.length; i++) coords[i] /= pixelsPerMm;
  return { coords, straight, corner };
}
