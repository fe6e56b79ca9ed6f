import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/*
 * The numbers of the two networks that find faces and their landmarks. They come with a face library, whose code is not used:
 * src/faces/network has their layers. The build puts them beside this file: see build.mjs.
 */

/** Numbers in the order that their shape says, the last axis fastest: a byte each, so many times `scale`, and `min`. */
export interface Quantised {
  readonly bytes: Uint8Array;
  readonly scale: number;
  readonly min: number;
}

/** The numbers of a network by the names of its parts. */
export type Numbers = ReadonlyMap<string, Quantised>;

/** What a network's list says of each part, in the order in which they lie in its file. */
interface NetworkPart {
  readonly name: string;
  readonly shape: readonly number[];
  readonly quantization: Pick<Quantised, 'scale' | 'min'>;
}

/** The packages are there where the sources themselves run, as in tests; the built program has copies of its own. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

/**
 * SHA-256 of what is loaded, in the version that package.json pins. A damaged network is none the less a network: it
 * finds faces in the sky, or none at all, and says nothing.
 */
const DIGESTS = {
  'tiny_face_detector_model-weights_manifest.json':
    '5d1af4849ac48d5b985f4a9b16010c512353ddd6fcc63d50fd0bc9e9e64296e5',
  'tiny_face_detector_model.bin':
    'b7503ce7df31039b1c43316a9b865cab6a70dd748cc602d3fa28b551503c3871',
  'face_landmark_68_model-weights_manifest.json':
    'ca4886639f86e99b39fed0c155f81b63317225773bd9616716e887b0153389c9',
  'face_landmark_68_model.bin': '4611ef65c87d836d03d684b30eec4d195d8b219fa1dd58fc58945831c6b9299b',
} as const;

/**
 * Reads a network's numbers.
 *
 * @param folder elsewhere only to try what is done about damage
 * @throws when its files are not there, or damaged
 */
export function readNetwork(
  name: 'tiny_face_detector_model' | 'face_landmark_68_model',
  folder = networkFolder(),
): Numbers {
  const list = read(folder, `${name}-weights_manifest.json`).toString('utf8');
  const bytes = read(folder, `${name}.bin`);
  const [{ weights }] = JSON.parse(list) as [{ weights: readonly NetworkPart[] }];
  let at = 0;
  return new Map(
    weights.map(({ name: part, shape, quantization: { scale, min } }) => {
      const from = at;
      at += shape.reduce((product, length) => product * length, 1);
      return [part, { bytes: bytes.subarray(from, at), scale, min }];
    }),
  );
}

function read(folder: string, file: keyof typeof DIGESTS): Buffer {
  const path = join(folder, file);
  if (!existsSync(path)) throw new Error(`the file ${file} is not there`);
  const bytes = readFileSync(path);
  if (createHash('sha256').update(bytes).digest('hex') !== DIGESTS[file])
    throw new Error(`the file ${file} is damaged`);
  return bytes;
}

function networkFolder(): string {
  if (!RUNS_FROM_SOURCES) return fileURLToPath(new URL('./face-networks/', import.meta.url));
  const require = createRequire(import.meta.url);
  return join(dirname(require.resolve('@vladmandic/face-api/package.json')), 'model');
}
