import { isNumber, wrongList } from './edits.js';

/** A box round a face: left, top, width and height in percent of the whole upright picture. */
export type FaceBox = readonly [left: number, top: number, width: number, height: number];

export const FACE_BOX_FORM = '[[40, 12, 18, 22], [62, 20, 15, 19]]';

/** A box that is thinner than this holds no face, in percent. */
const THINNEST = 0.5;
/** In percent: a face may be cut off by the picture's edge, by half of a picture at most. */
const FARTHEST = 50;

/** What to do about boxes that can't be used; undefined when they can. */
export function wrongFaceBoxes(value: unknown): string | undefined {
  return wrongList(value, wrongBox, FACE_BOX_FORM);
}

function wrongBox(box: unknown): boolean {
  if (!Array.isArray(box) || box.length !== 4 || !box.every(isNumber)) return true;
  const [left, top, width, height] = box;
  if (width < THINNEST || height < THINNEST) return true;
  return (
    left < -FARTHEST ||
    top < -FARTHEST ||
    left + width > 100 + FARTHEST ||
    top + height > 100 + FARTHEST
  );
}
