import type { Box } from '../../raster/raster.js';
import { Problem } from '../../settings/problem.js';
import { openDrawing } from './drawing.js';
import { kindOf } from './format.js';
import { openBmp, openPhoto } from './photo.js';
import { unpackedDrawing } from './unpacked.js';
import { SAVE_ANEW, type PixelSize } from './decoding.js';

/** A picture whose header has been read, and nothing more. */
export interface Opened {
  /** Size in px once upright; a drawing's may be a fraction. */
  readonly width: number;
  readonly height: number;
  readonly format: 'jpeg' | 'png' | 'webp' | 'tiff' | 'gif' | 'bmp' | 'avif' | 'heic' | 'svg';
  /** How many pages, frames or pictures the file holds; the first, or the main one, is shown. One unless set. */
  readonly holds?: number;
  /**
   * Decodes a part of the picture: upright, on white, in sRGB, three bytes a pixel.
   *
   * @param part in the picture's px, or fractions of them
   * @param size how large it is to be, px
   * @param fit `whole`: all of the part, stretched to the size by a pixel at most; `fill`: its middle, as much as
   *   covers the size
   */
  readonly shown: (part: Box, size: PixelSize, fit: 'whole' | 'fill') => Promise<Uint8Array>;
}

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
