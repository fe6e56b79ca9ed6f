import { crc32, deflateSync } from 'node:zlib';
import { writeFileSync } from 'node:fs';
import sharp, { type Color } from 'sharp';

/** A plain ring on white: one opening, one island. */
export async function ring(path: string, size = 400): Promise<string> {
  const half = size / 2;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${size}" height="${size}"><rect width="100%" height="100%" fill="#fff"/><circle cx="${half}" cy="${half}" r="${size * 0.3}" fill="none" stroke="#111" stroke-width="${size * 0.12}"/></svg>`;
  await sharp(Buffer.from(svg)).toFile(path);
  return path;
}

/** One colour all over. */
export async function flat(path: string, background: Color, size = 300): Promise<string> {
  const create = { width: size, height: size, channels: 4 as const, background };
  await sharp({ create }).toFile(path);
  return path;
}

/** A real black and white PNG of any size that packs to little: all white. */
export function vastPng(path: string, width: number, height: number): string {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  header[8] = 1; // bits a sample
  const row = Buffer.alloc(1 + Math.ceil(width / 8), 0xff);
  row[0] = 0; // no filter
  const rows = Buffer.concat(Array.from({ length: height }, () => row));
  writeFileSync(
    path,
    Buffer.concat([
      Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
      chunk('IHDR', header),
      chunk('IDAT', deflateSync(rows, { level: 1 })),
      chunk('IEND', Buffer.alloc(0)),
    ]),
  );
  return path;
}

/** PNG (ISO/IEC 15948), 5.3: length, type, data, CRC over type and data. */
function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, check]);
}

/** Three greys in bands on white. */
export async function bands(path: string): Promise<void> {
  const bar = (y: number, fill: string): string =>
    `<rect x="40" y="${y}" width="320" height="80" fill="${fill}"/>`;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="400"><rect width="400" height="400" fill="#fff"/>${bar(60, '#bbb')}${bar(140, '#777')}${bar(220, '#222')}</svg>`;
  await sharp(Buffer.from(svg)).toFile(path);
}
