export type PxPlace = readonly [x: number, y: number];
type Vector = readonly [number, number, number];

/** Corners of a sheet from its top left one clockwise. */
export type SheetCorners = readonly [PxPlace, PxPlace, PxPlace, PxPlace];

/**
 * The focal length of the usual lens of a telephone, in longer sides of its picture: 27 mm for the 36 mm of a
 * small-picture film. Common practice, no source.
 */
const USUAL_LENS = 0.75;
/** The shortest and the longest that a table is photographed with, likewise: 13 mm and 130 mm. */
const SHORTEST_LENS = 0.36;
const LONGEST_LENS = 3.6;
/** So far off a corner may be, in longer sides of the picture: what `page-corners.ts` was seen to be off by. */
const CORNER_OFF = 0.002;
/**
 * Where corners that far off would change what follows from them by more than this, as a natural logarithm, the lens is not
 * read off them. By trial on made corners that are off by 0.001, seen from 0 to 50 degrees aslant by lenses of 22 to 40 mm.
 */
const SURE = 0.1;
/** A sheet that looks so many times as wide or as narrow as it is shows nothing any more: it is seen 70 degrees aslant. */
const MOST_FORESHORTENED = 3;

/**
 * How wide a flat sheet is for its height, by how it looks in a photograph taken aslant: Zhengyou Zhang and Li-wei He,
 * "Whiteboard scanning and image enhancement", Digital Signal Processing 17 (2007), "Estimating the pose and the actual
 * size of the rectangle". Pixels are square, and the lens looks at the picture's middle.
 *
 * How long the lens is follows from the corners too, where both pairs of edges run together enough. Where one pair stays
 * parallel, as in a sheet seen straight from below, any lens would do: it is taken for the usual one then. Where the
 * corners are no sheet's, its opposite edges are as long as they look, on average.
 *
 * @param corners in px of the picture
 */
export function sheetAspect(
  corners: SheetCorners,
  { width, height }: { readonly width: number; readonly height: number },
): number {
  const longer = Math.max(width, height);
  const seen = each(corners, ([x, y]) => [(x - width / 2) / longer, (y - height / 2) / longer]);
  const looks = aspectByLengths(corners);
  const aspect = aspectOf(seen);
  const change = Math.max(aspect / looks, looks / aspect);
  return change <= MOST_FORESHORTENED ? aspect : looks;
}

/** How wide for its height a sheet looks: by the mean length of opposite edges. */
const aspectByLengths = ([a, b, c, d]: SheetCorners): number =>
  (apart(a, b) + apart(d, c)) / (apart(a, d) + apart(b, c));

/** NaN where the corners are no sheet's. */
function aspectOf(seen: SheetCorners): number {
  const edges = edgesOf(seen);
  const byItself = aspectByOwnLens(edges);
  const off = Math.hypot(
    ...nudged(seen).map((other) => Math.log(aspectByOwnLens(edgesOf(other)) / byItself)),
  );
  return off <= SURE ? byItself : aspectBy(edges, USUAL_LENS ** 2);
}

/** The ways that the upper and the left edge go in space, as long as they are there, seen by a lens of length 1. */
type EdgeVectors = readonly [across: Vector, down: Vector];

/** Equations 11 to 16 there. */
function edgesOf(seen: SheetCorners): EdgeVectors {
  const [m1, m2, m4, m3] = seen.map(([x, y]): Vector => [x, y, 1]);
  const diagonal = cross(m1, m4);
  const k2 = dot(diagonal, m3) / dot(cross(m2, m4), m3);
  const k3 = dot(diagonal, m2) / dot(cross(m3, m4), m2);
  const from = (k: number, m: Vector): Vector => [k * m[0] - m1[0], k * m[1] - m1[1], k - 1];
  return [from(k2, m2), from(k3, m3)];
}

/** Equation 20 there: edges that are square to each other in space, seen by a lens of this length squared. */
function aspectBy([across, down]: EdgeVectors, lensSquared: number): number {
  const squared = ([x, y, z]: Vector) => (x * x + y * y) / lensSquared + z * z;
  return Math.sqrt(squared(across) / squared(down));
}

/** NaN where no lens that there is would show them square to each other. Equation 21 there. */
function aspectByOwnLens(edges: EdgeVectors): number {
  const [across, down] = edges;
  const lensSquared = -(across[0] * down[0] + across[1] * down[1]) / (across[2] * down[2]);
  const isOne = lensSquared >= SHORTEST_LENS ** 2 && lensSquared <= LONGEST_LENS ** 2;
  return isOne ? aspectBy(edges, lensSquared) : Number.NaN;
}

/** With each corner a little to the right, and a little down. */
const nudged = (seen: SheetCorners): readonly SheetCorners[] =>
  [...seen.keys()].flatMap((which) =>
    [
      [CORNER_OFF, 0],
      [0, CORNER_OFF],
    ].map(([dx, dy]) => each(seen, ([x, y], i) => (i === which ? [x + dx, y + dy] : [x, y]))),
  );

const each = (
  corners: SheetCorners,
  change: (corner: PxPlace, i: number) => PxPlace,
): SheetCorners => corners.map(change) as unknown as SheetCorners;

const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

const apart = ([x0, y0]: PxPlace, [x1, y1]: PxPlace): number => Math.hypot(x1 - x0, y1 - y0);
