/** How many ends of edges meet at each node. */
export function degreesOf(
  nodes: number,
  edges: Iterable<{ readonly from: number; readonly to: number }>,
): Int32Array {
  const degrees = new Int32Array(nodes);
  for (const { from, to } of edges) {
    degrees[from]++;
    degrees[to]++;
  }
  return degrees;
}
