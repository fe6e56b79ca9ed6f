import { randomBytes } from 'node:crypto';
import type { PictureLook } from '../src/index.js';
import type { ServerLimits } from './limits.js';
import { Refusal } from './trouble.js';

/** A picture that a person gave, in memory and nowhere else. */
export interface HeldPicture {
  /** 128 random bits: who knows it may use the picture. */
  readonly id: string;
  /** What its stencil is called: the file's name without its ending. */
  readonly name: string;
  /** The file's own name, without its folder. */
  readonly file: string;
  /** The thread that works on it. */
  readonly thread: number;
  /** The file, in memory that the threads share. */
  readonly bytes: Uint8Array;
  readonly shown: PictureLook;
  /** The screen's copy, from which quick sketches are made, shared likewise. */
  readonly copy: Uint8Array;
}

/** The pictures that people work on. */
export interface Pictures {
  add(picture: HeldPicture): HeldPicture;
  /** @throws Refusal 404 when it is not here, or no more */
  get(id: string): HeldPicture;
  remove(id: string): boolean;
  /** How many there are. */
  count(): number;
  /** All of their bytes. */
  size(): number;
}

/**
 * Keeps pictures in memory up to a cap; the one unused for longest makes room.
 *
 * @param onGone called for each picture that goes
 */
export function createPictures(
  { pictures: most, keptBytes }: Pick<ServerLimits, 'pictures' | 'keptBytes'>,
  onGone: (picture: HeldPicture) => void,
): Pictures {
  /** By id, the one used last at the end. */
  const kept = new Map<string, HeldPicture>();
  let size = 0;

  const drop = (picture: HeldPicture): void => {
    kept.delete(picture.id);
    size -= weigh(picture);
    onGone(picture);
  };

  return {
    add(picture) {
      kept.set(picture.id, picture);
      size += weigh(picture);
      for (const oldest of kept.values()) {
        if (kept.size <= most && size <= keptBytes) break;
        if (oldest !== picture) drop(oldest);
      }
      return picture;
    },
    get(id) {
      const picture = kept.get(id);
      if (!picture) throw gone();
      kept.delete(id);
      kept.set(id, picture);
      return picture;
    },
    remove(id) {
      const picture = kept.get(id);
      if (picture) drop(picture);
      return picture !== undefined;
    },
    count: () => kept.size,
    size: () => size,
  };
}

export const newId = (): string => randomBytes(16).toString('hex');

function weigh({ bytes, copy, shown }: Omit<HeldPicture, 'id'>): number {
  return bytes.byteLength + copy.byteLength + shown.jpeg.byteLength;
}

function gone(): Refusal {
  return new Refusal(
    404,
    'This picture is not here any more',
    'picture',
    'Drop it on the page again; your settings are kept',
  );
}

/** Bytes in memory that threads share. */
export function shared(bytes: Uint8Array): Uint8Array {
  const copy = new Uint8Array(new SharedArrayBuffer(bytes.byteLength));
  copy.set(bytes);
  return copy;
}

/** A file's name without the folders that it was sent with. */
export function plainName(fileName: string): string {
  return fileName.replace(/^.*[/\\]/, '');
}

/**
 * UTF-16 units of a picture's name that are kept: it begins the names of files, which file systems end at 255 bytes.
 */
const LONGEST_NAME = 120;
const FORBIDDEN = '/\\:*?"<>|';

/** What a stencil is called after a file: its name without its ending and without what a path could be made of. */
export function stencilName(fileName: string): string {
  const plain = plainName(fileName)
    .replace(/(.)\.[^.]*$/, '$1')
    .trim();
  const safe = Array.from(plain)
    .filter((character) => character >= ' ' && !FORBIDDEN.includes(character))
    .join('')
    .slice(0, LONGEST_NAME);
  return /^\.*$/.test(safe) ? 'picture' : safe;
}
