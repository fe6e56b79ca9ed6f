/**
 * Solver for a symmetric positive definite system whose unknowns lie on a ring, each coupled to its two
 * neighbours on either side: LDLᵀ with a band of two and the last two unknowns kept as a border.
 *
 * Golub & Van Loan, "Matrix Computations" (4th ed. 2013), 4.3 and 4.5.
 */
export interface RingFactor {
  readonly diagonal: Float64Array;
  /** L[j + 1, j] and L[j + 2, j]. */
  readonly next: Float64Array;
  readonly second: Float64Array;
  /** L[n - 2, j] and L[n - 1, j]. */
  readonly border: Float64Array;
  readonly lastBorder: Float64Array;
  /** L[n - 1, n - 2]. */
  readonly closing: number;
}

/**
 * @param a,a1,a2 A[j, j], A[j, j + 1] and A[j, j + 2], indices going round; at least 6 unknowns
 */
export function factorRing(a: Float64Array, a1: Float64Array, a2: Float64Array): RingFactor {
  const n = a.length;
  const band = n - 2;
  const diagonal = Float64Array.from(a);
  const next = Float64Array.from(a1);
  const second = Float64Array.from(a2);
  const border = new Float64Array(band);
  const lastBorder = new Float64Array(band);
  border[0] = a2[n - 2];
  border[band - 2] = a2[band - 2];
  border[band - 1] = a1[band - 1];
  lastBorder[0] = a1[n - 1];
  lastBorder[1] = a2[n - 1];
  lastBorder[band - 1] = a2[band - 1];
  next[band - 1] = 0;
  second[band - 1] = 0;
  second[band - 2] = 0;
  let closing = a1[n - 2];
  for (let j = 0; j < band; j++) {
    const d = diagonal[j];
    const l1 = next[j] / d;
    const l2 = second[j] / d;
    const m0 = border[j] / d;
    const m1 = lastBorder[j] / d;
    if (j + 1 < band) {
      diagonal[j + 1] -= l1 * next[j];
      next[j + 1] -= l1 * second[j];
      border[j + 1] -= l1 * border[j];
      lastBorder[j + 1] -= l1 * lastBorder[j];
    }
    if (j + 2 < band) {
      diagonal[j + 2] -= l2 * second[j];
      border[j + 2] -= l2 * border[j];
      lastBorder[j + 2] -= l2 * lastBorder[j];
    }
    diagonal[n - 2] -= m0 * border[j];
    closing -= m0 * lastBorder[j];
    diagonal[n - 1] -= m1 * lastBorder[j];
    next[j] = l1;
    second[j] = l2;
    border[j] = m0;
    lastBorder[j] = m1;
  }
  closing /= diagonal[n - 2];
  diagonal[n - 1] -= closing * closing * diagonal[n - 2];
  return { diagonal, next, second, border, lastBorder, closing };
}

/** Solves the factored system; the right hand side is overwritten by the solution. */
export function solveRing(factor: RingFactor, b: Float64Array): void {
  const { diagonal, next, second, border, lastBorder, closing } = factor;
  const n = b.length;
  const band = n - 2;
  let beforeLast = b[n - 2];
  let last = b[n - 1];
  for (let j = 0; j < band; j++) {
    const v = b[j];
    b[j + 1] -= next[j] * v; // next and second are 0 where they would reach into the border
    if (j + 2 < band) b[j + 2] -= second[j] * v;
    beforeLast -= border[j] * v;
    last -= lastBorder[j] * v;
  }
  last = (last - closing * beforeLast) / diagonal[n - 1];
  beforeLast = beforeLast / diagonal[n - 2] - closing * last;
  b[n - 1] = last;
  b[n - 2] = beforeLast;
  for (let j = band - 1; j >= 0; j--) {
    let v = b[j] / diagonal[j] - border[j] * beforeLast - lastBorder[j] * last;
    if (j + 1 < band) v -= next[j] * b[j + 1];
    if (j + 2 < band) v -= second[j] * b[j + 2];
    b[j] = v;
  }
}
