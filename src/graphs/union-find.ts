/** Disjoint sets over the numbers 0 to n - 1. */
export interface UnionFind {
  /** The number that stands for the set of `item`. */
  find(item: number): number;
  /** Makes one set of two; false when they were one already. */
  unite(a: number, b: number): boolean;
}

/**
 * n sets of one number each.
 *
 * Union by size with path halving: Tarjan & van Leeuwen, "Worst-case analysis of set union algorithms",
 * J. ACM 31 (1984).
 */
export function unionFind(n: number): UnionFind {
  const parent = Int32Array.from({ length: n }, (_, i) => i);
  const size = new Int32Array(n).fill(1);
  const find = (item: number): number => {
    let at = item;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]]!;
      at = parent[at]!;
    }
    return at;
  };
  const unite = (a: number, b: number): boolean => {
    let large = find(a);
    let small = find(b);
    if (large === small) return false;
    if (size[large] < size[small]) [large, small] = [small, large];
    parent[small] = large;
    size[large] += size[small];
    return true;
  };
  return { find, unite };
}
