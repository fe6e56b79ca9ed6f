import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import { Problem } from '../../settings/problem.js';
import { SAVE_ANEW } from './decoding.js';
import { kindOf } from './format.js';

const gunzipped = promisify(gunzip);

/** Bytes: no drawing that a person makes is larger; a small file that unpacks to more is a trap. */
const MOST_UNPACKED = 128 * 2 ** 20;
/** RFC 1952, 2.3.1, and deflate, the one method that there is. */
const GZIP = [0x1f, 0x8b, 8] as const;

/**
 * A drawing as plain UTF-8, where it is compressed (SVG 2, section 1.3: .svgz) or written in UTF-16; the bytes of all
 * other files as they are.
 *
 * @throws Problem when a compressed file is damaged, unpacks to over 128 MiB, or holds no drawing
 */
export async function unpackedDrawing(bytes: Uint8Array, where: string): Promise<Uint8Array> {
  if (!GZIP.every((byte, i) => bytes[i] === byte)) return inUtf8(bytes);
  const drawing = inUtf8(await unzipped(bytes, where));
  if (kindOf(drawing) === 'svg') return drawing;
  throw new Problem(
    'This is a compressed file, and what is in it is no drawing',
    where,
    'Unpack it, and give the picture inside',
  );
}

async function unzipped(bytes: Uint8Array, where: string): Promise<Uint8Array> {
  try {
    return await gunzipped(bytes, { maxOutputLength: MOST_UNPACKED });
  } catch (cause) {
    const isTooLarge = (cause as NodeJS.ErrnoException).code === 'ERR_BUFFER_TOO_LARGE';
    throw isTooLarge
      ? new Problem(
          `The drawing is too large: unpacked it has over ${MOST_UNPACKED / 2 ** 20} MiB`,
          where,
          'Save it with fewer shapes, or as a picture in PNG',
          { cause },
        )
      : new Problem('The compressed drawing is damaged', where, SAVE_ANEW, { cause });
  }
}

/** UTF-16 is told by its mark, or by the first "<" (Extensible Markup Language 1.0, appendix F.1). */
const UTF_16 = [
  [0xff, 0xfe, 'utf-16le'],
  [0xfe, 0xff, 'utf-16be'],
  [0x3c, 0, 'utf-16le'],
  [0, 0x3c, 'utf-16be'],
] as const;

function inUtf8(bytes: Uint8Array): Uint8Array {
  const [, , encoding] = UTF_16.find(([a, b]) => bytes[0] === a && bytes[1] === b) ?? [];
  if (encoding === undefined) return bytes;
  const text = new TextDecoder(encoding).decode(bytes);
  // What it says of its encoding holds no longer.
  return Buffer.from(text.replace(/^(<\?xml[^>]*?)\sencoding\s*=\s*(?:"[^"]*"|'[^']*')/, '$1'));
}
