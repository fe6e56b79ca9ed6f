/** Pixels as they are seen, from the top left: three bytes each, or four where some are transparent. */
export interface BmpPixels {
  readonly width: number;
  readonly height: number;
  readonly channels: 3 | 4;
  readonly data: Uint8Array;
}

/** What a BMP's headers say: Microsoft, "Bitmap Header Types" and BITMAPINFOHEADER, BITMAPV5HEADER (wingdi.h). */
export interface BmpHeader {
  readonly width: number;
  readonly height: number;
  /** The first row in the file is the top one, not the bottom one. */
  readonly isTopDown: boolean;
  readonly bits: 1 | 4 | 8 | 16 | 24 | 32;
  readonly packing: 'none' | 'runs';
  /** Which bits are red, green, blue and alpha, where the pixels are no indices; 0 where there are none. */
  readonly masks: readonly [number, number, number, number];
  /** Where the colours of indices are, and how many bytes each takes. */
  readonly palette: { readonly at: number; readonly count: number; readonly step: 3 | 4 };
  readonly pixelsAt: number;
}

/**
 * Bytes of BITMAPFILEHEADER, BITMAPCOREHEADER and BITMAPINFOHEADER; the numbers of the kinds of compression (Windows
 * GDI reference, "Bitmap structures").
 */
const FILE_HEADER = 14;
const CORE_HEADER = 12;
const INFO_HEADER = 40;
const [PLAIN, RUNS_8, RUNS_4, MASKS, MASKS_WITH_ALPHA] = [0, 1, 2, 3, 6];
/** Five bits a colour, or a byte: what 16 and 32 bits a pixel mean where no masks are given. */
const USUAL_MASKS: Readonly<Record<number, BmpHeader['masks']>> = {
  16: [0x7c00, 0x3e0, 0x1f, 0],
  32: [0xff0000, 0xff00, 0xff, 0],
};

/**
 * Reads the headers of a BMP.
 *
 * @throws Error for a kind that is not known, and where the headers are cut short
 */
export function bmpHeader(bytes: Uint8Array): BmpHeader {
  const view = viewOf(bytes);
  const size = view.getUint32(FILE_HEADER, true);
  const isCore = size === CORE_HEADER;
  if (!isCore && size < INFO_HEADER) throw new Error(`A header of ${size} bytes`);
  const width = isCore ? view.getUint16(18, true) : view.getInt32(18, true);
  const high = isCore ? view.getUint16(20, true) : view.getInt32(22, true);
  const bits = view.getUint16(isCore ? 24 : 28, true);
  const compression = isCore ? PLAIN : view.getUint32(30, true);
  if (width <= 0 || high === 0 || !isDepth(bits)) throw new Error('No such picture');
  const isMasked = compression === MASKS || compression === MASKS_WITH_ALPHA;
  const isPacked =
    (compression === RUNS_8 && bits === 8) || (compression === RUNS_4 && bits === 4 && high > 0);
  if (compression !== PLAIN && !isPacked && !(isMasked && (bits === 16 || bits === 32))) {
    throw new Error(`Compression ${compression} of ${bits} bits`);
  }
  const afterMasks = isMasked && size === INFO_HEADER ? (compression === MASKS ? 12 : 16) : 0;
  const stated = isCore ? 0 : view.getUint32(46, true);
  return {
    width,
    height: Math.abs(high),
    isTopDown: high < 0,
    bits,
    packing: isPacked ? 'runs' : 'none',
    masks: isMasked
      ? ([0, 1, 2, 3].map((i) =>
          maskAt(view, i, size, compression),
        ) as unknown as BmpHeader['masks'])
      : (USUAL_MASKS[bits] ?? [0, 0, 0, 0]),
    palette: {
      at: FILE_HEADER + size + afterMasks,
      count: bits > 8 ? 0 : Math.min(1 << bits, stated === 0 ? 1 << bits : stated),
      step: isCore ? 3 : 4,
    },
    pixelsAt: view.getUint32(10, true),
  };
}

/** The masks follow the first forty bytes of the header: inside a longer one, behind one of forty. */
function maskAt(view: DataView, i: number, size: number, compression: number): number {
  const hasAlpha = size >= 56 || compression === MASKS_WITH_ALPHA;
  return i === 3 && !hasAlpha ? 0 : view.getUint32(FILE_HEADER + INFO_HEADER + 4 * i, true);
}

function isDepth(bits: number): bits is BmpHeader['bits'] {
  return [1, 4, 8, 16, 24, 32].includes(bits);
}

/**
 * Decodes the pixels of a BMP.
 *
 * @throws Error where they are cut short
 */
export function decodeBmp(bytes: Uint8Array, header: BmpHeader): BmpPixels {
  const { width, height } = header;
  if (header.bits <= 8) {
    const indices = header.packing === 'runs' ? unrolled(bytes, header) : unpacked(bytes, header);
    return { width, height, channels: 3, data: coloured(indices, bytes, header) };
  }
  return header.bits === 24
    ? { width, height, channels: 3, data: blueGreenRed(bytes, header) }
    : masked(bytes, header);
}

