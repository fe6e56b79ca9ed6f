import { boxIndex, type BoxIndex } from '../../geometry/box-index.js';
import { withoutSpikes } from '../../geometry/spikes.js';
import {
  flattenTracked,
  curveRestorer,
  type TrackedPolygon,
} from '../../geometry/restore-curves.js';
import { difference, union } from '../../geometry/boolean-operations.js';
import { filletSides, type Rounding } from '../../geometry/fillet.js';
import { pointToSegment } from '../../geometry/segment.js';
import type { Outline, Point, Shape } from '../../geometry/shape.js';
import { withTightTurnsMarked } from '../../geometry/tight-turns.js';
import type { Bitmap } from '../../raster/raster.js';
import type { Tie } from './tie.js';

/** The openings after strips of film were laid over them, those that are as they were and those that are new. */
export interface CutShapes {
  readonly untouched: readonly Shape[];
  readonly changed: readonly Shape[];
}

/** How strips flare into the film, and what the openings look like in which they do. */
export interface Flare extends Omit<Rounding, 'isWide'> {
  readonly bitmap: Bitmap;
  readonly pixelsPerMm: number;
  readonly narrowestOpening: number;
  /** The least radius of a bend, in mm; 0 for any. */
  readonly tightestTurn: number;
}

/** What makes the outlines of what is cut good to follow. */
export interface Finishing {
  /** @param strips the four corners of each strip that lies over the outline */
  readonly withoutSpikes: (loop: Float64Array, strips: readonly Float64Array[]) => Float64Array;
  readonly withTightTurnsMarked: (outline: Outline, tightestMm: number) => Outline;
}

export const finishing: Finishing = { withoutSpikes, withTightTurnsMarked };

/**
 * How far polygons may lie off their curves, in mm, near a strip and elsewhere, where the whole curves come back
 * anyway.
 */
const NEAR_TOLERANCE_MM = 0.01;
const FAR_TOLERANCE_MM = 0.05;
/** The side of a cell of the index, in mm: about a strip with its ends. */
const CELL_MM = 4;

/** Takes the ties' strips off the openings. An opening that no strip touches is the same object afterwards. */
export function cutStrips(
  openings: readonly Shape[],
  ties: readonly Tie[],
  flare: Flare,
  finish: Finishing,
): CutShapes {
  const strips = ties.map(stripOf);
  const boxes = new Float64Array(4 * strips.length);
  strips.forEach((strip, i) => boxes.set(boxOf(strip, 2), 4 * i));
  const index = boxIndex(boxes, CELL_MM);
  const flares = ties.map(({ plain }) => plain !== true);
  const rounding = { ...flare, isWide: widthTest(flare, ties, index) };
  const untouched: Shape[] = [];
  const changed: Shape[] = [];
  for (const shape of openings) {
    const touching = touched(boxOf(shape.outer.coords, 2), boxes, index);
    const pieces =
      touching.length > 0
        ? cutOne(shape, touching, strips, boxes, index, rounding, flares, finish).map((piece) =>
            turnsMarked(piece, flare.tightestTurn, finish),
          )
        : [shape];
    if (pieces.length === 1 && isSame(pieces[0], shape)) untouched.push(shape);
    else changed.push(...pieces);
  }
  return { untouched, changed };
}

function turnsMarked(
  { outer, holes }: Shape,
  tightestTurn: number,
  { withTightTurnsMarked: marked }: Finishing,
): Shape {
  return {
    outer: marked(outer, tightestTurn),
    holes: holes.map((hole) => marked(hole, tightestTurn)),
  };
}

/** The four corners of a tie's strip, in mm. */
function stripOf({ start, end, widthMm, corners }: Tie): Float64Array {
  if (corners) return corners;
  const length = Math.hypot(end.x - start.x, end.y - start.y) || 1;
  const nx = ((start.y - end.y) / length) * (widthMm / 2);
  const ny = ((end.x - start.x) / length) * (widthMm / 2);
  return Float64Array.of(
    start.x + nx,
    start.y + ny,
    end.x + nx,
    end.y + ny,
    end.x - nx,
    end.y - ny,
    start.x - nx,
    start.y - ny,
  );
}

function cutOne(
  shape: Shape,
  touching: readonly number[],
  strips: readonly Float64Array[],
  boxes: Float64Array,
  index: BoxIndex,
  rounding: Rounding,
  flares: readonly boolean[],
  finish: Finishing,
): Shape[] {
  const sources = [shape.outer, ...shape.holes].map((outline) => followNear(outline, boxes, index));
  const over = touching.map((i) => strips[i]);
  const laid = union(over).flatMap(({ outer, holes }) => [outer, ...holes]);
  const regions = difference(
    sources.map(({ points }) => points),
    laid,
  );
  const recurved = curveRestorer(sources);
  const near = touching.filter((i) => flares[i]).map((i) => strips[i]);
  const toOutline = (loop: Float64Array): Outline | undefined => {
    const outline = recurved(finish.withoutSpikes(loop, over));
    return outline && flared(outline, near, rounding);
  };
  const pieces: Shape[] = [];
  for (const { outer, holes } of regions) {
    const outline = toOutline(outer);
    if (!outline) continue;
    const islands = holes.map(toOutline).filter((hole) => hole !== undefined);
    pieces.push({ outer: outline, holes: islands });
  }
  return pieces;
}

