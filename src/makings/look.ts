import { readCopy } from '../pipeline/pipeline.js';
import type {
  Advised,
  Screen,
  Screened,
  Sketch,
  Sketched,
  AdviceValues,
} from '../output/screen.js';

export type { Advised, Screen, Sketch };

/** A picture as a screen shows it, and what it is. */
export interface PictureLook {
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
): Promise<PictureLook> {
  const { copyJpeg } = await import('../output/images/copy.js');
  const copy = await readCopy(bytes, longest, mostPixels);
  const { width, height, source } = copy;
  return { jpeg: await copyJpeg(copy), width, height, source };
}

/** The stages that a sketch is shown from. */
export const stagesToSketch = ['read', 'tone', 'strokes', 'fold', 'frame', 'packet'] as const;

/** The same, for sketches that are ranked by how like the picture they are. */
export const stagesToRank = [...stagesToSketch, 'likeness'] as const;

/** The stages that a stencil is shown from. */
export const stagesToShow = [
  ...stagesToSketch,
  'faces',
  'repeat',
  'widen',
  'ease',
  'survival',
  'measure',
] as const;

/** The stages that what would help is told from. */
export const stagesToAdvise = ['advice', 'features', 'fewer', 'check'] as const;

/** What a screen shows of a run: pictures of its stages, paths in mm, findings. */
export async function showStencil(values: Screened): Promise<Screen> {
  const { screenOf } = await import('../output/screen.js');
  return screenOf(values);
}

/** What is told of a stencil once somebody has looked for what would help. */
export async function tellAdvice(values: AdviceValues): Promise<Advised> {
  const { advisedOf } = await import('../output/screen.js');
  return advisedOf(values);
}

/** What a screen shows of a run that went as far as its bridges. */
export async function showSketch(values: Sketched): Promise<Sketch> {
  const { sketchOf } = await import('../output/screen.js');
  return sketchOf(values);
}
