import { sheetAspect, type PxPlace, type SheetCorners } from './sheet-aspect.js';

/** How a photograph of a page is rectified before anything else is done with it; in px of the upright picture. */
export interface Rectification {
  readonly pictureTurn: 'none' | 'right' | 'half' | 'left';
  /** Degrees clockwise. */
  readonly straighten: number;
  /** The corners of a page in it, `find` them, or null for the whole picture. */
  readonly page: string | null;
}

interface PxSize {
  readonly width: number;
  readonly height: number;
}

/** A rectified picture: its size in px, and where in the upright picture each of its places comes from. */
export interface RectifiedPlaces extends PxSize {
  readonly from: (x: number, y: number) => PxPlace;
}

/** Corners of a page in percent of the upright picture: top left, top right, bottom right, bottom left. */
export type PageCorners = SheetCorners;

/** The corners that a setting gives; undefined for `find` and for none. */
export function cornersIn(page: string | null): PageCorners | undefined {
  const n = (page ?? '').split(',').map(Number);
  if (n.length !== 8 || !n.every(Number.isFinite)) return undefined;
  return [
    [n[0], n[1]],
    [n[2], n[3]],
    [n[4], n[5]],
    [n[6], n[7]],
  ];
}

export const textOfCorners = (corners: PageCorners): string =>
  corners
    .flat()
    .map((percent) => Math.round(percent * 10) / 10)
    .join(',');

/** So much of a page is left off along each edge, as a share of its sides: its edge is no line of the drawing. */
const PAGE_EDGE = 0.012;

/**
 * Where the places of a rectified picture come from: the page is laid flat first, then turned by quarters, then straightened,
 * within what is left of a picture that is turned a little: as large a part of its own shape as has no empty corner.
 *
 * @param found the page's corners, where they are given or found
 */
export function rectified(
  { width, height }: PxSize,
  { pictureTurn, straighten }: Pick<Rectification, 'pictureTurn' | 'straighten'>,
  found: PageCorners | undefined,
): RectifiedPlaces {
  const upright: RectifiedPlaces = { width, height, from: (x, y) => [x, y] };
  const flat = found ? flattened(upright, found) : upright;
  return straightened(quarterTurned(flat, pictureTurn), straighten);
}

/** In place of nothing, in px²: corners on one line make no page, and no division by nothing. */
const FLAT = 1e-9;

/** Whether a picture is left just as it is. */
export const isUnrectified = ({ pictureTurn, straighten, page }: Rectification): boolean =>
  pictureTurn === 'none' && straighten === 0 && page === null;

/**
 * A page seen from aslant, laid flat: the projective map of a rectangle onto four places (P. Heckbert, Fundamentals of
 * texture mapping and image warping, 1989, 2.2.3). The page has its own shape and is no smaller than it looks: its opposite
 * edges are at least as long as they are on average.
 */
function flattened({ width, height }: PxSize, corners: PageCorners): RectifiedPlaces {
  const inPx = corners.map(([x, y]): PxPlace => [(x / 100) * width, (y / 100) * height]);
  const [a, b, c, d] = inPx;
  const size = flatSize(inPx as unknown as SheetCorners, { width, height });
  const [dx1, dy1] = [b[0] - c[0], b[1] - c[1]];
  const [dx2, dy2] = [d[0] - c[0], d[1] - c[1]];
  const [sx, sy] = [a[0] - b[0] + c[0] - d[0], a[1] - b[1] + c[1] - d[1]];
  const under = dx1 * dy2 - dx2 * dy1 || FLAT;
  const g = (sx * dy2 - dx2 * sy) / under;
  const h = (dx1 * sy - sx * dy1) / under;
  const [xu, xv] = [b[0] - a[0] + g * b[0], d[0] - a[0] + h * d[0]];
  const [yu, yv] = [b[1] - a[1] + g * b[1], d[1] - a[1] + h * d[1]];
  const inner = 1 - 2 * PAGE_EDGE;
  return {
    width: size.width * inner,
    height: size.height * inner,
    from: (x, y) => {
      const u = PAGE_EDGE + x / size.width;
      const v = PAGE_EDGE + y / size.height;
      const w = g * u + h * v + 1;
      return [(xu * u + xv * v + a[0]) / w, (yu * u + yv * v + a[1]) / w];
    },
  };
}

function flatSize(corners: SheetCorners, picture: PxSize): PxSize {
  const [a, b, c, d] = corners;
  const width = Math.max(1, (apart(a, b) + apart(d, c)) / 2);
  const height = Math.max(1, (apart(a, d) + apart(b, c)) / 2);
  const aspect = sheetAspect(corners, picture);
  if (!(aspect > 0 && Number.isFinite(aspect))) return { width, height };
  return aspect > width / height
    ? { width: height * aspect, height }
    : { width, height: width / aspect };
}

function quarterTurned(of: RectifiedPlaces, turn: Rectification['pictureTurn']): RectifiedPlaces {
  const { width, height, from } = of;
  switch (turn) {
    case 'none':
      return of;
    case 'half':
      return { width, height, from: (x, y) => from(width - x, height - y) };
    case 'right':
      return { width: height, height: width, from: (x, y) => from(y, height - x) };
    case 'left':
      return { width: height, height: width, from: (x, y) => from(width - y, x) };
  }
}

function straightened(of: RectifiedPlaces, degrees: number): RectifiedPlaces {
  if (degrees === 0) return of;
  const { width, height, from } = of;
  const angle = (degrees / 180) * Math.PI;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const [c, s] = [Math.abs(cos), Math.abs(sin)];
  const share = Math.min(width / (width * c + height * s), height / (width * s + height * c));
  const size = { width: width * share, height: height * share };
  return {
    ...size,
    from: (x, y) => {
      const [dx, dy] = [x - size.width / 2, y - size.height / 2];
      return from(width / 2 + dx * cos + dy * sin, height / 2 - dx * sin + dy * cos);
    },
  };
}

const apart = ([x0, y0]: PxPlace, [x1, y1]: PxPlace): number => Math.hypot(x1 - x0, y1 - y0);
