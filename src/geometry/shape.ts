/** A place on the sheet in millimetres: origin at the sheet's top left corner, x right, y down. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/**
 * A closed outline of n cubic Bézier curves, in millimetres.
 *
 * Curve i takes six numbers of `coords` from 6 i: its start, its first and its second control point
 * (x, y each). It ends where curve (i + 1) mod n starts.
 */
export interface Outline {
  readonly coords: Float64Array;
  /** One byte a curve: 1 where the curve is a straight line (controls at its thirds), else 0. */
  readonly straight: Uint8Array;
  /** One byte a curve: 1 where the curve's start is a marked corner (the tip stops and turns), else 0. */
  readonly corner: Uint8Array;
}

/** One opening: what lies inside `outer` is cut away, save the islands of film inside `holes`. */
export interface Shape {
  readonly outer: Outline;
  readonly holes: readonly Outline[];
}
