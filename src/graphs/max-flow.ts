/**
 * A grid of nodes, row by row, each joined to its eight neighbours, to a source and to a sink. Capacities are whole
 * numbers below 2³⁰, so that sums stay exact.
 */
export interface FlowGrid {
  readonly width: number;
  readonly height: number;
  /** What may flow to a node from the source, less what may flow from it to the sink. */
  readonly terminal: Int32Array;
  /** What may flow either way between a node and its neighbours, four numbers a node: as `FORWARD` lists them. */
  readonly links: Int32Array;
}

/** The neighbours that a node holds the links to, as steps in x and y: the others hold the links to it. */
export const FORWARD = [
  [1, 0],
  [-1, 1],
  [0, 1],
  [1, 1],
] as const;

/** The least cut: which nodes stay with the source, and what it costs. */
export interface MinCut {
  /** One byte a node: 1 on the source's side, 0 on the sink's. */
  readonly source: Uint8Array;
  /** The flow, which is the cut's cost less what flows through a single node from source to sink anyway. */
  readonly value: number;
}

/**
 * The directions from a node: 0 to 3 backward, 4 to 7 forward; the opposite of d is 7 − d. Two more say what else a
 * parent can be.
 */
const DIRECTIONS = 8;
const TERMINAL = 8;
const NONE = 9;

/** Which tree a node hangs in: none, the source's or the sink's. */
const FREE = 0;
const SOURCE = 1;
const SINK = 2;

/**
 * Parts a grid by the cut of least cost between source and sink, found by the largest flow.
 *
 * Y. Boykov & V. Kolmogorov, An experimental comparison of min-cut/max-flow algorithms for energy minimization in
 * vision, IEEE Transactions on Pattern Analysis and Machine Intelligence 26(9), 2004: two search trees that grow from
 * the terminals and are mended, not built anew, after each path; with their marks of distance and time.
 */
export function leastCut(grid: FlowGrid): MinCut {
  const search = new Search(grid);
  const value = search.run();
  return { source: search.sourceSide(), value };
}

/** The two trees in the making. The grid gets a rim of nodes without links, so that every neighbour is there. */
class Search {
  readonly #width: number;
  readonly #height: number;
  readonly #stride: number;
  readonly #steps: Int32Array;
  /** What still may flow along each direction from each node. */
  readonly #rest: Int32Array;
  readonly #terminal: Int32Array;
  readonly #tree: Uint8Array;
  /** The direction to a node's parent. */
  readonly #parent: Uint8Array;
  readonly #distance: Int32Array;
  readonly #stamp: Int32Array;
  readonly #queue: Int32Array;
  readonly #isQueued: Uint8Array;
  #first = 0;
  #queued = 0;
  readonly #orphans: number[] = [];
  #time = 0;
  #flow = 0;

  constructor({ width, height, terminal, links }: FlowGrid) {
    this.#width = width;
    this.#height = height;
    this.#stride = width + 2;
    const nodes = this.#stride * (height + 2);
    const s = this.#stride;
    this.#steps = Int32Array.of(-s - 1, -s, -s + 1, -1, 1, s - 1, s, s + 1);
    this.#rest = new Int32Array(nodes * DIRECTIONS);
    this.#terminal = new Int32Array(nodes);
    this.#tree = new Uint8Array(nodes);
    this.#parent = new Uint8Array(nodes).fill(NONE);
    this.#distance = new Int32Array(nodes);
    this.#stamp = new Int32Array(nodes);
    this.#queue = new Int32Array(nodes);
    this.#isQueued = new Uint8Array(nodes);
    this.#takeOver(terminal, links);
  }

