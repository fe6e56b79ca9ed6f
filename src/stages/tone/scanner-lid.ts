import { convexHull } from '../../geometry/hull.js';
import { fieldOf } from '../../raster/field.js';
import { fillPolygon } from '../../raster/fill-polygon.js';
import { labelRegions, regionsAlone, type Regions } from '../../raster/labels.js';
import { dilated } from '../../raster/morphology.js';
import { boxRound, cropped } from '../../raster/crop.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Job } from '../../settings/job.js';
import type { Picture } from '../read/read.js';
import type { Tone } from './tone.js';

type Pictured = Pick<Picture, 'pictureBox' | 'pixelsPerMm'>;

// A sheet of paper is convex, and its scan has little beyond it. That is told by its shape alone: a silhouette, a branch or a
// line that runs out of the picture leaves something hollow. The figures are by eye, on scans of ours, silhouettes
// and samples.

/** Paper that a part was taken off is hollow there: by no more than this share of what lies beyond … */
const HOLLOW = 0.05;
/** … and this many px for each px of the border between: an edge is rough, by the grid and the grain. */
const ROUGH_PX = 0.75;
/** What lies beyond the paper is no deeper than this share of the picture's shorter side. */
const DEEP = 0.12;
/** A dark part along this share of the lowest side, and of no other, is ground. */
const ALONG = 0.9;
/** A frame whose four sides are as wide as each other to this share is drawn: a lid's are not. */
const EVEN = 0.15;
/** Contours so near to what is taken off, in mm, are its own. */
const NEAR_MM = 1;

/**
 * Leaves light what a scan has beyond its sheet of paper: the lid of the scanner, the table, the shadow in the corners. Such a
 * part is dark and flat on the picture's edge, and what is left without it is convex, as a sheet is.
 *
 * @param isDrawing whether the picture is taken for a drawing or a page: a photograph keeps its corners. Asked only where it
 *   matters
 */
export function withoutScannerLid(
  tone: Tone,
  picture: Pictured,
  { tone: asked, swap }: Pick<Job, 'tone' | 'swap'>,
  isDrawing: () => boolean,
): Tone {
  // What a person asks for is hers, and swapped it is what is light that would be cut.
  if (asked !== 'best' || swap) return tone;
  const part = cropped(tone.bitmap, picture.pictureBox);
  const beyond = hasDarkCorner(part) && isDrawing() ? beyondPaper(part) : undefined;
  if (!beyond) return tone;
  const { x, y, width, height } = picture.pictureBox;
  const lid = new Uint8Array(tone.bitmap.data.length);
  const data = tone.bitmap.data.slice();
  for (let i = 0; i < beyond.data.length; i++) {
    if (beyond.data[i] === 0) continue;
    const at = (y + Math.floor(i / width)) * tone.bitmap.width + x + (i % width);
    lid[at] = 1;
    data[at] = 0;
  }
  const { contours } = tone;
  const near = dilated(beyond, NEAR_MM * picture.pixelsPerMm);
  const share = fieldOf(near, { x: 0, y: 0, width, height }, contours.factor);
  const weight = contours.weight.map((value, i) => (share.data[i] > 0 ? 0 : value));
  const told =
    'Dark corners or edges beyond the sheet of paper are left as film: they are of the scan, not of the drawing.';
  return {
    ...tone,
    bitmap: { ...tone.bitmap, data },
    contours: { ...contours, weight },
    why: [tone.why, told].filter((sentence) => sentence !== '').join(' '),
  };
}

/** Whether a corner of the picture is dark: what is flat on the edge of convex paper holds one. */
function hasDarkCorner({ width, height, data }: Bitmap): boolean {
  return [0, width - 1, (height - 1) * width, height * width - 1].some((i) => data[i] === 1);
}

/** 1 on the dark parts at the edge of a picture that lie beyond its paper; undefined where there are none. */
function beyondPaper(part: Bitmap): Bitmap | undefined {
  const { width, height } = part;
  const regions = labelRegions(part, 1, 8);
  const { labels } = regions;
  const beyond = [...atRim(labels, width, height)].filter((number) =>
    isBeyond(number, regions, width, height),
  );
  // What is dark along the foot alone is the ground that something stands on.
  if (beyond.every((number) => isGround(number, labels, width, height))) return undefined;
  const taken = regionsAlone(regions, part, beyond);
  const paper = { width, height, data: taken.data.map((value) => 1 - value) };
  const box = boxRound(paper, 0);
  const sides = [box.x, box.y, width - box.x - box.width, height - box.y - box.height];
  const [least, most] = [Math.min(...sides), Math.max(...sides)];
  const isDrawnFrame = least > 0 && most - least <= EVEN * most;
  return isDrawnFrame ? undefined : taken;
}

/** The numbers of the regions on the raster's rim. */
function atRim(labels: Int32Array, width: number, height: number): Set<number> {
  const numbers = new Set<number>();
  for (let x = 0; x < width; x++) numbers.add(labels[x]).add(labels[(height - 1) * width + x]);
  for (let y = 0; y < height; y++)
    numbers.add(labels[y * width]).add(labels[y * width + width - 1]);
  numbers.delete(0);
  return numbers;
}

/** Whether a dark region is shallow and leaves convex paper. */
function isBeyond(
  number: number,
  { labels, areas }: Regions,
  width: number,
  height: number,
): boolean {
  const [right, bottom] = [width - 1, height - 1];
  const deepest = DEEP * Math.min(width, height);
  const paper = new Uint8Array(labels.length);
  let border = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (labels[i] !== number) {
        paper[i] = 1;
        continue;
      }
      if (Math.min(x, y, right - x, bottom - y) > deepest) return false;
      if (
        (x > 0 && labels[i - 1] !== number) ||
        (x < right && labels[i + 1] !== number) ||
        (y > 0 && labels[i - width] !== number) ||
        (y < bottom && labels[i + width] !== number)
      )
        border++;
    }
  }
  return hollowOf({ width, height, data: paper }) <= HOLLOW * areas[number] + ROUGH_PX * border;
}

/** Whether a region lies along the lowest side of the picture, and along no other. */
function isGround(number: number, labels: Int32Array, width: number, height: number): boolean {
  const isIn = (x: number, y: number): boolean => labels[y * width + x] === number;
  const share = (length: number, at: (k: number) => boolean): number => {
    let count = 0;
    for (let k = 0; k < length; k++) if (at(k)) count++;
    return count / length;
  };
  const others = Math.max(
    share(width, (x) => isIn(x, 0)),
    share(height, (y) => isIn(0, y)),
    share(height, (y) => isIn(width - 1, y)),
  );
  return others <= DEEP && share(width, (x) => isIn(x, height - 1)) >= ALONG;
}

/** How many pixels of 0 lie in the convex hull of what is 1. */
function hollowOf({ width, height, data }: Bitmap): number {
  const corners: number[] = [];
  for (let y = 0; y < height; y++) {
    const row = data.subarray(y * width, (y + 1) * width);
    const first = row.indexOf(1);
    if (first < 0) continue;
    const end = row.lastIndexOf(1) + 1;
    corners.push(first, y, first, y + 1, end, y, end, y + 1);
  }
  const around = convexHull(Float64Array.from(corners));
  const hull = new Uint8Array(data.length);
  const turns = Array.from({ length: around.length / 2 }, (_, k): [number, number] => [
    around[2 * k],
    around[2 * k + 1],
  ]);
  fillPolygon(hull, width, turns, 1);
  let hollow = 0;
  for (let i = 0; i < data.length; i++) hollow += hull[i] & (1 - data[i]);
  return hollow;
}
