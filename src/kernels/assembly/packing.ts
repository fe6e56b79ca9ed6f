import { addressOf } from './lanes';

/** One bit of each of eight bytes that are 0 or 1, the first the highest, by one multiplication. */
const GATHER: u64 = ((<u64>0x80402010) << 32) | 0x08040201;

/**
 * Packs eight pixels of a bitmap into a byte, the leftmost in the highest bit.
 *
 * @param stride bytes from one packed row to the next
 * @param packed comes out as the rows; each begins at its second byte
 */
export function packRows(
  data: StaticArray<u8>,
  width: i32,
  height: i32,
  stride: i32,
  packed: StaticArray<u8>,
): void {
  for (let y = 0, i = 0; y < height; y++) {
    let at = y * stride + 1;
    const end = i + width;
    for (; i + 8 <= end; i += 8) {
      const eight = load<u64>(addressOf(data, i));
      packed[at++] = <u8>((eight * GATHER) >> 56);
    }
    if (i === end) continue;
    let last: i32 = 0;
    for (let bit = 7; i < end; i++, bit--) last |= (<i32>data[i]) << bit;
    packed[at] = <u8>last;
  }
}
