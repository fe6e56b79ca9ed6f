import { boundsRound, boxOfPoints, type Bounds } from '../../geometry/bounding-box.js';
import { cropText } from '../../raster/placement.js';
import type { Face } from '../../faces/face.js';
import type { Picture } from '../read/read.js';

/** Room round a face for hair and shoulders, in widths of it. */
const BESIDE = 0.5;
const ABOVE = 0.7;
const BELOW = 1.1;
/** A crop that enlarges less is not worth what it leaves out. */
const WORTHWHILE = 1.15;

/**
 * A crop to the faces with room for hair and shoulders, in the shape of what is shown; null where it would not enlarge
 * them by what is needed.
 *
 * @param needed how many times larger they have to be
 */
export function cropToFaces(
  { pictureBox, pixelsPerMm, shows }: Pick<Picture, 'pictureBox' | 'pixelsPerMm' | 'shows'>,
  faces: readonly Face[],
  needed: number,
): string | null {
  const [wide, tall] = [pictureBox.width / pixelsPerMm, pictureBox.height / pixelsPerMm];
  const all = boundsRound(faces.map(withHairAndShoulders));
  const width = Math.min(wide, all.right - all.left);
  const height = Math.min(tall, all.bottom - all.top);
  const share = Math.max(width / wide, height / tall);
  if (1 / share < Math.max(WORTHWHILE, needed)) return null;
  const within = (from: number, to: number, length: number, most: number): number =>
    Math.min(Math.max((from + to - length) / 2, 0), most - length);
  const x = within(all.left, all.right, share * wide, wide) / wide;
  const y = within(all.top, all.bottom, share * tall, tall) / tall;
  return cropText({ x, y, width: share, height: share }, shows);
}

/** The box round a face, hair and shoulders, mm. */
function withHairAndShoulders({ landmarks, widthMm }: Face): Bounds {
  const [left, top, right, bottom] = boxOfPoints(landmarks);
  return {
    left: left - BESIDE * widthMm,
    top: top - ABOVE * widthMm,
    right: right + BESIDE * widthMm,
    bottom: bottom + BELOW * widthMm,
  };
}
