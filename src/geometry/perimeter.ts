/** The length of a closed polygon of x, y pairs, in their unit. */
export function perimeter(polygon: Float64Array): number {
  let length = 0;
  let x = polygon[polygon.length - 2];
  let y = polygon[polygon.length - 1];
  for (let i = 0; i < polygon.length; i += 2) {
    length += Math.hypot(polygon[i] - x, polygon[i + 1] - y);
    x = polygon[i];
    y = polygon[i + 1];
  }
  return length;
}
