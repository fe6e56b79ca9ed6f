import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import nodeProcess from 'node:process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { setWasmPaths } from '@tensorflow/tfjs-backend-wasm';
import library from '@vladmandic/face-api/dist/face-api.node-wasm.js';

/*
 * Finds faces and their landmarks, on this computer alone; it tells no one from another. The networks come with the face
 * library: a small detector (after Redmon & Farhadi, YOLO9000, CVPR 2017), and landmarks in the order of Sagonas et al.,
 * 300 Faces in-the-Wild Challenge, ICCV workshops 2013. Its code, its networks and the compiled tensor code are put
 * beside this file by the build: see build.mjs.
 */

/** A face, in px of the picture that it was found in. */
export interface FoundFace {
  readonly box: Box;
  /** How sure the detector is, 0 to 1. */
  readonly score: number;
  /** 68: 17 of the jaw, 5 of each brow, 9 of the nose, 6 of each eye, 20 of the mouth; the face's right comes first. */
  readonly landmarks: readonly Spot[];
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** One look of the detector at a part of a picture. */
export interface Look {
  /** Whole px, inside the picture. */
  readonly area: Box;
  /** Px of the square that the detector sees the part in, a multiple of 32: a large one for small faces. */
  readonly inputSize: number;
}

/** In sRGB, three bytes a pixel. */
interface Picture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

export interface FaceFinder {
  /** Faces by the detector, each told once. */
  find(picture: Picture, looks: readonly Look[], leastScore: number): Promise<FoundFace[]>;
  /** Landmarks in boxes that were drawn. */
  landmarksIn(picture: Picture, boxes: readonly Box[]): Promise<FoundFace[]>;
}

/** The packages are there where the sources themselves run, as in tests; the built program has copies of its own. */
const RUNS_FROM_SOURCES = import.meta.url.endsWith('.ts');

/** Folders of what is loaded: the compiled tensor code, and the networks. */
interface Places {
  readonly compiled: string;
  readonly networks: string;
}

/**
 * SHA-256 of what is loaded, in the versions that package.json pins. A damaged network is none the less a network: it
 * finds faces in the sky, or none at all, and says nothing.
 */
const DIGESTS: Readonly<Record<keyof Places, Readonly<Record<string, string>>>> = {
  compiled: {
    'tfjs-backend-wasm-simd.wasm':
      '77ebb28a6d34f371dbbf2086b7f2de8994acd8ea5a3cf1fa24d2c26c840cac7b',
  },
  networks: {
    'tiny_face_detector_model-weights_manifest.json':
      '5d1af4849ac48d5b985f4a9b16010c512353ddd6fcc63d50fd0bc9e9e64296e5',
    'tiny_face_detector_model.bin':
      'b7503ce7df31039b1c43316a9b865cab6a70dd748cc602d3fa28b551503c3871',
    'face_landmark_68_model-weights_manifest.json':
      'ca4886639f86e99b39fed0c155f81b63317225773bd9616716e887b0153389c9',
    'face_landmark_68_model.bin':
      '4611ef65c87d836d03d684b30eec4d195d8b219fa1dd58fc58945831c6b9299b',
  },
};

/**
 * @param at elsewhere only to try what is done about damage
 * @throws when the networks or the tensor code are not there, or damaged
 */
export async function loadFaceFinder(at = places()): Promise<FaceFinder> {
  refuseDamaged(at);
  const { compiled, networks } = at;
  setWasmPaths(join(compiled, '/'));
  // Where it can't be had that is told in the stencil's summary, not by the library.
  library.tf.enableProdMode();
  await quietly(() => library.tf.setBackend('wasm'));
  await library.tf.ready();
  joinColoursAtOnce();
  const { tinyFaceDetector, faceLandmark68Net } = library.nets;
  await tinyFaceDetector.loadFromDisk(networks);
  await faceLandmark68Net.loadFromDisk(networks);
  return {
    find: async (picture, looks, leastScore) => {
      const tensor = tensorOf(picture);
      try {
        const found: { readonly box: Box; readonly score: number }[] = [];
        for (const look of looks) found.push(...(await facesIn(picture, tensor, look, leastScore)));
        return await withLandmarks(tensor, withoutDoubles(found));
      } finally {
        tensor.dispose();
      }
    },
    landmarksIn: async (picture, boxes) => {
      const tensor = tensorOf(picture);
      try {
        return await withLandmarks(
          tensor,
          boxes.map((box) => ({ box, score: 1 })),
        );
      } finally {
        tensor.dispose();
      }
    },
  };
}

/**
 * The networks take a mean colour from each pixel, for which the tensor library lays three tensors of one number a pixel
 * side by side, each number by a view of its own: 0.1 s a look. Here they are laid by their index; all else is as it was.
 */
function joinColoursAtOnce(): void {
  const { tf } = library;
  const usual = tf.getKernel('Concat', 'wasm');
  type Call = Parameters<typeof usual.kernelFunc>[0];
  const kernelFunc = (call: Call): ReturnType<typeof usual.kernelFunc> => {
    const { inputs, attrs, backend } = call;
    const [{ shape, dtype }] = inputs;
    const areColours =
      attrs.axis === shape.length - 1 &&
      dtype !== 'string' &&
      inputs.every((one) => one.shape[attrs.axis] === 1);
    if (!areColours) return usual.kernelFunc(call);
    const out = backend.makeOutput([...shape.slice(0, -1), inputs.length], dtype);
    const values = inputs.map((one) => backend.typedArrayFromHeap(one));
    const side = backend.typedArrayFromHeap(out);
    values.forEach((own, k) => {
      for (let i = 0; i < own.length; i++) side[i * values.length + k] = own[i];
    });
    return out;
  };
  tf.unregisterKernel('Concat', 'wasm');
  tf.registerKernel({ ...usual, kernelFunc });
}

function refuseDamaged(at: Places): void {
  for (const place of ['compiled', 'networks'] as const) {
    for (const [file, digest] of Object.entries(DIGESTS[place])) {
      const found = createHash('sha256').update(readFileSync(join(at[place], file)));
      if (found.digest('hex') !== digest) throw new Error(`the file ${file} is damaged`);
    }
  }
}

function places(): Places {
  if (!RUNS_FROM_SOURCES) {
    const folder = fileURLToPath(new URL('./face-finder/', import.meta.url));
    return { compiled: folder, networks: folder };
  }
  const require = createRequire(import.meta.url);
  return {
    compiled: dirname(require.resolve('@tensorflow/tfjs-backend-wasm')),
    networks: join(dirname(require.resolve('@vladmandic/face-api/package.json')), 'model'),
  };
}

const LAST_CHANCES = ['uncaughtException', 'unhandledRejection'] as const;

/** What starts the tensor code also hangs itself into the process's own handling of errors, which is not its business. */
async function quietly(start: () => Promise<unknown>): Promise<void> {
  const before = LAST_CHANCES.map((event) => nodeProcess.listeners(event as 'uncaughtException'));
  await start();
  LAST_CHANCES.forEach((event, k) => {
    for (const listener of nodeProcess.listeners(event as 'uncaughtException')) {
      if (!before[k].includes(listener)) nodeProcess.removeListener(event, listener);
    }
  });
}

type Tensor = ReturnType<typeof library.tf.tensor3d>;

function tensorOf({ width, height, data }: Picture): Tensor {
  return library.tf.tensor3d(Int32Array.from(data), [height, width, 3], 'int32');
}

async function facesIn(
  picture: Picture,
  whole: Tensor,
  { area, inputSize }: Look,
  scoreThreshold: number,
): Promise<{ readonly box: Box; readonly score: number }[]> {
  const isWhole = area.width === picture.width && area.height === picture.height;
  const part = isWhole ? whole : tensorOf(partOf(picture, area));
  try {
    const options = new library.TinyFaceDetectorOptions({ inputSize, scoreThreshold });
    const found = await library.nets.tinyFaceDetector.locateFaces(part, options);
    return found.map(({ box: { x, y, width, height }, score }) => ({
      box: { x: x + area.x, y: y + area.y, width, height },
      score,
    }));
  } finally {
    if (!isWhole) part.dispose();
  }
}

function partOf({ width, data }: Picture, area: Box): Picture {
  const part = new Uint8Array(3 * area.width * area.height);
  for (let y = 0; y < area.height; y++) {
    const from = 3 * ((area.y + y) * width + area.x);
    part.set(data.subarray(from, from + 3 * area.width), 3 * y * area.width);
  }
  return { width: area.width, height: area.height, data: part };
}

/** Boxes that share so much of the smaller one are one face. */
const SAME_FACE = 0.5;

function withoutDoubles<Found extends { readonly box: Box; readonly score: number }>(
  found: readonly Found[],
): Found[] {
  const kept: Found[] = [];
  for (const one of found.toSorted((a, b) => b.score - a.score)) {
    if (kept.every(({ box }) => shared(one.box, box) < SAME_FACE)) kept.push(one);
  }
  return kept;
}

function shared(a: Box, b: Box): number {
  const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
  const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
  const smaller = Math.min(a.width * a.height, b.width * b.height);
  return (Math.max(across, 0) * Math.max(down, 0)) / smaller;
}

async function withLandmarks(
  picture: Tensor,
  found: readonly { readonly box: Box; readonly score: number }[],
): Promise<FoundFace[]> {
  const rects = found.map(({ box }) => new library.Rect(box.x, box.y, box.width, box.height));
  const cut = await library.extractFaceTensors(picture, rects);
  const faces: FoundFace[] = [];
  for (const [k, face] of cut.entries()) {
    const { positions } = await library.nets.faceLandmark68Net.detectLandmarks(face);
    face.dispose();
    const { box, score } = found[k];
    const landmarks = positions.map(({ x, y }) => ({ x: x + box.x, y: y + box.y }));
    faces.push({ box, score, landmarks });
  }
  return faces;
}
