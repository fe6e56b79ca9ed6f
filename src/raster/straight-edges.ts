import type { Field } from './field.js';

/**
 * A straight edge: all places with x cos `angle` + y sin `angle` = `from`, in px with pixel (i, j) at (i, j). What lies
 * beyond it in the direction of its angle is lighter.
 */
export interface StraightEdge {
  /** Radians, −π to π. */
  readonly angle: number;
  readonly from: number;
}

/** Directions that are told apart, in a whole turn. */
const DIRECTIONS = 360;
/** A pixel votes for directions up to so many steps from its own: a gradient of three pixels is no surer. */
const UNSURE = 3;
/** Steps and px within which two maxima are the same edge. */
const SAME_STEPS = 4;
const SAME_PX = 4;

/**
 * The straight edges of a picture, the one with the most votes first.
 *
 * Each pixel votes for the lines across its gradient. R. Duda & P. Hart, Use of the Hough transformation to detect lines
 * and curves in pictures, CACM 15 (1972); the gradient's direction as a bound of the votes by F. O'Gorman & M. Clowes,
 * Finding picture edges through collinearity of feature points, IEEE Trans. Comput. C-25 (1976).
 *
 * @param field blurred, so that a gradient of three pixels means something
 * @param least a change for each px that is a gradient; more than five times as much counts no more
 * @param most how many edges are wanted
 */
export function straightEdges(field: Field, least: number, most: number): readonly StraightEdge[] {
  const { width, height, data } = field;
  const reach = Math.ceil(Math.hypot(width, height));
  const across = 2 * reach + 1;
  const votes = new Float32Array(DIRECTIONS * across);
  const normals = Array.from({ length: DIRECTIONS }, (_, i) => {
    const angle = angleOf(i);
    return [Math.cos(angle), Math.sin(angle)] as const;
  });
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      const [gx, gy] = [
        (data[at + 1] - data[at - 1]) / 2,
        (data[at + width] - data[at - width]) / 2,
      ];
      const strength = Math.hypot(gx, gy);
      if (strength < least) continue;
      const own = Math.round((Math.atan2(gy, gx) / (2 * Math.PI)) * DIRECTIONS);
      for (let step = own - UNSURE; step <= own + UNSURE; step++) {
        const direction = (step + DIRECTIONS) % DIRECTIONS;
        const [cos, sin] = normals[direction];
        votes[direction * across + Math.round(x * cos + y * sin) + reach] += Math.min(
          strength,
          5 * least,
        );
      }
    }
  }
  return maximaOf(votes, across, most).map(([direction, place]) => ({
    angle: angleOf(direction),
    from: place - reach,
  }));
}

/** The angle of a direction, −π to π. */
const angleOf = (direction: number): number => {
  const turn = direction / DIRECTIONS;
  return 2 * Math.PI * (turn > 0.5 ? turn - 1 : turn);
};

/** The places with the most votes, none near another one. */
function maximaOf(
  votes: Float32Array,
  across: number,
  most: number,
): (readonly [number, number])[] {
  const found: (readonly [number, number])[] = [];
  while (found.length < most) {
    let best = 0;
    for (let at = 1; at < votes.length; at++) if (votes[at] > votes[best]) best = at;
    if (votes[best] === 0) break;
    const [direction, place] = [Math.floor(best / across), best % across];
    found.push([direction, place]);
    for (let step = -SAME_STEPS; step <= SAME_STEPS; step++) {
      const row = ((direction + step + DIRECTIONS) % DIRECTIONS) * across;
      const [first, last] = [Math.max(0, place - SAME_PX), Math.min(across - 1, place + SAME_PX)];
      votes.fill(0, row + first, row + last + 1);
    }
  }
  return found;
}
