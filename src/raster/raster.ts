/** A grey picture: one byte a pixel, row by row from the top left, 0 black to 255 white. */
export interface Gray {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Two values: one byte a pixel, row by row from the top left; 1 is opening (dark), 0 is film. */
export interface Bitmap {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A box of whole pixels; `x`, `y` is its top left pixel. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}
