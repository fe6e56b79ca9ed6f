import { memoizeLast } from '../common/memoize-last.js';
import type { Bitmap } from '../raster/raster.js';
import { copyAt, foldedBack, imageOf, type FoldPattern } from './fold-pattern.js';

/** By pixel of the opened sheet. */
export interface FoldRaster {
  readonly width: number;
  readonly height: number;
  /** The pixel of the packet that lies over it; -1 where the sheet is not folded. */
  readonly source: Int32Array;
  /** The copy that it lies in; -1 where the sheet is not folded. */
  readonly copy: Int8Array;
}

/** Which pixels of the opened sheet lie over one another when it is folded; exact where the folds lie on the grid. */
export const foldRaster = memoizeLast(
  (pattern: FoldPattern, width: number, height: number, pixelsPerMm: number): FoldRaster => {
    const source = new Int32Array(width * height).fill(-1);
    const copy = new Int8Array(width * height).fill(-1);
    for (let y = 0, i = 0; y < height; y++) {
      for (let x = 0; x < width; x++, i++) {
        const [mmX, mmY] = [(x + 0.5) / pixelsPerMm, (y + 0.5) / pixelsPerMm];
        const back = foldedBack(pattern, mmX, mmY);
        if (!back) continue;
        const u = Math.min(width - 1, Math.max(0, Math.floor(back.x * pixelsPerMm)));
        const v = Math.min(height - 1, Math.max(0, Math.floor(back.y * pixelsPerMm)));
        source[i] = v * width + u;
        copy[i] = copyAt(pattern, mmX, mmY);
      }
    }
    return { width, height, source, copy };
  },
);

/** The opened sheet of what lies in the packet; what is not folded stays as it is. */
export function unfoldedBitmap(bitmap: Bitmap, { source }: FoldRaster): Bitmap {
  const data = bitmap.data.slice();
  for (let i = 0; i < data.length; i++) if (source[i] >= 0) data[i] = bitmap.data[source[i]];
  return { ...bitmap, data };
}

/** 1 on the packet's pixels whose every image lies inside the margin. */
export function roomInPacket(
  pattern: FoldPattern,
  { width, height, copy }: FoldRaster,
  pixelsPerMm: number,
  inside: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  },
): Bitmap {
  const data = new Uint8Array(width * height);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      if (copy[i] !== 0) continue;
      const place = { x: (x + 0.5) / pixelsPerMm, y: (y + 0.5) / pixelsPerMm };
      const isIn = pattern.copies.every((each) => {
        const image = imageOf(each, place);
        return (
          image.x >= inside.left &&
          image.x <= inside.right &&
          image.y >= inside.top &&
          image.y <= inside.bottom
        );
      });
      data[i] = isIn ? 1 : 0;
    }
  }
  return { width, height, data };
}
