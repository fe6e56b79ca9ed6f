// From the engine, whose last digits differ from those of a library's.
export declare function sin(x: f64): f64;
export declare function cos(x: f64): f64;
export declare function atan2(y: f64, x: f64): f64;

/** √(x² + y²), the larger one taken out and the rounding of the sum made good: digit for digit the engine's `hypot`. */
export function hypot(x: f64, y: f64): f64 {
  const larger = max(abs(x), abs(y));
  if (larger === 0) return 0;
  const a = abs(x) / larger;
  const b = abs(y) / larger;
  const first = a * a;
  // The engine makes good what each sum before rounded off; of two squares, the first added to 0, that is 0.
  return sqrt(first + b * b) * larger;
}

/** The angle from one direction to another, in radians, above -π and at most π. */
export function angleBetween(from: f64, to: f64): f64 {
  const turn = (to - from) % (2 * Math.PI);
  if (turn > Math.PI) return turn - 2 * Math.PI;
  return turn <= -Math.PI ? turn + 2 * Math.PI : turn;
}