/** Where each row begins, from the top one; rows are padded to four bytes. */
function rowsOf(bytes: Uint8Array, header: BmpHeader): readonly number[] {
  const { width, height, bits, pixelsAt, isTopDown } = header;
  const stride = Math.ceil((width * bits) / 32) * 4;
  if (pixelsAt + stride * (height - 1) + Math.ceil((width * bits) / 8) > bytes.length) {
    throw new Error('The pixels are cut short');
  }
  return Array.from(
    { length: height },
    (_, row) => pixelsAt + stride * (isTopDown ? row : height - 1 - row),
  );
}

/** One index a pixel; the leftmost of a byte in its highest bits. */
function unpacked(bytes: Uint8Array, header: BmpHeader): Uint8Array {
  const { width, bits } = header;
  const each = 8 / bits;
  const most = (1 << bits) - 1;
  const indices = new Uint8Array(width * header.height);
  rowsOf(bytes, header).forEach((start, row) => {
    for (let x = 0; x < width; x++) {
      const byte = bytes[start + Math.floor(x / each)];
      indices[row * width + x] = (byte >> (8 - bits * (1 + (x % each)))) & most;
    }
  });
  return indices;
}

/** Runs of one index, or of two in turn: "Bitmap Compression" (wingdi.h). From the bottom row up. */
function unrolled(bytes: Uint8Array, { width, height, bits, pixelsAt }: BmpHeader): Uint8Array {
  const indices = new Uint8Array(width * height);
  let [x, row, at] = [0, height - 1, pixelsAt];
  const put = (index: number): void => {
    if (x < width && row >= 0) indices[row * width + x] = index;
    x++;
  };
  /** Index i of those that begin at a byte. */
  const indexAt = (start: number, i: number): number =>
    bits === 8 ? bytes[start + i] : (bytes[start + (i >> 1)] >> (i % 2 === 0 ? 4 : 0)) & 15;
  while (row >= 0) {
    if (at + 2 > bytes.length) throw new Error('The pixels are cut short');
    const [count, value] = [bytes[at], bytes[at + 1]];
    at += 2;
    if (count > 0) {
      for (let i = 0; i < count; i++) put(bits === 8 ? value : indexAt(at - 1, i % 2));
    } else if (value === 0) {
      [x, row] = [0, row - 1];
    } else if (value === 1) {
      break;
    } else if (value === 2) {
      [x, row, at] = [x + (bytes[at] ?? 0), row - (bytes[at + 1] ?? 0), at + 2];
    } else {
      const length = bits === 8 ? value : Math.ceil(value / 2);
      if (at + length > bytes.length) throw new Error('The pixels are cut short');
      for (let i = 0; i < value; i++) put(indexAt(at, i));
      at += length + (length % 2);
    }
  }
  return indices;
}

function coloured(indices: Uint8Array, bytes: Uint8Array, { palette }: BmpHeader): Uint8Array {
  const { at, count, step } = palette;
  if (at + count * step > bytes.length) throw new Error('The colours are cut short');
  const rgb = new Uint8Array(3 * indices.length);
  indices.forEach((index, i) => {
    if (index >= count) return;
    const from = at + index * step;
    rgb[3 * i] = bytes[from + 2];
    rgb[3 * i + 1] = bytes[from + 1];
    rgb[3 * i + 2] = bytes[from];
  });
  return rgb;
}

function blueGreenRed(bytes: Uint8Array, header: BmpHeader): Uint8Array {
  const rgb = new Uint8Array(3 * header.width * header.height);
  let to = 0;
  for (const start of rowsOf(bytes, header)) {
    const end = start + 3 * header.width;
    for (let at = start; at < end; at += 3) {
      rgb[to++] = bytes[at + 2];
      rgb[to++] = bytes[at + 1];
      rgb[to++] = bytes[at];
    }
  }
  return rgb;
}

function masked(bytes: Uint8Array, header: BmpHeader): BmpPixels {
  const { width, height, bits, masks } = header;
  const channels = masks[3] === 0 ? 3 : 4;
  const view = viewOf(bytes);
  const parts = masks.slice(0, channels).map((mask) => {
    const shift = mask === 0 ? 0 : 31 - Math.clz32(mask & -mask);
    return { mask, shift, most: mask >>> shift };
  });
  const data = new Uint8Array(channels * width * height);
  let to = 0;
  for (const start of rowsOf(bytes, header)) {
    for (let x = 0; x < width; x++) {
      const value = bits === 16 ? view.getUint16(start + 2 * x, true) : view.getUint32(start + 4 * x, true); // prettier-ignore
      for (const { mask, shift, most } of parts) {
        data[to++] = most === 0 ? 0 : Math.round((255 * ((value & mask) >>> shift)) / most);
      }
    }
  }
  return { width, height, channels, data };
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
