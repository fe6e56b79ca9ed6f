/** A rectangle to be laid, or a bin to lay in. */
export interface RectangleSize {
  readonly width: number;
  readonly height: number;
}

/** A rectangle that lies somewhere; `x`, `y` is its top left corner. */
export interface Rectangle extends RectangleSize {
  readonly x: number;
  readonly y: number;
}

/** How well a rectangle sits in a free one: smaller is better, the first number first. */
export type Fit = (size: RectangleSize, free: Rectangle) => readonly [number, number];

/** The ways to judge a fit of Jylänki, 2010, section 2.3. */
export const fits: readonly Fit[] = [
  // Best short side: what is left over on the tighter side.
  ({ width, height }, free) => {
    const [across, down] = [free.width - width, free.height - height];
    return [Math.min(across, down), Math.max(across, down)];
  },
  // Best long side.
  ({ width, height }, free) => {
    const [across, down] = [free.width - width, free.height - height];
    return [Math.max(across, down), Math.min(across, down)];
  },
  // Best area.
  ({ width, height }, free) => [
    free.width * free.height - width * height,
    Math.min(free.width - width, free.height - height),
  ],
  // Bottom left, here top left.
  ({ height }, free) => [free.y + height, free.x],
  // The same on its side.
  ({ width }, free) => [free.x + width, free.y],
];

/** What lengths in mm may be off by, in binary, and still fit. */
const TOLERANCE = 1e-6;

/** One bin that is being filled: its maximal free rectangles. */
export class Bin {
  private free: Rectangle[];

  constructor({ width, height }: RectangleSize) {
    this.free = [{ x: 0, y: 0, width, height }];
  }

  /** The best place for a rectangle, as it is or turned by a quarter; undefined when there is none. */
  best(
    size: RectangleSize,
    fit: Fit,
  ):
    | {
        readonly at: Rectangle;
        readonly turned: boolean;
        readonly score: readonly [number, number];
      }
    | undefined {
    let best: ReturnType<Bin['best']>;
    const ways = size.width === size.height ? [false] : [false, true];
    for (const turned of ways) {
      const { width, height } = turned ? { width: size.height, height: size.width } : size;
      for (const free of this.free) {
        if (width > free.width + TOLERANCE || height > free.height + TOLERANCE) continue;
        const score = fit({ width, height }, free);
        if (best && !isLess(score, best.score)) continue;
        best = { at: { x: free.x, y: free.y, width, height }, turned, score };
      }
    }
    return best;
  }

  /** Takes a place: every free rectangle that it cuts into is parted, and what lies in another is left out. */
  take(used: Rectangle): void {
    const parts = this.free.flatMap((free) => (overlap(free, used) ? around(free, used) : [free]));
    this.free = parts.filter(
      (part, i) =>
        !parts.some(
          (other, j) => i !== j && isWithin(part, other) && !(isWithin(other, part) && i < j),
        ),
    );
  }

  /** The area of the largest free rectangle. */
  get room(): number {
    return this.free.reduce((most, { width, height }) => Math.max(most, width * height), 0);
  }
}

/** Whether a score is better than another. */
export function isLess(a: readonly [number, number], b: readonly [number, number]): boolean {
  return a[0] < b[0] - TOLERANCE || (a[0] < b[0] + TOLERANCE && a[1] < b[1] - TOLERANCE);
}

function overlap(a: Rectangle, b: Rectangle): boolean {
  return (
    a.x + a.width > b.x + TOLERANCE &&
    b.x + b.width > a.x + TOLERANCE &&
    a.y + a.height > b.y + TOLERANCE &&
    b.y + b.height > a.y + TOLERANCE
  );
}

/** The largest rectangles of what is left of a free one: left, right, above and below of what is used. */
function around(free: Rectangle, used: Rectangle): Rectangle[] {
  const right = free.x + free.width;
  const bottom = free.y + free.height;
  const [usedRight, usedBottom] = [used.x + used.width, used.y + used.height];
  return [
    { ...free, width: used.x - free.x },
    { ...free, x: usedRight, width: right - usedRight },
    { ...free, height: used.y - free.y },
    { ...free, y: usedBottom, height: bottom - usedBottom },
  ].filter(({ width, height }) => width > TOLERANCE && height > TOLERANCE);
}

function isWithin(a: Rectangle, b: Rectangle): boolean {
  return (
    a.x >= b.x - TOLERANCE &&
    a.y >= b.y - TOLERANCE &&
    a.x + a.width <= b.x + b.width + TOLERANCE &&
    a.y + a.height <= b.y + b.height + TOLERANCE
  );
}
