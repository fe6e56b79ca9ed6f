import type { FaceBox } from '../settings/face-boxes.js';
import type { Point } from '../geometry/shape.js';

/** A face of the picture as it lies on the card. */
export interface Face {
  /** 68, in the order that `FoundFace` names, in mm from the left and the top edge of the picture's box. */
  readonly landmarks: readonly Point[];
  /** From one end of the jaw line to the other, in mm. */
  readonly widthMm: number;
  /** What it was found in, in percent of the whole picture. */
  readonly box: FaceBox;
}
