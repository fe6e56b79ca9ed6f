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
  // The pixels beside a step, too: a contour may slip through between two of them.
  const beside = Int32Array.of(0, 1, -1, width, -width);
  // Plain loops: this runs in every start, before the engine has compiled it well.
  for (const i of strongestFirst(weight, strength)) {
    if (crowded[i] === 1) continue;
    settled[i] = 1;
    const [dx, dy] = [across[i], down[i]];
    const steep = Math.hypot(dx, dy);
    const [column, row] = [i % width, Math.floor(i / width)];
    for (let away = -Math.floor(room); away <= room; away++) {
      if (Math.abs(away) < OWN * room) continue;
      const x = Math.round(column + (away / steep) * dx);
      const y = Math.round(row + (away / steep) * dy);
      if (x < 1 || y < 1 || x >= width - 1 || y >= height - 1) continue;
      for (let k = 0; k < beside.length; k++) {
        const j = y * width + x + beside[k];
        if (weight[j] === 0 || settled[j] === 1) continue;
        const along = across[j] * dx + down[j] * dy;
        const other = Math.hypot(across[j], down[j]);
        if (along > SIDE_BY_SIDE * steep * other) crowded[j] = 1;
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
