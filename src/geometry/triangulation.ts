import Delaunator from 'delaunator';

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
