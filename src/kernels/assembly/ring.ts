/**
 * Factors a symmetric positive definite matrix whose unknowns lie on a ring, each coupled to its two neighbours on
 * either side: LDLᵀ with a band of two and the last two unknowns kept as a border.
 *
 * Golub & Van Loan, "Matrix Computations" (4th ed. 2013), 4.3 and 4.5.
 *
 * @param n how many unknowns, at least 6
 * @param diagonal,next,second A[j, j], A[j, j + 1] and A[j, j + 2], indices going round; overwritten by D and by
 *   L[j + 1, j] and L[j + 2, j]
 * @param border,lastBorder all 0; overwritten by L[n - 2, j] and L[n - 1, j]
 * @returns L[n - 1, n - 2]
 */
export function factorRing(
  n: i32,
  diagonal: StaticArray<f64>,
  next: StaticArray<f64>,
  second: StaticArray<f64>,
  border: StaticArray<f64>,
  lastBorder: StaticArray<f64>,
): f64 {
  const band = n - 2;
  border[0] = second[n - 2];
  border[band - 2] = second[band - 2];
  border[band - 1] = next[band - 1];
  lastBorder[0] = next[n - 1];
  lastBorder[1] = second[n - 1];
  lastBorder[band - 1] = second[band - 1];
  next[band - 1] = 0;
  second[band - 1] = 0;
  second[band - 2] = 0;
  let closing = next[n - 2];
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
  return closing;
}

/** Solves the factored system; the right hand side is overwritten by the solution. */
export function solveRing(
  n: i32,
  diagonal: StaticArray<f64>,
  next: StaticArray<f64>,
  second: StaticArray<f64>,
  border: StaticArray<f64>,
  lastBorder: StaticArray<f64>,
  closing: f64,
  b: StaticArray<f64>,
): void {
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
