import { Problem } from '../../settings/problem.js';
import { openDrawing } from './drawing.js';
import { kindOf } from './format.js';
import { openBmp, openPhoto } from './photo.js';
import { unpackedDrawing } from './unpacked.js';
import { SAVE_ANEW } from './decoding.js';
import type { Opened } from './opened.js';

/**
 * Looks at a picture's header.
 *
 * @param where what to call the picture in an error
 * @throws Problem when the bytes are empty, no picture, damaged, or too large a picture
 */
export async function openPicture(bytes: Uint8Array, where: string): Promise<Opened> {
  if (bytes.byteLength === 0) throw new Problem('The file is empty', where, SAVE_ANEW);
  const plain = await unpackedDrawing(bytes, where);
  const kind = kindOf(plain);
  if (!kind) {
    throw new Problem(
      'This is not a picture that can be read',
      where,
      'Give a JPEG, PNG, WebP, TIFF, GIF, BMP, AVIF, HEIC or SVG; open other kinds in a picture program and save them as PNG',
    );
  }
  if (kind === 'svg') return openDrawing(plain, where);
  return kind === 'bmp' ? openBmp(bytes, where) : openPhoto(bytes, kind, where);
}
