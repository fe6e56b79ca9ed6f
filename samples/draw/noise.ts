/** Seeded chance, so that every run draws the same picture. */

/** A stream of numbers in [0, 1) from a seed: a 32-bit multiply-and-mix generator. */
export function chance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A number in [0, 1) that belongs to the lattice point (x, y, z), always the same. */
function lattice(x: number, y: number, z: number): number {
  let hash = Math.imul(x, 0x27d4eb2d) ^ Math.imul(y, 0x165667b1) ^ Math.imul(z, 0x5bd1e995);
  hash = Math.imul(hash ^ (hash >>> 15), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return ((hash ^ (hash >>> 16)) >>> 0) / 4294967296;
}

const fade = (t: number): number => t * t * (3 - 2 * t);

/** Smooth noise in [0, 1): lattice values, blended; one bump a unit. */
export function noise(x: number, y: number, z = 0): number {
  const [i, j, k] = [Math.floor(x), Math.floor(y), Math.floor(z)];
  const [u, v, w] = [fade(x - i), fade(y - j), fade(z - k)];
  const plane = (depth: number): number => {
    const top = lattice(i, j, depth) * (1 - u) + lattice(i + 1, j, depth) * u;
    const bottom = lattice(i, j + 1, depth) * (1 - u) + lattice(i + 1, j + 1, depth) * u;
    return top * (1 - v) + bottom * v;
  };
  // On a plane of the lattice the next one weighs nothing.
  return w === 0 ? plane(k) : plane(k) * (1 - w) + plane(k + 1) * w;
}

/** Noise of several sizes, each half as large and half as strong as the one before; in [0, 1). */
export function layeredNoise(x: number, y: number, z: number, layers: number): number {
  let [sum, weight, total] = [0, 1, 0];
  for (let layer = 0; layer < layers; layer++) {
    const scale = 2 ** layer;
    sum += weight * noise(x * scale + layer * 17.3, y * scale, z * scale);
    total += weight;
    weight /= 2;
  }
  return sum / total;
}
