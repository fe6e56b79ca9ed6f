import { memoizeLast } from '../common/memoize-last.js';
import type { Point } from '../geometry/shape.js';
import { cropped } from '../raster/crop.js';
import type { Box, Gray } from '../raster/raster.js';
import type { Face } from './face.js';

/** The surroundings of a face, no further than the picture. */
export interface FaceWindow {
  /** Where they are on the sheet, in its px. */
  readonly box: Box;
  readonly width: number;
  readonly height: number;
  /** 0 black to 255 white. */
  readonly lightness: Uint8Array;
  /** In px of the window. */
  readonly landmarks: readonly Point[];
  /** Places in mm of the picture's box, as of another face, in px of the window. */
  readonly placed: (inBox: readonly Point[]) => Point[];
  readonly pixelsPerMm: number;
}

/** A picture on its sheet. */
interface OnSheet {
  readonly gray: Gray;
  readonly pictureBox: Box;
  readonly pixelsPerMm: number;
}

/** The window reaches beyond the landmarks by this share of the face's width. */
const AROUND = 0.35;

/** Undefined where the face lies outside of the picture. */
export function windowOf(
  { gray, pictureBox, pixelsPerMm }: OnSheet,
  face: Face,
): FaceWindow | undefined {
  return windowIn(face, gray, pictureBox, pixelsPerMm);
}

const windowIn = memoizeLast(windowRound);

function windowRound(
  { landmarks, widthMm }: Face,
  gray: Gray,
  pictureBox: Box,
  pixelsPerMm: number,
): FaceWindow | undefined {
  const around = AROUND * widthMm;
  const reach = (values: number[], from: number, length: number): [number, number] => {
    const first = Math.floor(from + (Math.min(...values) - around) * pixelsPerMm);
    const end = Math.ceil(from + (Math.max(...values) + around) * pixelsPerMm);
    return [Math.max(from, first), Math.min(from + length, end)];
  };
  const xs = landmarks.map(({ x }) => x);
  const ys = landmarks.map(({ y }) => y);
  const [left, right] = reach(xs, pictureBox.x, pictureBox.width);
  const [top, bottom] = reach(ys, pictureBox.y, pictureBox.height);
  const [width, height] = [right - left, bottom - top];
  if (width < 1 || height < 1) return undefined;
  const placed = (inBox: readonly Point[]): Point[] =>
    inBox.map(({ x, y }) => ({
      x: pictureBox.x - left + x * pixelsPerMm,
      y: pictureBox.y - top + y * pixelsPerMm,
    }));
  const box = { x: left, y: top, width, height };
  const lightness = cropped(gray, box).data;
  return { box, width, height, lightness, landmarks: placed(landmarks), placed, pixelsPerMm };
}
