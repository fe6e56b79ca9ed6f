import type { Made } from '../../src/index.js';
import type { Bitmap } from '../../src/raster/raster.js';
import { above } from './bitmaps.js';
import { components, distancesToZero, inverse } from './opencv.js';
import { paintedBy } from './resvg.js';
import { errorsOf } from './stencil-drawing.js';

/*
 * Lines of glue, drawn by resvg (SVG 2) from strokes.svg and stencil.svg, and labelled and measured by OpenCV.
 */

const PIXELS_PER_MM = 6;
/** Pixels of one renderer's edge and of another's; a part of fewer is a crumb of the edge. */
const CRUMB_PX = 4;
/** How far beads and what the stencil leaves uncovered may lie apart, in pixels of the stencil's raster and of this one. */
const [APART_PX, APART_HERE_PX] = [2, 1];

/** The beads, drawn as wide as they are: 1 is glue. */
function drawnBeads(files: Made['files']): Bitmap {
  const svg = String(files.get('strokes.svg')).replace(/<rect id="sheet"[^>]*>/, '');
  return paintedBy(svg, PIXELS_PER_MM * 25.4);
}

/** What is not covered, as stencil.svg has it: 1 is bare. */
function drawnBare(files: Made['files']): Bitmap {
  const svg = String(files.get('stencil.svg')).replace(/ stroke="[^"]*"/g, '');
  return paintedBy(svg, PIXELS_PER_MM * 25.4);
}

const largeParts = ({ areas }: { readonly areas: Int32Array }): number =>
  areas.filter((area, label) => label > 0 && area > CRUMB_PX).length;

/** What is wrong with lines of glue, in words, be it told by the report or not; nothing when all is as it should be. */
export function glueFaults(made: Made): string[] {
  const told = errorsOf(made.run).map(({ code, message }) => `report: ${code}: ${message}`);
  return [...told, ...untoldGlueFaults(made)];
}

/** What is wrong with lines of glue by measure, save for what the report tells of. */
export function untoldGlueFaults({
  job,
  run,
  files,
}: Pick<Made, 'job' | 'run' | 'files'>): string[] {
  const drawn = run.values.strokes!.drawn;
  const isTold = errorsOf(run).some(({ code }) => code === 'loose-island');
  const wrong: string[] = [];
  const beads = drawnBeads(files);
  const parts = largeParts(components(beads, 8));
  if (parts !== 1 && !isTold) wrong.push(`the beads are ${parts} pieces`);
  const glue = inverse(drawnBare(files));
  const pieces = largeParts(components(glue, 4));
  if (pieces !== 1 && !isTold) wrong.push(`what is not bare is ${pieces} pieces`);
  // No bead lies where the stencil is bare, but at its very edge.
  const off = distancesToZero(inverse(glue));
  const outside = beads.data.reduce((most, bead, i) => (bead === 1 ? Math.max(most, off[i]) : most), 0); // prettier-ignore
  const apart = (APART_PX * PIXELS_PER_MM) / run.values.read.pixelsPerMm + APART_HERE_PX;
  if (outside > apart)
    wrong.push(`a bead lies ${(outside / PIXELS_PER_MM).toFixed(2)} mm outside of the mask`);
  // Where the mask is wider than the beads, they run together: each such place is told where it is large.
  const between = { ...glue, data: glue.data.map((v, i) => v & ~beads.data[i]) };
  const places = components(between, 8);
  const told = new Set(
    drawn.runTogether.flatMap(({ at }) => labelsNear(places.labels, glue.width, at)),
  );
  const beyond = distancesToZero(between);
  const wide = components(above(beyond, between, (job.beadWidth * PIXELS_PER_MM) / 3), 8);
  for (let label = 1; label <= wide.count; label++) {
    const i = wide.labels.indexOf(label);
    const [x, y] = [(i % glue.width) / PIXELS_PER_MM, Math.floor(i / glue.width) / PIXELS_PER_MM];
    if (!told.has(places.labels[i]))
      wrong.push(`glue without a bead at ${x.toFixed(1)}, ${y.toFixed(1)} is not told`);
  }
  return wrong;
}

/** The labels of what lies within a millimetre of a place. */
function labelsNear(labels: Int32Array, width: number, at: readonly [number, number]): number[] {
  const [x, y] = at.map((mm) => Math.round(mm * PIXELS_PER_MM));
  const found: number[] = [];
  for (let dy = -PIXELS_PER_MM; dy <= PIXELS_PER_MM; dy++)
    for (let dx = -PIXELS_PER_MM; dx <= PIXELS_PER_MM; dx++)
      found.push(labels[(y + dy) * width + x + dx]);
  return [...new Set(found)];
}
