/** A square of 60 mm to draw on. */
export const PIXELS_PER_MM = 10;
export const SIDE = 60 * PIXELS_PER_MM;

/** Rectangles in mm: left, top, width, height. */
export type Rectangles = readonly (readonly [number, number, number, number])[];

/** The values of the square, of what is drawn and of what is not. */
export function drawn(rectangles: Rectangles, [on, off]: readonly [number, number]): Uint8Array {
  const data = new Uint8Array(SIDE * SIDE).fill(off);
  for (const [x, y, wide, high] of rectangles.map((one) =>
    one.map((mm) => Math.round(mm * PIXELS_PER_MM)),
  )) {
    for (let row = y; row < y + high; row++) data.fill(on, row * SIDE + x, row * SIDE + x + wide);
  }
  return data;
}
