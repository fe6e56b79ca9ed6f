/** Places sorted into halves of halves, to find those near another; a place can be taken out. */
export interface NearTree {
  /**
   * Visits places that are not further than a limit, the nearer halves first.
   *
   * @param visit is given a place's number and its distance, and gives the limit from then on
   * @param within the limit before the first visit
   */
  near(
    x: number,
    y: number,
    visit: (item: number, distance: number) => number,
    within?: number,
  ): void;
  remove(item: number): void;
}

/** Places in a leaf: so few are looked through faster than halved again. Common practice, no source. */
const LEAF = 8;

/** A half: its box, and either two halves of it or its items. */
interface Half {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  /** How many of its places are there still. */
  count: number;
  readonly above: Half | undefined;
  halves: readonly [Half, Half] | undefined;
  items: number[];
}

/**
 * A k-d tree: Bentley, "Multidimensional binary search trees used for associative searching", Commun. ACM 18 (1975).
 *
 * @param items the numbers of the places that take part
 * @param xs,ys all places, in mm
 */
export function nearTree(items: readonly number[], xs: Float64Array, ys: Float64Array): NearTree {
  const home = new Map<number, Half>();
  const root = halved([...items], undefined, xs, ys, home);
  return {
    near(x, y, visit, within = Infinity) {
      let limit = within;
      const search = (half: Half, away: number): void => {
        if (half.count === 0 || away > limit) return;
        if (!half.halves) {
          for (const item of half.items) {
            const [dx, dy] = [xs[item] - x, ys[item] - y];
            const distance = Math.sqrt(dx * dx + dy * dy);
            if (distance <= limit) limit = visit(item, distance);
          }
          return;
        }
        const [a, b] = half.halves;
        const [toA, toB] = [distanceToBox(a, x, y), distanceToBox(b, x, y)];
        if (toA <= toB) {
          search(a, toA);
          search(b, toB);
        } else {
          search(b, toB);
          search(a, toA);
        }
      };
      search(root, distanceToBox(root, x, y));
    },
    remove(item) {
      const leaf = home.get(item);
      if (!leaf) return;
      home.delete(item);
      leaf.items.splice(leaf.items.indexOf(item), 1);
      for (let half: Half | undefined = leaf; half; half = half.above) half.count--;
    },
  };
}

function halved(
  items: number[],
  above: Half | undefined,
  xs: Float64Array,
  ys: Float64Array,
  home: Map<number, Half>,
): Half {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const item of items) {
    box.minX = Math.min(box.minX, xs[item]);
    box.minY = Math.min(box.minY, ys[item]);
    box.maxX = Math.max(box.maxX, xs[item]);
    box.maxY = Math.max(box.maxY, ys[item]);
  }
  const half: Half = { ...box, count: items.length, above, halves: undefined, items };
  if (items.length <= LEAF) {
    for (const item of items) home.set(item, half);
    return half;
  }
  const along = box.maxX - box.minX >= box.maxY - box.minY ? xs : ys;
  items.sort((a, b) => along[a] - along[b]);
  const middle = items.length >> 1;
  half.halves = [
    halved(items.slice(0, middle), half, xs, ys, home),
    halved(items.slice(middle), half, xs, ys, home),
  ];
  half.items = [];
  return half;
}

function distanceToBox({ minX, minY, maxX, maxY }: Half, x: number, y: number): number {
  const dx = Math.max(minX - x, 0, x - maxX);
  const dy = Math.max(minY - y, 0, y - maxY);
  return Math.sqrt(dx * dx + dy * dy);
}
