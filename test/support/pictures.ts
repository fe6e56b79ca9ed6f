import { crc32, deflateSync } from 'node:zlib';
import sharp, { type Sharp } from 'sharp';

/** RGB pixels, three bytes each, row by row. */
export interface Drawn {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

export type Colour = readonly [red: number, green: number, blue: number];

/** Draws a picture by a rule. */
export function draw(width: number, height: number, rule: (x: number, y: number) => Colour): Drawn {
  const data = new Uint8Array(width * height * 3);
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const [red, green, blue] = rule(x, y);
      data[at++] = red;
      data[at++] = green;
      data[at++] = blue;
    }
  }
  return { width, height, data };
}

/** Flat colours in blocks, none of its halves or corners like another: a wrong turn or mirror shows. */
export function flag(width: number, height: number): Drawn {
  return draw(width, height, (x, y) => {
    const across = x / width;
    const down = y / height;
    if (across < 0.5 && down < 0.25) return [200, 30, 40];
    if (across < 0.25) return [20, 60, 160];
    if (across > 0.75 && down > 0.5) return [30, 140, 60];
    return [235, 230, 215];
  });
}

/** A sharp pipeline on drawn pixels, to be encoded as a test needs it. */
export function toSharp({ width, height, data }: Drawn): Sharp {
  return sharp(data, { raw: { width, height, channels: 3 } });
}

/** Luma by Rec. ITU-R BT.709-6, item 3.2. */
export function lumaOf([red, green, blue]: Colour): number {
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

/** The luma of every pixel of a drawn picture. */
export function lumas({ width, height, data }: Drawn): Float64Array {
  return Float64Array.from({ length: width * height }, (_, i) =>
    lumaOf([data[3 * i], data[3 * i + 1], data[3 * i + 2]]),
  );
}

type Side = 'top' | 'right' | 'bottom' | 'left';

/** EXIF 2.32, table of tag 274: the visual side on which the 0th row and the 0th column lie. */
export const exifOrientations: readonly (readonly [value: number, row: Side, column: Side])[] = [
  [1, 'top', 'left'],
  [2, 'top', 'right'],
  [3, 'bottom', 'right'],
  [4, 'bottom', 'left'],
  [5, 'left', 'top'],
  [6, 'right', 'top'],
  [7, 'right', 'bottom'],
  [8, 'left', 'bottom'],
];

/** How a camera stores `upright` when it says that its 0th row and column lie on these visual sides. */
export function storedAs(upright: Drawn, row: Side, column: Side): Drawn {
  const isTurned = row === 'left' || row === 'right';
  const width = isTurned ? upright.height : upright.width;
  const height = isTurned ? upright.width : upright.height;
  return draw(width, height, (c, r) => {
    const x =
      row === 'left'
        ? r
        : row === 'right'
          ? upright.width - 1 - r
          : column === 'left'
            ? c
            : upright.width - 1 - c;
    const y =
      row === 'top'
        ? r
        : row === 'bottom'
          ? upright.height - 1 - r
          : column === 'top'
            ? c
            : upright.height - 1 - c;
    const at = (y * upright.width + x) * 3;
    return [upright.data[at], upright.data[at + 1], upright.data[at + 2]];
  });
}

/** A PNG whose header states a size that its few bytes of pixels do not bear out. */
export function pngThatClaims(width: number, height: number): Uint8Array {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header.set([8, 2, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    pngChunk('IHDR', header),
    pngChunk('IDAT', deflateSync(Buffer.alloc(100))),
    pngChunk('IEND', Buffer.alloc(0)),
  ]);
}

function pngChunk(type: string, content: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), content]);
  const chunk = Buffer.alloc(body.length + 8);
  chunk.writeUInt32BE(content.length, 0);
  chunk.set(body, 4);
  chunk.writeUInt32BE(crc32(body), body.length + 4);
  return chunk;
}

/**
 * Gives a HEIC the rotation or mirroring that phones write: an `irot` or `imir` property of its first item
 * (ISO/IEC 23008-12, 6.5.10 and 6.5.12), in a file whose `meta` box comes before its data.
 *
 * @param property `irot`: quarter turns anticlockwise; `imir`: 0 or 1, the axis
 */
export function withHeicProperty(heic: Buffer, property: 'irot' | 'imir', value: number): Buffer {
  const box = Buffer.from([0, 0, 0, 9, ...Buffer.from(property, 'latin1'), value]);
  const path = ['meta', 'iprp', 'ipco'] as const;
  const boxes = path.map((name) => heic.indexOf(name, 0, 'latin1') - 4);
  const ipco = boxes[2];
  const ipcoEnd = ipco + heic.readUInt32BE(ipco);
  const index = countBoxes(heic, ipco + 8, ipcoEnd) + 1;

  // ipma: version and flags 4, entries 4, then for each item: id 2, count 1, a byte for each association
  const ipma = heic.indexOf('ipma', 0, 'latin1') - 4;
  const count = ipma + 18;
  const end = count + 1 + heic[count];
  const out = Buffer.concat([
    heic.subarray(0, ipcoEnd),
    box,
    heic.subarray(ipcoEnd, end),
    Buffer.from([0x80 | index]), // essential
    heic.subarray(end),
  ]);
  const grown = box.length + 1;
  for (const at of boxes.slice(0, 2)) out.writeUInt32BE(heic.readUInt32BE(at) + grown, at);
  out.writeUInt32BE(heic.readUInt32BE(ipco) + box.length, ipco);
  out.writeUInt32BE(heic.readUInt32BE(ipma) + 1, ipma + box.length);
  out[count + box.length] += 1;
  moveItems(out, grown);
  return out;
}

function countBoxes(bytes: Buffer, from: number, to: number): number {
  let count = 0;
  for (let at = from; at < to; at += bytes.readUInt32BE(at)) count++;
  return count;
}

/** Adds to the file offsets of `iloc` (ISO/IEC 14496-12, 8.11.3), version 0, with a base offset of 4 bytes. */
function moveItems(heic: Buffer, by: number): void {
  const iloc = heic.indexOf('iloc', 0, 'latin1') - 4;
  if (heic[iloc + 8] !== 0 || heic.readUInt16BE(iloc + 12) !== 0x4440) {
    throw new Error('iloc of a form that this helper does not know');
  }
  let at = iloc + 16;
  for (let left = heic.readUInt16BE(iloc + 14); left > 0; left--) {
    at += 4; // id, data reference
    heic.writeUInt32BE(heic.readUInt32BE(at) + by, at);
    const extents = heic.readUInt16BE(at + 4);
    at += 6 + extents * 8;
  }
}

/** Makes another of a HEIC's items its primary one (`pitm`, version 0: ISO/IEC 14496-12, 8.11.4). */
export function withPrimary(heic: Buffer, item: number): Buffer {
  const out = Buffer.from(heic);
  out.writeUInt16BE(item, out.indexOf('pitm', 0, 'latin1') + 8);
  return out;
}
