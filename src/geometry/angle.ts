/** The angle from one direction to another, in radians, above -π and at most π. */
export function angleBetween(from: number, to: number): number {
  const turn = (to - from) % (2 * Math.PI);
  if (turn > Math.PI) return turn - 2 * Math.PI;
  return turn <= -Math.PI ? turn + 2 * Math.PI : turn;
}
