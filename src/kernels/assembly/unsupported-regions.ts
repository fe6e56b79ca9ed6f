/**
 * Marks the regions with too little of their outline near a contour; see src/raster/unsupported-regions.ts.
 *
 * @param starts, ends, numbers the regions' runs of pixels, `runs` of them, and the region of each
 * @param near 1 near a contour, else 0
 * @param least the share of its outline that a region must have there
 * @param smallerThan regions of as many pixels or more stay
 * @param outline, supported room for a number a region, and one more; 0 all
 * @param changes 0 all; comes out as 1 on the pixels of those regions
 */
export function markUnsupported(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  value: i32,
  starts: StaticArray<i32>,
  ends: StaticArray<i32>,
  numbers: StaticArray<i32>,
  runs: i32,
  areas: StaticArray<i32>,
  near: StaticArray<u8>,
  least: f64,
  smallerThan: f64,
  outline: StaticArray<i32>,
  supported: StaticArray<i32>,
  changes: StaticArray<u8>,
): void {
  for (let run = 0; run < runs; run++) {
    const y = starts[run] / width;
    if (y === 0 || y === height - 1) continue;
    const number = numbers[run];
    const last = min(ends[run], (y + 1) * width - 1);
    for (let i = max(starts[run], y * width + 1); i < last; i++) {
      const sides =
        <i32>data[i - 1] + <i32>data[i + 1] + <i32>data[i - width] + <i32>data[i + width];
      if (sides === 4 * value) continue;
      outline[number]++;
      supported[number] += near[i];
    }
  }
  for (let run = 0; run < runs; run++) {
    const number = numbers[run];
    if (<f64>areas[number] >= smallerThan) continue;
    if (<f64>supported[number] >= least * <f64>outline[number]) continue;
    for (let i = starts[run]; i < ends[run]; i++) changes[i] = 1;
  }
}