  #takeOver(terminal: Int32Array, links: Int32Array): void {
    for (let y = 0, i = 0; y < this.#height; y++) {
      for (let x = 0; x < this.#width; x++, i++) {
        const node = (y + 1) * this.#stride + x + 1;
        this.#terminal[node] = terminal[i];
        for (let k = 0; k < FORWARD.length; k++) {
          const [dx, dy] = FORWARD[k];
          if (x + dx < 0 || x + dx >= this.#width || y + dy >= this.#height) continue;
          const direction = 4 + k;
          this.#rest[node * DIRECTIONS + direction] = links[4 * i + k];
          const other = node + this.#steps[direction];
          this.#rest[other * DIRECTIONS + 7 - direction] = links[4 * i + k];
        }
        if (terminal[i] === 0) continue;
        this.#tree[node] = terminal[i] > 0 ? SOURCE : SINK;
        this.#parent[node] = TERMINAL;
        this.#distance[node] = 1;
        this.#activate(node);
      }
    }
  }

  run(): number {
    for (let node = this.#nextActive(); node >= 0; node = this.#nextActive()) {
      // A node stays active for as long as paths go through it.
      for (;;) {
        if (this.#tree[node] === FREE) break;
        const direction = this.#grow(node);
        if (direction < 0) break;
        this.#time++;
        this.#augment(node, direction);
        this.#adopt();
      }
    }
    return this.#flow;
  }

  sourceSide(): Uint8Array {
    const side = new Uint8Array(this.#width * this.#height);
    for (let y = 0, i = 0; y < this.#height; y++) {
      for (let x = 0; x < this.#width; x++, i++) {
        side[i] = this.#tree[(y + 1) * this.#stride + x + 1] === SOURCE ? 1 : 0;
      }
    }
    return side;
  }

  #activate(node: number): void {
    if (this.#isQueued[node] === 1) return;
    this.#isQueued[node] = 1;
    this.#queue[(this.#first + this.#queued++) % this.#queue.length] = node;
  }

  #nextActive(): number {
    if (this.#queued === 0) return -1;
    const node = this.#queue[this.#first];
    this.#first = (this.#first + 1) % this.#queue.length;
    this.#queued--;
    this.#isQueued[node] = 0;
    return node;
  }

  /** Takes free neighbours into a node's tree; gives the direction of the first that is in the other tree, or −1. */
  #grow(node: number): number {
    const tree = this.#tree[node];
    const rest = this.#rest;
    for (let d = 0; d < DIRECTIONS; d++) {
      const other = node + this.#steps[d];
      const open = tree === SOURCE ? rest[node * DIRECTIONS + d] : rest[other * DIRECTIONS + 7 - d];
      if (open === 0) continue;
      const its = this.#tree[other];
      if (its === FREE) {
        this.#tree[other] = tree;
        this.#hang(other, 7 - d, node);
        this.#activate(other);
      } else if (its !== tree) {
        return d;
      } else if (
        this.#stamp[other] <= this.#stamp[node] &&
        this.#distance[other] > this.#distance[node]
      ) {
        this.#hang(other, 7 - d, node);
      }
    }
    return -1;
  }

  #hang(node: number, direction: number, parent: number): void {
    this.#parent[node] = direction;
    this.#stamp[node] = this.#stamp[parent];
    this.#distance[node] = this.#distance[parent] + 1;
  }

