/** The area of a loop in mm², negative when it turns the other way (counter-clockwise on a sheet with y down). */
export function signedArea(loop: Float64Array): number {
  let twice = 0;
  const n = loop.length;
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    twice += loop[j] * loop[i + 1] - loop[i] * loop[j + 1];
  }
  return twice / 2;
}
