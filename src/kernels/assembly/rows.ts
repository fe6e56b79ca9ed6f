/** Row `k` of numbers that lie row by row, `length` to each. */
export function row(rows: StaticArray<f64>, length: i32, k: i32): StaticArray<f64> {
  return changetype<StaticArray<f64>>(changetype<usize>(rows) + ((<usize>(k * length)) << 3));
}
