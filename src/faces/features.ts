import type { Point } from '../geometry/shape.js';

export type FeatureName = 'right eye' | 'left eye' | 'mouth' | 'right brow' | 'left brow' | 'nose';

/** A feature of a face as its landmarks have it, in the landmarks' unit. */
export interface Feature {
  readonly name: FeatureName;
  /** The line that a hand would draw for it, from one end to the other. */
  readonly axis: readonly Point[];
  /** Its outline; for a brow and for the shadow under a nose, its line there and back. */
  readonly outline: readonly Point[];
}

const range = (first: number, last: number): number[] =>
  Array.from({ length: last - first + 1 }, (_, k) => first + k);

/**
 * Which of the 68 landmarks make what (Sagonas et al. 2013): a pair stands for the place halfway between the two. The
 * face's right is on the left of the picture.
 */
const AXES: Readonly<Record<FeatureName, readonly (number | readonly [number, number])[]>> = {
  'right eye': [36, [37, 41], [38, 40], 39],
  'left eye': [42, [43, 47], [44, 46], 45],
  mouth: [48, [61, 67], [62, 66], [63, 65], 54],
  'right brow': range(17, 21),
  'left brow': range(22, 26),
  nose: range(31, 35),
};
const OUTLINES: Readonly<Record<FeatureName, readonly number[]>> = {
  'right eye': range(36, 41),
  'left eye': range(42, 47),
  mouth: range(48, 59),
  'right brow': [...range(17, 21), ...range(17, 21).reverse()],
  'left brow': [...range(22, 26), ...range(22, 26).reverse()],
  nose: [...range(31, 35), ...range(31, 35).reverse()],
};

/** The features of a face, those that a viewer misses most first. */
export const FEATURES = Object.keys(AXES) as FeatureName[];

/** Those without which a face is none. */
export const MISSED: ReadonlySet<FeatureName> = new Set(['right eye', 'left eye', 'mouth']);

export function featureOf(name: FeatureName, landmarks: readonly Point[]): Feature {
  return {
    name,
    axis: AXES[name].map((at) =>
      typeof at === 'number' ? landmarks[at] : halfway(landmarks[at[0]], landmarks[at[1]]),
    ),
    outline: OUTLINES[name].map((at) => landmarks[at]),
  };
}

function halfway(a: Point, b: Point): Point {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

/** How far the jaw line is drawn in, and the brows are raised, for the skin between: in widths of the face. */
const JAW_IN = 0.08;
const FOREHEAD = 0.1;

/** The skin of a face: from the brows to the jaw, without what may be hair. */
export function skinOf(landmarks: readonly Point[]): Point[] {
  const jaw = landmarks.slice(0, 17);
  const nose = landmarks[30];
  const inward = jaw.map(({ x, y }) => ({
    x: x + JAW_IN * 2 * (nose.x - x),
    y: y + JAW_IN * 2 * (nose.y - y),
  }));
  const width = Math.hypot(jaw[16].x - jaw[0].x, jaw[16].y - jaw[0].y);
  const chin = jaw[8];
  const tall = Math.hypot(nose.x - chin.x, nose.y - chin.y);
  const up = { x: ((nose.x - chin.x) / tall) * FOREHEAD * width, y: ((nose.y - chin.y) / tall) * FOREHEAD * width }; // prettier-ignore
  const brows = landmarks.slice(17, 27).map(({ x, y }) => ({ x: x + up.x, y: y + up.y }));
  return [...inward, ...brows.reverse()];
}

/** The middle of a face: from brow to brow, between the outer corners of the eyes, down to the mouth. */
export function midfaceOf(landmarks: readonly Point[]): Point[] {
  return [17, 19, 24, 26, 45, 54, 57, 48, 36].map((k) => landmarks[k]);
}
