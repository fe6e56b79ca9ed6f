/** The middle value, or the mean of the two in the middle. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** The exponent k of y = c·xᵏ that fits best by least squares of the logarithms. */
export function exponent(xs: readonly number[], ys: readonly number[]): number {
  const logX = xs.map(Math.log);
  const logY = ys.map(Math.log);
  const meanX = mean(logX);
  const meanY = mean(logY);
  const over = logX.reduce((sum, x, i) => sum + (x - meanX) * (logY[i] - meanY), 0);
  const under = logX.reduce((sum, x) => sum + (x - meanX) ** 2, 0);
  return over / under;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** A stream of numbers in [0, 1) from a seed: mulberry32, a public-domain generator. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export function seconds(ms: number): string {
  return `${(ms / 1000).toFixed(3)} s`;
}
