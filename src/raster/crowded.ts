import type { Field } from './field.js';

/** Which way a picture gets lighter, and how strong its contours are: one value a pixel. */
export interface Slopes {
  readonly across: Float32Array;
  readonly down: Float32Array;
  /** What contours are compared by. */
  readonly strength: Float32Array;
}

/** Contours whose directions differ by less than 45° run side by side. */
const SIDE_BY_SIDE = Math.SQRT1_2;
/** Nearer than this share of the room there is only the contour's own next pixel: the blur has parted the others. */
const OWN = 0.25;

/**
 * Marks the places of contours that no stencil can show in their place, because a stronger contour that gets lighter
 * the same way runs beside them: between the two a print would have to turn back, which takes an opening and a strip
 * of film. The strongest is settled first; what is crowded out crowds nothing out itself. Two contours that get
 * lighter in opposite ways are the two sides of one opening or one strip, and a thin one is widened.
 *
 * @param weight over 0 on the pixels of contours
 * @param room an opening and a strip side by side, in px
 * @returns 1 on the pixels that are crowded out
 */
export function crowdedOut(
  { width, height, data: weight }: Field,
  { across, down, strength }: Slopes,
  room: number,
): Uint8Array {
  const crowded = new Uint8Array(weight.length);
  const settled = new Uint8Array(weight.length);
  const crowdOut = (i: number, dx: number, dy: number, steep: number): void => {
    if (weight[i] === 0 || settled[i] === 1) return;
    const along = across[i] * dx + down[i] * dy;
    if (along > SIDE_BY_SIDE * steep * Math.hypot(across[i], down[i])) crowded[i] = 1;
  };
  for (const i of strongestFirst(weight, strength)) {
    if (crowded[i] === 1) continue;
    settled[i] = 1;
    const [dx, dy] = [across[i], down[i]];
    const steep = Math.hypot(dx, dy);
    for (let away = Math.ceil(OWN * room); away <= room; away++) {
      for (const side of [away / steep, -away / steep]) {
        const x = Math.round((i % width) + side * dx);
        const y = Math.round(Math.floor(i / width) + side * dy);
        if (x < 1 || y < 1 || x >= width - 1 || y >= height - 1) continue;
        // The pixels beside it, too: a contour may slip through between two steps.
        for (const next of [0, 1, -1, width, -width]) {
          crowdOut(y * width + x + next, dx, dy, steep);
        }
      }
    }
  }
  return crowded;
}

function strongestFirst(weight: Float32Array, strength: Float32Array): number[] {
  const pixels: number[] = [];
  for (let i = 0; i < weight.length; i++) if (weight[i] > 0) pixels.push(i);
  return pixels.sort((a, b) => strength[b] - strength[a] || a - b);
}
