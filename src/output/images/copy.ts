import type { Copy } from '../../stages/read/read.js';

/**
 * Of 100, by the scale of the JPEG encoder: no block is seen, at a fraction of the bytes. Common practice, no source.
 */
const QUALITY = 92;

/** A copy of a picture as a JPEG with full colour, for a screen. */
export async function copyJpeg({ rgb, width, height }: Copy): Promise<Uint8Array> {
  const { default: sharp } = await import('sharp');
  return sharp(rgb, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: QUALITY, chromaSubsampling: '4:4:4' })
    .toBuffer();
}
