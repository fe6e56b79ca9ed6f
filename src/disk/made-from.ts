import { createHash } from 'node:crypto';
import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { codeOf } from './disk.js';
import { memoizeLast } from '../common/memoize-last.js';
import { blockMeanHash, mayBeOne } from '../raster/perceptual-hash.js';

/** What a picture looks like at a glance. Its layers are of the same picture, so it is remembered. */
export const looksOf = memoizeLast(blockMeanHash);

/** One file of a result, as it was written. */
export interface FileMark {
  /** Its way from the result's folder, with slashes. */
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** What a result is, and of what: two results are of the same when `isSameResult` says so. */
export interface Provenance {
  readonly made:
    | 'stencil'
    | 'layers'
    | 'sheets'
    | 'practice'
    | 'tones'
    | 'summary'
    | 'typefaces'
    | LayerOfSet;
  /** The picture's file name with its ending, without its folder; none where it came as mere bytes. */
  readonly picture?: string;
  /** Of the picture file's bytes, in hexadecimal (FIPS 180-4). */
  readonly sha256?: string;
  /** What the picture looks like at a glance; see `looksOf`. None until it has been read. */
  readonly looks?: string;
  /** The stencils that were laid on sheets, each named once. */
  readonly stencils?: readonly string[];
}

type LayerOfSet = `layer ${number} of ${number}`;

/** Where a result comes from, as it says itself: in its report.json, or in its film.json. */
export interface MadeFrom extends Provenance {
  /** In a batch: names all that the stencil follows from, the picture's bytes, the job, the program. */
  readonly fingerprint?: string;
  /** What was written with it. */
  readonly files: readonly FileMark[];
}

/** The files that a result says in where it comes from. */
export const RECORDS: readonly string[] = ['report.json', 'film.json'];

/** SHA-256 in hexadecimal. */
export function sha256(bytes: string | Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** The names and SHA-256 of files that are about to be written. */
export function marksOf(files: Iterable<readonly [string, string | Uint8Array]>): FileMark[] {
  return [...files].map(([name, bytes]) => ({
    name,
    bytes: typeof bytes === 'string' ? Buffer.byteLength(bytes) : bytes.byteLength,
    sha256: sha256(bytes),
  }));
}

/** Where files that are about to be written say that they come from. */
export function recordAmong(
  files: readonly { readonly name: string; readonly bytes: Uint8Array | string }[],
): MadeFrom | undefined {
  const record = files.find(({ name }) => RECORDS.includes(name));
  return record && parseRecord(textOf(record.bytes));
}

const textOf = (bytes: Uint8Array | string): string =>
  typeof bytes === 'string' ? bytes : Buffer.from(bytes).toString('utf8');

/** Where a result in a folder says that it comes from; undefined when nothing there says so. */
export async function readRecord(
  folder: string,
  fs: Pick<typeof disk, 'readFile'> = disk,
): Promise<MadeFrom | undefined> {
  for (const name of RECORDS) {
    const text = await textIn(join(folder, name), fs);
    const record = text === undefined ? undefined : parseRecord(text);
    if (record) return record;
  }
  return undefined;
}

async function textIn(
  path: string,
  fs: Pick<typeof disk, 'readFile'>,
): Promise<string | undefined> {
  try {
    return await fs.readFile(path, 'utf8');
  } catch (error) {
    if (['ENOENT', 'EISDIR', 'ENOTDIR'].includes(codeOf(error) ?? '')) return undefined;
    throw error;
  }
}

function parseRecord(text: string): MadeFrom | undefined {
  try {
    return checked((JSON.parse(text) as { madeFrom?: unknown } | null)?.madeFrom);
  } catch {
    return undefined;
  }
}

/** A value that was read from JSON, as a record; undefined when it is none. */
export function checked(value: unknown): MadeFrom | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  const { made, files } = value as Partial<MadeFrom>;
  const isWhole =
    typeof made === 'string' &&
    Array.isArray(files) &&
    files.every(
      (file: Partial<FileMark> | null) =>
        typeof file?.name === 'string' &&
        isPlainPath(file.name) &&
        typeof file.bytes === 'number' &&
        typeof file.sha256 === 'string',
    );
  return isWhole ? (value as MadeFrom) : undefined;
}

/** A file of a result lies in its folder, or in a folder of that one. */
const isPlainPath = (name: string): boolean =>
  /^(?:[^/\\]+\/)?[^/\\]+$/.test(name) && !name.split('/').some((part) => /^\.{1,2}$/.test(part));

/**
 * Whether two results are the same thing of the same: a stencil of one picture, or sheets of the same stencils. A
 * picture is known by its bytes, so that it may be given another name; and by its file name, with its ending, as long as
 * it looks alike, so that one that was touched up is still the same, and one from another folder is not.
 */
export function isSameResult(a: Provenance, b: Provenance): boolean {
  if (a.made !== b.made) return false;
  if (a.stencils ?? b.stencils) return stencilList(a) === stencilList(b);
  if (hasSameBytes(a, b)) return true;
  if (a.picture !== undefined && b.picture !== undefined) {
    if (a.picture.normalize('NFC') !== b.picture.normalize('NFC')) return false;
    return a.looks === undefined || b.looks === undefined || mayBeOne(a.looks, b.looks);
  }
  return [a, b].every(({ picture, sha256: bytes }) => picture === undefined && bytes === undefined);
}

/** Whether two results are the same thing of a picture with the very same bytes. */
export function hasSameBytes(a: Provenance, b: Provenance): boolean {
  return a.made === b.made && a.sha256 !== undefined && a.sha256 === b.sha256;
}

function stencilList({ stencils = [] }: Provenance): string {
  const names = new Set(stencils.map((name) => name.normalize('NFC')));
  return JSON.stringify([...names].sort());
}

/** Stencils that a message names: as many as fit in a line or two. */
const MOST_NAMED = 4;

/** "the stencil of fern.jpg"; beside one of a picture of the same name "the stencil of another fern.jpg". */
export function provenanceInWords(
  { made, picture, stencils = [] }: Provenance,
  beside?: Provenance,
): string {
  const isNamesake = beside?.made === made && beside.picture === picture;
  const of =
    picture === undefined ? 'another picture' : `${isNamesake ? 'another ' : ''}${picture}`;
  switch (made) {
    case 'stencil':
      return `the stencil of ${of}`;
    case 'layers':
      return `the layers of ${of}`;
    case 'sheets': {
      const more = stencils.length - MOST_NAMED;
      const named = stencils.slice(0, MOST_NAMED).join('; ');
      return `the sheets of ${named}${more > 0 ? ` and ${more} more` : ''}`;
    }
    case 'practice':
      return 'the practice strip';
    case 'tones':
      return `the tones of ${of}`;
    case 'typefaces':
      return 'the sheet of typefaces';
    case 'summary':
      return 'the summary of a folder';
    default:
      return `${made}, of ${of}`;
  }
}
