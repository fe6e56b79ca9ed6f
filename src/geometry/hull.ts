/**
 * The convex hull of points, x, y pairs, clockwise with y down.
 *
 * Andrew, "Another efficient algorithm for convex hulls in two dimensions", Inf. Process. Lett. 9 (1979).
 */
export function convexHull(points: Float64Array): Float64Array {
  const order = Array.from({ length: points.length / 2 }, (_, i) => 2 * i).sort(
    (a, b) => points[a] - points[b] || points[a + 1] - points[b + 1],
  );
  const half = (walk: readonly number[]): number[] => {
    const chain: number[] = [];
    for (const at of walk) {
      while (
        chain.length > 1 &&
        side(points, chain[chain.length - 2], chain[chain.length - 1], at) <= 0
      )
        chain.pop();
      chain.push(at);
    }
    chain.pop();
    return chain;
  };
  const corners = [...half(order), ...half(order.toReversed())];
  return Float64Array.from(corners.flatMap((at) => [points[at], points[at + 1]]));
}

function side(points: Float64Array, a: number, b: number, c: number): number {
  return (
    (points[b] - points[a]) * (points[c + 1] - points[a + 1]) -
    (points[b + 1] - points[a + 1]) * (points[c] - points[a])
  );
}

/** Whether a place lies in a convex polygon as `convexHull` gives it, its edge included. */
export function inHull(hull: Float64Array, x: number, y: number): boolean {
  for (let i = 0; i < hull.length; i += 2) {
    const j = (i + 2) % hull.length;
    const cross =
      (hull[j] - hull[i]) * (y - hull[i + 1]) - (hull[j + 1] - hull[i + 1]) * (x - hull[i]);
    if (cross < 0) return false;
  }
  return hull.length >= 6;
}
