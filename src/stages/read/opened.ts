import type { Box } from '../../raster/raster.js';
import type { PixelSize } from './decoding.js';

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
