/** Two nodes that are tied to each other. */
export interface GraphEdge {
  readonly from: number;
  readonly to: number;
}

/** How nodes hang on a root by links. */
export interface CutEdges {
  /** By node: the number of the link that it hangs on in the search tree; -1 for the root and what is not joined. */
  readonly by: Int32Array;
  /** By node: the node above it in the search tree; -1 like `by`. */
  readonly above: Int32Array;
  /** By node: the order in which the search came to it and, beyond the last below it, left it; 0 when it never did. */
  readonly entered: Int32Array;
  readonly left: Int32Array;
  /** By node: 1 where the link above it is the only one that holds it and what is below. */
  readonly single: Uint8Array;
  /** By node: the fewest links between it and the root; -1 when it is not joined. */
  readonly depth: Int32Array;
}

/**
 * Finds what hangs on the root by a single link: the bridges of the graph, by depth-first search.
 *
 * Tarjan, "A note on finding the bridges of a graph", Information Processing Letters 2 (1974). Several links between
 * the same nodes count each.
 */
export function findCutEdges(root: number, nodes: number, links: readonly GraphEdge[]): CutEdges {
  const { starts, ends, numbers } = neighbours(nodes, links);
  const by = new Int32Array(nodes).fill(-1);
  const above = new Int32Array(nodes).fill(-1);
  const entered = new Int32Array(nodes);
  const left = new Int32Array(nodes);
  const low = new Int32Array(nodes);
  const single = new Uint8Array(nodes);
  const next = starts.slice(0, nodes);
  const stack = [root];
  let clock = 1;
  entered[root] = low[root] = clock++;
  while (stack.length > 0) {
    const node = stack[stack.length - 1];
    if (next[node] < starts[node + 1]) {
      const at = next[node]++;
      const [other, link] = [ends[at], numbers[at]];
      if (link === by[node]) continue;
      if (entered[other] === 0) {
        entered[other] = low[other] = clock++;
        by[other] = link;
        above[other] = node;
        stack.push(other);
      } else low[node] = Math.min(low[node], entered[other]);
      continue;
    }
    stack.pop();
    left[node] = clock;
    const parent = above[node];
    if (parent < 0) continue;
    low[parent] = Math.min(low[parent], low[node]);
    if (low[node] > entered[parent]) single[node] = 1;
  }
  return { by, above, entered, left, single, depth: depths(root, nodes, starts, ends) };
}

/** Whether a node is another or hangs below it in the search tree. */
export function isBelow({ entered, left }: CutEdges, node: number, top: number): boolean {
  return entered[node] >= entered[top] && entered[node] < left[top];
}

function neighbours(
  nodes: number,
  links: readonly GraphEdge[],
): { starts: Int32Array; ends: Int32Array; numbers: Int32Array } {
  const starts = new Int32Array(nodes + 1);
  for (const { from, to } of links) {
    starts[from + 1]++;
    starts[to + 1]++;
  }
  for (let node = 0; node < nodes; node++) starts[node + 1] += starts[node];
  const ends = new Int32Array(2 * links.length);
  const numbers = new Int32Array(2 * links.length);
  const next = starts.slice();
  links.forEach(({ from, to }, link) => {
    ends[next[from]] = to;
    numbers[next[from]++] = link;
    ends[next[to]] = from;
    numbers[next[to]++] = link;
  });
  return { starts, ends, numbers };
}

function depths(root: number, nodes: number, starts: Int32Array, ends: Int32Array): Int32Array {
  const depth = new Int32Array(nodes).fill(-1);
  depth[root] = 0;
  const queue = [root];
  for (const node of queue) {
    for (let at = starts[node]; at < starts[node + 1]; at++) {
      if (depth[ends[at]] >= 0) continue;
      depth[ends[at]] = depth[node] + 1;
      queue.push(ends[at]);
    }
  }
  return depth;
}
