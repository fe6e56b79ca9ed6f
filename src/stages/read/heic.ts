import { createRequire } from 'node:module';
import { Worker } from 'node:worker_threads';

/** Pixels as the camera meant them to be seen: turned and mirrored already. RGBA, one byte each. */
export interface HeicPixels {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

type DecodeReply = { readonly pixels: HeicPixels } | { readonly failure: string };

/**
 * The decoder is WebAssembly: it holds its thread for a second or more, never gives its memory back, and prints
 * what it finds wrong. So it runs in a thread of its own, whose printing goes nowhere.
 */
const DECODER = `
  const { parentPort, workerData } = require('node:worker_threads');
  const decode = require(workerData.decoder);
  decode
    .all({ buffer: workerData.bytes })
    .then((pictures) => pictures[workerData.index].decode())
    .then(({ width, height, data }) => {
      const pixels = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
      parentPort.postMessage({ pixels: { width, height, data: pixels } }, [pixels.buffer]);
    })
    .catch((error) => parentPort.postMessage({ failure: String(error) }));
`;

interface DecodedFrame {
  readonly index: number;
  readonly pixels: Promise<HeicPixels>;
}

/** What was decoded last, as long as its bytes are held: a page looks at a phone's photo again and again. */
let kept = new WeakMap<Uint8Array, DecodedFrame>();

/**
 * Decodes the HEIC that phones write; the same bytes as the last time are not decoded again.
 *
 * ISO/IEC 23008-12 turns a picture by its own properties (irot, imir), which the decoder applies; the EXIF
 * orientation that many phones write beside them repeats it and must not be applied again.
 *
 * @param index which of the file's pictures
 * @throws Error when the pixels can't be decoded
 */
export function decodeHeic(bytes: Uint8Array, index: number): Promise<HeicPixels> {
  const known = kept.get(bytes);
  if (known?.index === index) return known.pixels;
  const pixels = decode(bytes, index);
  const last = new WeakMap([[bytes, { index, pixels }]]);
  // What failed is told to who waits for it, and tried anew the next time.
  pixels.catch(() => last.delete(bytes));
  kept = last;
  return pixels;
}

async function decode(bytes: Uint8Array, index: number): Promise<HeicPixels> {
  const require = createRequire(import.meta.url);
  const decoder = require.resolve('heic-decode');
  const worker = new Worker(DECODER, {
    eval: true,
    workerData: { decoder, bytes, index },
    stdout: true,
    stderr: true,
    execArgv: [],
  });
  try {
    const answer = await new Promise<DecodeReply>((resolve, reject) => {
      worker.once('message', resolve);
      worker.once('error', reject);
      worker.once('exit', () => reject(new Error('The decoder stopped without an answer')));
    });
    if ('failure' in answer) throw new Error(answer.failure);
    return answer.pixels;
  } finally {
    await worker.terminate();
  }
}
