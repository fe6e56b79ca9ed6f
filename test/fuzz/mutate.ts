import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { seeded } from '../support/bitmaps.js';

/** A whole picture file that mutations start from. */
export interface Seed {
  readonly kind: string;
  readonly bytes: Uint8Array;
}

const SIDE = 96;

/** One small whole file of every kind that is read, HEIC from phones too. */
export async function seedPictures(): Promise<readonly Seed[]> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${SIDE}" height="${SIDE}" viewBox="0 0 96 96"><rect width="96" height="96" fill="#eee"/><path d="M10 10C40 0 90 40 80 80L20 70Z" fill="#222"/><circle cx="50" cy="45" r="14" fill="#ddd"/></svg>`;
  const drawn = sharp(Buffer.from(svg)).withMetadata({ orientation: 6 });
  const kinds: readonly [string, Promise<Uint8Array>][] = [
    ['jpeg', drawn.clone().jpeg().toBuffer()],
    ['progressive jpeg', drawn.clone().jpeg({ progressive: true }).toBuffer()],
    ['cmyk jpeg', drawn.clone().toColourspace('cmyk').jpeg().toBuffer()],
    ['png', drawn.clone().png().toBuffer()],
    ['16-bit png', drawn.clone().toColourspace('rgb16').png().toBuffer()],
    ['webp', drawn.clone().webp().toBuffer()],
    ['tiff', drawn.clone().tiff({ compression: 'lzw' }).toBuffer()],
    ['tiled tiff', drawn.clone().tiff({ tile: true, tileWidth: 32, tileHeight: 32 }).toBuffer()],
    ['gif', drawn.clone().gif().toBuffer()],
    ['avif', drawn.clone().avif({ effort: 0 }).toBuffer()],
    ['svg', Promise.resolve(Buffer.from(svg))],
  ];
  const made = await Promise.all(
    kinds.map(async ([kind, bytes]) => ({ kind, bytes: new Uint8Array(await bytes) })),
  );
  const heic = new URL('../fixtures/two.heic', import.meta.url);
  return [...made, { kind: 'heic', bytes: new Uint8Array(readFileSync(heic)) }];
}

/** Numbers that lengths and sizes are often wrong at. */
const TELLING = [0, 1, 0x7f, 0x80, 0xff, 0x7fff, 0xffff, 0x7fffffff, 0xffffffff];

type Random = () => number;
type Mutation = (bytes: Uint8Array, random: Random, others: readonly Seed[]) => Uint8Array;

const upTo = (random: Random, most: number): number => Math.floor(random() * most);

/** Headers are worth more blows than pixels. */
const place = (random: Random, length: number): number =>
  upTo(random, random() < 0.5 ? Math.min(length, 256) : length);

const mutations: readonly Mutation[] = [
  function flipBits(bytes, random) {
    const out = bytes.slice();
    for (let count = 1 + upTo(random, 8); count > 0; count--) {
      out[place(random, out.length)] ^= 1 << upTo(random, 8);
    }
    return out;
  },
  function writeTellingNumber(bytes, random) {
    const out = bytes.slice();
    if (out.length < 8) return out;
    const view = new DataView(out.buffer);
    const at = Math.min(place(random, out.length), out.length - 4);
    view.setUint32(at, TELLING[upTo(random, TELLING.length)], random() < 0.5);
    return out;
  },
  function cutOff(bytes, random) {
    return bytes.slice(0, upTo(random, bytes.length));
  },
  function takeOut(bytes, random) {
    const at = place(random, bytes.length);
    return joined(bytes.subarray(0, at), bytes.subarray(at + 1 + upTo(random, 64)));
  },
  function repeatPart(bytes, random) {
    const at = place(random, bytes.length);
    const part = bytes.subarray(at, at + 1 + upTo(random, 512));
    return joined(bytes.subarray(0, at), part, part, bytes.subarray(at));
  },
  function fillPart(bytes, random) {
    const out = bytes.slice();
    const at = place(random, out.length);
    return out.fill(random() < 0.5 ? 0 : 255, at, at + 1 + upTo(random, 64));
  },
  function spliceAnother(bytes, random, others) {
    const other = others[upTo(random, others.length)].bytes;
    return joined(
      bytes.subarray(0, place(random, bytes.length)),
      other.subarray(upTo(random, other.length)),
    );
  },
];

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  return new Uint8Array(Buffer.concat(parts));
}

/** The picture of a seed number: one of the whole files with one to four blows. */
export function mutatedPicture(seeds: readonly Seed[], number: number): Seed {
  const random = seeded(number);
  const { kind, bytes } = seeds[number % seeds.length];
  let mutated = bytes;
  for (let count = 1 + upTo(random, 4); count > 0 && mutated.length > 0; count--) {
    mutated = mutations[upTo(random, mutations.length)](mutated, random, seeds);
  }
  return { kind, bytes: mutated };
}

/** Text with one to four blows, or with some of its digits changed, for files of settings. */
export function mutatedText(text: string, number: number): Uint8Array {
  const random = seeded(number);
  if (random() < 0.5) {
    const changed = text.replace(/\d/g, (digit) =>
      random() < 0.2 ? String(upTo(random, 10)) : digit,
    );
    return new TextEncoder().encode(changed);
  }
  let mutated: Uint8Array = new TextEncoder().encode(text);
  for (let count = 1 + upTo(random, 4); count > 0 && mutated.length > 0; count--) {
    mutated = mutations[upTo(random, mutations.length - 1)](mutated, random, []);
  }
  return mutated;
}