/** From look to look, in mm: a pixel of the raster. */
const STEP_MM = 0.1;
/** What an opening may be short of its least width in a drawing of pixels, in mm: one and a half of them. */
const PIXELS_MM = 0.15;

/** Tells whether it is an opening's width from a place on the edge to the film, or the next strip, straight across. */
function widthTest(
  { bitmap: { width, height, data }, pixelsPerMm, narrowestOpening }: Flare,
  ties: readonly Tie[],
  index: BoxIndex,
): Rounding['isWide'] {
  const isFilm = (x: number, y: number): boolean => {
    const [column, row] = [Math.floor(x * pixelsPerMm), Math.floor(y * pixelsPerMm)];
    if (column < 0 || row < 0 || column >= width || row >= height) return true;
    if (data[row * width + column] === 0) return true;
    let within = false;
    index.near(x, y, x, y, (i) => {
      const { start, end, widthMm } = ties[i];
      within ||= pointToSegment({ x, y }, start, end) < widthMm / 2;
    });
    return within;
  };
  return (x, y, dx, dy) => {
    for (let on = 2 * STEP_MM; on < narrowestOpening - PIXELS_MM; on += STEP_MM) {
      if (isFilm(x + on * dx, y + on * dy)) return false;
    }
    return true;
  };
}

/** Lets strips flare into the film: the corners at which their sides end are rounded. */
function flared(outline: Outline, strips: readonly Float64Array[], rounding: Rounding): Outline {
  if (rounding.radii.length === 0 && rounding.chamferMm === 0) return outline;
  const { coords, straight } = outline;
  const sides = Uint8Array.from(straight, (isStraight, i) => {
    if (isStraight === 0) return 0;
    const end = (6 * i + 6) % coords.length;
    const [x0, y0, x1, y1] = [coords[6 * i], coords[6 * i + 1], coords[end], coords[end + 1]];
    return strips.some((strip) => isOnSide(strip, x0, y0) && isOnSide(strip, x1, y1)) ? 1 : 0;
  });
  return sides.includes(1) ? filletSides(outline, sides, rounding) : outline;
}

/**
 * How far off a strip's side a place may lie and be on it, in mm: fifty times what the polygon library's grid moves a
 * point by.
 */
const ON_SIDE_MM = 0.005;

/** Whether a place lies on one of the long sides of a strip. */
function isOnSide(strip: Float64Array, x: number, y: number): boolean {
  const at = (i: number): Point => ({ x: strip[2 * i], y: strip[2 * i + 1] });
  return (
    pointToSegment({ x, y }, at(0), at(1)) < ON_SIDE_MM ||
    pointToSegment({ x, y }, at(3), at(2)) < ON_SIDE_MM
  );
}

/** Follows an outline finely where strips are near, and only as closely as need be elsewhere. */
function followNear(outline: Outline, boxes: Float64Array, index: BoxIndex): TrackedPolygon {
  const { coords } = outline;
  return flattenTracked(outline, (curve) => {
    const a = 6 * curve;
    const end = (a + 6) % coords.length;
    const box = [
      Math.min(coords[a], coords[a + 2], coords[a + 4], coords[end]),
      Math.min(coords[a + 1], coords[a + 3], coords[a + 5], coords[end + 1]),
      Math.max(coords[a], coords[a + 2], coords[a + 4], coords[end]),
      Math.max(coords[a + 1], coords[a + 3], coords[a + 5], coords[end + 1]),
    ];
    return touched(box, boxes, index).length > 0 ? NEAR_TOLERANCE_MM : FAR_TOLERANCE_MM;
  });
}

function boxOf(points: Float64Array, stride: number): number[] {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += stride) {
    minX = Math.min(minX, points[i]);
    minY = Math.min(minY, points[i + 1]);
    maxX = Math.max(maxX, points[i]);
    maxY = Math.max(maxY, points[i + 1]);
  }
  return [minX, minY, maxX, maxY];
}

/** The numbers of the boxes that a box meets. */
function touched(box: readonly number[], boxes: Float64Array, index: BoxIndex): number[] {
  const [minX, minY, maxX, maxY] = box as [number, number, number, number];
  const found = new Set<number>();
  index.near(minX, minY, maxX, maxY, (i) => {
    if (boxes[4 * i] > maxX || boxes[4 * i + 1] > maxY) return;
    if (boxes[4 * i + 2] < minX || boxes[4 * i + 3] < minY) return;
    found.add(i);
  });
  return [...found].sort((a, b) => a - b);
}

function isSame(piece: Shape, shape: Shape): boolean {
  return (
    piece.outer === shape.outer &&
    piece.holes.length === shape.holes.length &&
    piece.holes.every((hole) => shape.holes.includes(hole))
  );
}
