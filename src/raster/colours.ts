import type { Box } from './raster.js';

/** A picture in sRGB: three bytes a pixel, row by row from the top left. */
export interface Colours {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/**
 * A picture on a grid `factor` times coarser: each pixel is the mean of its block. Blocks at the right and the bottom
 * that reach over it are the mean of what there is.
 *
 * @param factor a whole number, 1 or more
 */
export function coarserColours({ width, height, data }: Colours, factor: number): Colours {
  if (factor === 1) return { width, height, data };
  const across = Math.ceil(width / factor);
  const down = Math.ceil(height / factor);
  const means = new Uint8Array(3 * across * down);
  for (let row = 0, at = 0; row < down; row++) {
    for (let column = 0; column < across; column++, at += 3) {
      const x = column * factor;
      const y = row * factor;
      const block: Box = {
        x,
        y,
        width: Math.min(factor, width - x),
        height: Math.min(factor, height - y),
      };
      writeMean(data, width, block, means, at);
    }
  }
  return { width: across, height: down, data: means };
}

function writeMean(from: Uint8Array, stride: number, block: Box, to: Uint8Array, at: number): void {
  let [red, green, blue] = [0, 0, 0];
  for (let y = block.y; y < block.y + block.height; y++) {
    const end = 3 * (y * stride + block.x + block.width);
    for (let i = end - 3 * block.width; i < end; i += 3) {
      red += from[i];
      green += from[i + 1];
      blue += from[i + 2];
    }
  }
  const count = block.width * block.height;
  to[at] = red / count + 0.5;
  to[at + 1] = green / count + 0.5;
  to[at + 2] = blue / count + 0.5;
}
