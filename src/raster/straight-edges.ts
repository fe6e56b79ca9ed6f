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
/** A square below this share of another's is that of a smaller number, however either was rounded. */
const SURELY_LESS = 0.99;
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
  const surelyLess = SURELY_LESS * least * least;
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x;
      const [gx, gy] = [
        (data[at + 1] - data[at - 1]) / 2,
        (data[at + width] - data[at - width]) / 2,
      ];
      // Most places have no edge: that is told without a root.
      if (gx * gx + gy * gy < surelyLess) continue;
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
  // The best place of each direction: only those near what was found have to be looked for again.
  const bests = Int32Array.from({ length: DIRECTIONS }, (_, i) =>
    largestIn(votes, i * across, across),
  );
  while (found.length < most) {
    let direction = 0;
    for (let i = 1; i < DIRECTIONS; i++) {
      if (votes[bests[i]] > votes[bests[direction]]) direction = i;
    }
    if (votes[bests[direction]] === 0) break;
    const place = bests[direction] - direction * across;
    found.push([direction, place]);
    for (let step = -SAME_STEPS; step <= SAME_STEPS; step++) {
      const near = (direction + step + DIRECTIONS) % DIRECTIONS;
      const row = near * across;
      const [first, last] = [Math.max(0, place - SAME_PX), Math.min(across - 1, place + SAME_PX)];
      votes.fill(0, row + first, row + last + 1);
      bests[near] = largestIn(votes, row, across);
    }
  }
  return found;
}

/** The first place of the most votes among `count` from `first`. */
function largestIn(votes: Float32Array, first: number, count: number): number {
  let best = first;
  let largest = votes[first];
  for (let at = first + 1; at < first + count; at++) {
    if (votes[at] > largest) {
      best = at;
      largest = votes[at];
    }
  }
  return best;
}