  /** Sends as much as it takes along the path through the link from `node` in `direction` between the trees. */
  #augment(node: number, direction: number): void {
    const other = node + this.#steps[direction];
    const inSource = this.#tree[node] === SOURCE;
    const from = inSource ? node : other;
    const to = inSource ? other : node;
    const link = inSource ? node * DIRECTIONS + direction : other * DIRECTIONS + 7 - direction;
    const back = inSource ? other * DIRECTIONS + 7 - direction : node * DIRECTIONS + direction;
    const amount = Math.min(
      this.#rest[link],
      this.#narrowest(from, SOURCE),
      this.#narrowest(to, SINK),
    );
    this.#rest[link] -= amount;
    this.#rest[back] += amount;
    this.#push(from, SOURCE, amount);
    this.#push(to, SINK, amount);
    this.#flow += amount;
  }

  /** The most that flows between a node and its tree's terminal. */
  #narrowest(start: number, tree: number): number {
    let least = Infinity;
    let node = start;
    for (let up = this.#parent[node]; up !== TERMINAL; up = this.#parent[node]) {
      const parent = node + this.#steps[up];
      const open =
        this.#rest[tree === SOURCE ? parent * DIRECTIONS + 7 - up : node * DIRECTIONS + up];
      if (open < least) least = open;
      node = parent;
    }
    return Math.min(least, Math.abs(this.#terminal[node]));
  }

  #push(start: number, tree: number, amount: number): void {
    const rest = this.#rest;
    let node = start;
    for (let up = this.#parent[node]; up !== TERMINAL; up = this.#parent[node]) {
      const parent = node + this.#steps[up];
      const down = parent * DIRECTIONS + 7 - up;
      const along = tree === SOURCE ? down : node * DIRECTIONS + up;
      const against = tree === SOURCE ? node * DIRECTIONS + up : down;
      rest[along] -= amount;
      rest[against] += amount;
      if (rest[along] === 0) this.#cutOff(node);
      node = parent;
    }
    this.#terminal[node] += tree === SOURCE ? -amount : amount;
    if (this.#terminal[node] === 0) this.#cutOff(node);
  }

  #cutOff(node: number): void {
    this.#parent[node] = NONE;
    this.#orphans.push(node);
  }

  /** Finds a new parent for every node that has lost its own, or sets it free. */
  #adopt(): void {
    for (let node = this.#orphans.pop(); node !== undefined; node = this.#orphans.pop()) {
      const direction = this.#nearestParent(node);
      if (direction === NONE) {
        this.#setFree(node);
      } else {
        this.#parent[node] = direction;
        this.#stamp[node] = this.#time;
        this.#distance[node] = this.#distance[node + this.#steps[direction]] + 1;
      }
    }
  }

  #nearestParent(node: number): number {
    const tree = this.#tree[node];
    let best = NONE;
    let least = Infinity;
    for (let d = 0; d < DIRECTIONS; d++) {
      const other = node + this.#steps[d];
      if (this.#tree[other] !== tree || this.#openTowards(node, d, other, tree) === 0) continue;
      const distance = this.#distanceToTerminal(other);
      if (distance >= least) continue;
      least = distance;
      best = d;
    }
    return best;
  }

  /** What may flow from `other` to `node` in the source's tree, from `node` to `other` in the sink's. */
  #openTowards(node: number, direction: number, other: number, tree: number): number {
    return this.#rest[
      tree === SOURCE ? other * DIRECTIONS + 7 - direction : node * DIRECTIONS + direction
    ];
  }

  /** Steps to the terminal, Infinity where a node hangs on an orphan; marks the way, so that it is walked once. */
  #distanceToTerminal(start: number): number {
    let steps = 0;
    let node = start;
    for (;;) {
      if (this.#stamp[node] === this.#time) {
        steps += this.#distance[node];
        break;
      }
      const up = this.#parent[node];
      steps++;
      if (up === NONE) return Infinity;
      if (up === TERMINAL) {
        this.#stamp[node] = this.#time;
        this.#distance[node] = 1;
        break;
      }
      node += this.#steps[up];
    }
    let left = steps;
    for (let at = start; this.#stamp[at] !== this.#time; at += this.#steps[this.#parent[at]]) {
      this.#stamp[at] = this.#time;
      this.#distance[at] = left--;
    }
    return steps;
  }

  #setFree(node: number): void {
    const tree = this.#tree[node];
    for (let d = 0; d < DIRECTIONS; d++) {
      const other = node + this.#steps[d];
      if (this.#tree[other] !== tree) continue;
      if (this.#openTowards(node, d, other, tree) > 0) this.#activate(other);
      if (this.#parent[other] === 7 - d) this.#cutOff(other);
    }
    this.#tree[node] = FREE;
    this.#parent[node] = NONE;
  }
}
