/** Distinct numbers, of which the largest is taken first. */
export interface ScanQueue {
  isEmpty(): boolean;
  clear(): void;
  /** Puts a number in, if it is not in it. */
  add(item: number): void;
  /** Takes the largest number out; undefined when there is none. */
  pollLast(): number | undefined;
}

/** A binary heap: Williams, "Algorithm 232: Heapsort", Comm. ACM 7 (1964). */
export function scanQueue(): ScanQueue {
  const heap: number[] = [];
  const held = new Set<number>();
  return {
    isEmpty: () => heap.length === 0,
    clear() {
      heap.length = 0;
      held.clear();
    },
    add(item) {
      if (held.has(item)) return;
      held.add(item);
      rise(heap, item);
    },
    pollLast() {
      const largest = heap[0];
      const last = heap.pop();
      if (last === undefined) return undefined;
      held.delete(largest);
      if (heap.length > 0) sink(heap, last);
      return largest;
    },
  };
}

function rise(heap: number[], item: number): void {
  let at = heap.length;
  heap.push(item);
  while (at > 0) {
    const parent = (at - 1) >> 1;
    if (heap[parent] >= item) break;
    heap[at] = heap[parent];
    at = parent;
  }
  heap[at] = item;
}

/** Puts an item in the place of the largest. */
function sink(heap: number[], item: number): void {
  let at = 0;
  for (let child = 1; child < heap.length; child = 2 * at + 1) {
    if (child + 1 < heap.length && heap[child + 1] > heap[child]) child++;
    if (heap[child] <= item) break;
    heap[at] = heap[child];
    at = child;
  }
  heap[at] = item;
}
