import { createRequire } from 'node:module';
import nodeProcess from 'node:process';
import { dirname, join } from 'node:path';
import { setWasmPaths } from '@tensorflow/tfjs-backend-wasm';
import library from '@vladmandic/face-api/dist/face-api.node-wasm.js';
import type { FoundFace } from '../../src/faces/finder.js';
import type { Colours } from '../../src/raster/colours.js';
import { home } from './built.js';

const NETWORKS = join(home, 'node_modules/@vladmandic/face-api/model');
const LAST_CHANCES = ['uncaughtException', 'unhandledRejection'] as const;

let loading: Promise<void> | undefined;

async function load(): Promise<void> {
  const compiled = createRequire(import.meta.url).resolve('@tensorflow/tfjs-backend-wasm');
  setWasmPaths(join(dirname(compiled), '/'));
  library.tf.enableProdMode();
  // What starts the tensor code hangs itself into the process's handling of errors.
  const before = LAST_CHANCES.map((event) => nodeProcess.listeners(event as 'uncaughtException'));
  await library.tf.setBackend('wasm');
  await library.tf.ready();
  LAST_CHANCES.forEach((event, k) => {
    for (const listener of nodeProcess.listeners(event as 'uncaughtException'))
      if (!before[k].includes(listener)) nodeProcess.removeListener(event, listener);
  });
  await library.nets.tinyFaceDetector.loadFromDisk(NETWORKS);
  await library.nets.faceLandmark68Net.loadFromDisk(NETWORKS);
}

/** Faces and their landmarks by the library that the networks come with, on its own tensor library. */
export async function facesByLibrary(
  { width, height, data }: Colours,
  inputSize: number,
  scoreThreshold: number,
): Promise<FoundFace[]> {
  await (loading ??= load());
  const picture = library.tf.tensor3d(Int32Array.from(data), [height, width, 3], 'int32');
  const options = new library.TinyFaceDetectorOptions({ inputSize, scoreThreshold });
  const found = await library.nets.tinyFaceDetector.locateFaces(picture, options);
  const faces: FoundFace[] = [];
  for (const { box, score } of found) {
    const { x, y, width: wide, height: high } = box;
    const [part] = await library.extractFaceTensors(picture, [new library.Rect(x, y, wide, high)]);
    const { positions } = await library.nets.faceLandmark68Net.detectLandmarks(part);
    // They are told from the corner of the part, which is cut out in whole pixels and inside of the picture.
    const [left, top] = [x, y].map((at) => Math.floor(Math.max(at, 0)));
    const landmarks = positions.map((at) => ({ x: left + at.x, y: top + at.y }));
    faces.push({ box: { x, y, width: wide, height: high }, score, landmarks });
    part.dispose();
  }
  picture.dispose();
  return faces;
}
