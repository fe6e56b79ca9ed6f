import Delaunator from 'delaunator';

/** The cosine and sine by which points are turned: an angle that no picture's lines have. */
const TURN = [Math.cos(0.4), Math.sin(0.4)] as const;

/**
 * The Delaunay triangulation of points, each three of `triangles` one of them; `halfedges` names each side's twin.
 *
 * The points are turned first: many in one upright or level line, as on the sheet's edge, make the library's sweep ten
 * times slower, and rounding takes a slanting line apart.
 *
 * @param points x, y pairs; of equal points one takes part
 */
export function delaunay(points: Float64Array): Delaunator<Float64Array> {
  const turned = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = [points[i], points[i + 1]];
    turned[i] = TURN[0] * x - TURN[1] * y;
    turned[i + 1] = TURN[1] * x + TURN[0] * y;
  }
  return new Delaunator(turned);
}

/**
 * The edges of the Delaunay triangulation of points, as pairs of point numbers, each edge once.
 *
 * It holds a Euclidean minimum spanning tree of the points: Shamos & Hoey, "Closest-point problems", Proc. 16th
 * Symposium on Foundations of Computer Science (1975).
 *
 * @param points x, y pairs; of equal points one takes part
 */
export function delaunayEdges(points: Float64Array): Uint32Array {
  if (points.length < 4) return new Uint32Array(0);
  const { triangles, halfedges, hull } = new Delaunator(points);
  if (triangles.length === 0) return chain(hull);
  const edges: number[] = [];
  for (let e = 0; e < triangles.length; e++) {
    if (halfedges[e] > e) continue;
    edges.push(triangles[e], triangles[e % 3 === 2 ? e - 2 : e + 1]);
  }
  return Uint32Array.from(edges);
}

/** Points on one line have no triangles; their hull is the points in order along the line. */
function chain(order: Uint32Array): Uint32Array {
  const edges = new Uint32Array(Math.max(0, 2 * (order.length - 1)));
  for (let i = 0; i + 1 < order.length; i++) {
    edges[2 * i] = order[i]!;
    edges[2 * i + 1] = order[i + 1]!;
  }
  return edges;
}
