import { createRequire } from 'node:module';
import type { Bitmap } from '../../src/raster/raster.js';

const require = createRequire(import.meta.url);

/** Pixels in memory, RGBA: what the tracer takes instead of a file (stand-ins/image-library). */
type Pixels = object;

const Image = require('jimp') as new (width: number, height: number, data: Uint8Array) => Pixels;

/** The tracer by its public calls alone. */
interface PublicTracer {
  loadImage(image: Pixels, done: (error: Error | null) => void): void;
  getPathTag(): string;
}

const { Potrace } = require('potrace') as { Potrace: new () => PublicTracer };

/** How many curves the tracer itself writes for a bitmap, by its own front door and at its own defaults. */
export async function curvesOfTracer({ width, height, data }: Bitmap): Promise<number> {
  const rgba = new Uint8Array(4 * data.length).fill(255);
  for (let i = 0; i < data.length; i++) if (data[i] === 1) rgba.fill(0, 4 * i, 4 * i + 3);
  const tracer = new Potrace();
  await new Promise<void>((resolve, reject) => {
    const image = new Image(width, height, rgba);
    tracer.loadImage(image, (error) => (error ? reject(error) : resolve()));
  });
  // One C for a curve; for a corner one L with both its lines.
  return / d="([^"]*)"/.exec(tracer.getPathTag())?.[1].match(/[CL]/g)?.length ?? 0;
}
