import { createRequire } from 'node:module';
import type sharp from 'sharp';

/** The longer side, px: sharp on a dense screen at half that. */
export const SMALL_PX = 360;
/** Of 100, by the scale of the WebP encoder. The paint's grain may go: hundreds of prints have to fit on one page. */
const SMALL_QUALITY = 50;

/** A preview, small, as a WebP to be shown on a page. */
export async function smallPrint(preview: Uint8Array): Promise<Uint8Array> {
  const load = createRequire(import.meta.url)('sharp') as typeof sharp;
  return load(preview)
    .resize(SMALL_PX, SMALL_PX, { fit: 'inside' })
    .webp({ quality: SMALL_QUALITY })
    .toBuffer();
}
