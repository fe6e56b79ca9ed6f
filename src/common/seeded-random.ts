/**
 * Numbers from 0 up to and without 1 that look like chance and are the same for the same seed, on every machine: a
 * linear congruential generator with the constants of Press et al., "Numerical Recipes" (2nd ed., 7.1).
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
