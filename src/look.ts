import { readCopy, type StencilValues } from './pipeline.js';
import type { Screen, Sketch } from './sheets/screen.js';

export type { Screen, Sketch };

/** A picture as a screen shows it, and what it is. */
export interface Shown {
  /** A JPEG of the whole picture, upright. */
  readonly jpeg: Uint8Array;
  readonly width: number;
  readonly height: number;
  /** The picture itself: size in px once upright, and the kind of file. */
  readonly source: { readonly width: number; readonly height: number; readonly format: string };
}

/**
 * A picture for a screen.
 *
 * @param longest px of the longer side at most
 * @param mostPixels what the picture may have
 * @throws Problem when it can't be read, or is larger than that
 */
export async function showPicture(
  bytes: Uint8Array,
  longest: number,
  mostPixels: number,
): Promise<Shown> {
  const { copyJpeg } = await import('./sheets/copy.js');
  const copy = await readCopy(bytes, longest, mostPixels);
  const { width, height, source } = copy;
  return { jpeg: await copyJpeg(copy), width, height, source };
}

/** What a screen shows of a run: pictures of its stages, paths in mm, findings. */
export async function showStencil(values: StencilValues): Promise<Screen> {
  const { screenOf } = await import('./sheets/screen.js');
  return screenOf(values);
}

/** What a screen shows of a run that went as far as its bridges. */
export async function showSketch(
  values: Pick<StencilValues, 'read' | 'tone' | 'bridge'>,
): Promise<Sketch> {
  const { sketchOf } = await import('./sheets/screen.js');
  return sketchOf(values);
}
