/** How much two masks of 0 and 1 share of what either of them holds, 0 to 1: the index of Jaccard. */
export function intersectionOverUnion(a: Uint8Array, b: Uint8Array): number {
  let [both, either] = [0, 0];
  for (let i = 0; i < a.length; i++) {
    both += a[i] & b[i];
    either += a[i] | b[i];
  }
  return either === 0 ? 0 : both / either;
}
