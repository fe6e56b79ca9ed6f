import { createRequire } from 'node:module';
import type sharp from 'sharp';
import type { Sharp, SharpOptions } from 'sharp';
import { Problem } from '../../settings/problem.js';

/** What helps with a file that is not what it should be. */
export const SAVE_ANEW =
  'Copy it again from where it came, or open it in a picture program and save it anew';

/** Size of a picture, or of the box that it is shown in, in px. */
export interface PixelSize {
  readonly width: number;
  readonly height: number;
}

/** Its CommonJS form loads in half the time of the other. */
const loadSharp = (): typeof sharp => createRequire(import.meta.url)('sharp') as typeof sharp;

/** sharp, loaded when first used. A cut-off picture is an error; the marks of a careless writer are not. */
export function sharpOn(bytes: Uint8Array, options: SharpOptions = {}): Sharp {
  return loadSharp()(bytes, { failOn: 'error', limitInputPixels: false, ...options });
}

/** Runs a part of the decoding; what a decoder says of bytes that it can't read becomes a Problem. */
export async function decoding<T>(
  where: string,
  run: () => Promise<T>,
  what = 'The picture is damaged, or only part of it is there',
  remedy = SAVE_ANEW,
): Promise<T> {
  try {
    return await run();
  } catch (cause) {
    if (cause instanceof Problem || cause instanceof TypeError) throw cause;
    throw new Problem(what, where, remedy, { cause });
  }
}
