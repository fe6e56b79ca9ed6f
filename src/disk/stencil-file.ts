import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import type { Sheet } from '../settings/card.js';
import { flatten } from '../geometry/flatten.js';
import { writeLine } from '../geometry/outline.js';
import { signedArea } from '../geometry/signed-area.js';
import type { Outline, Point, Shape } from '../geometry/shape.js';
import { Problem } from '../settings/problem.js';
import { isObject } from '../settings/edits.js';
import { checkSettings, completeJob, type Job } from '../settings/job.js';
import { readRecord, provenanceInWords } from './made-from.js';
import { readSeal } from './page-files.js';

/** A made stencil, read back. */
export interface Stencil {
  readonly name: string;
  /** What it is called on sheets where another has its name. */
  readonly label?: string;
  readonly sheet: Sheet;
  readonly openings: readonly Shape[];
  /** The settings that it was made by, where its report is there. */
  readonly job?: Job;
  /** How many of its promises are broken; undefined where no report says so. */
  readonly broken?: number;
}

const FILE = 'stencil.svg';

/** A turn at which the hand stops, in radians (10°): corners are not written down in a stencil.svg. */
const CORNER = (10 * Math.PI) / 180;

/**
 * Reads a made stencil: its folder, or its stencil.svg.
 *
 * @returns undefined when the path is neither, but some other file (a picture, perhaps)
 * @throws Problem when there is nothing at the path, no stencil in the folder, or a stencil.svg that was changed
 */
export async function readStencil(path: string): Promise<Stencil | undefined> {
  const isFolder = await folderAt(path);
  const file = isFolder ? join(path, FILE) : path;
  if (!isFolder && !file.toLowerCase().endsWith('.svg')) return undefined;
  const svg = await textOf(file, isFolder);
  if (!isFolder && !/\bid="openings"/.test(svg)) return undefined;
  const name = isFolder
    ? basename(resolve(path))
    : basename(file) === FILE
      ? basename(dirname(resolve(file)))
      : basename(file, '.svg');
  const told = basename(file) === FILE ? await readReport(dirname(resolve(file))) : undefined;
  const { layerName, ...about } = told ?? {};
  return { name: layerName ?? name, ...parseStencil(svg, file), ...about };
}

interface ReportTold {
  /** What it is called as a layer of its set: its folder's name is the same in all sets. */
  readonly layerName?: string;
  readonly job?: Job;
  readonly broken?: number;
}

/** What the report beside a stencil says; nothing where there is none that can be read. */
async function readReport(folder: string): Promise<ReportTold> {
  try {
    const report = JSON.parse(await readFile(join(folder, 'report.json'), 'utf8')) as unknown;
    if (!isObject(report)) return {};
    const { findings, job, layer, name } = report;
    const errors = Array.isArray(findings)
      ? (findings as { level?: unknown; code?: unknown }[]).filter(({ level }) => level === 'error')
      : undefined;
    return {
      ...(errors && { broken: new Set(errors.map(({ code }) => code)).size }),
      ...(isObject(job) && { job: completeJob(checkSettings(job)) }),
      ...(isObject(layer) && typeof name === 'string' && { layerName: name }),
    };
  } catch {
    return {};
  }
}

/** What a path holds: stencils, a picture perhaps, or something else that no stencil can be read or made of. */
export type Held =
  | { readonly kind: 'stencils'; readonly stencils: readonly Stencil[] }
  | { readonly kind: 'picture' }
  | { readonly kind: 'other'; readonly what: string };

/** The folder of one layer in that of its set. */
const LAYER = /^layer-\d$/;

/** What is made here, or by others, and is no picture. */
const NO_PICTURE = /\.(html?|csv|json|pdf|txt|md|zip|dxf)$/i;

/**
 * Looks what a path holds: of a set of layers all layers, in the order of painting.
 *
 * @throws Problem when there is nothing at the path, or a stencil.svg that was changed
 */
export async function openStencils(path: string): Promise<Held> {
  if (!(await folderAt(path))) return openFile(path);
  const names = await readdir(path);
  if (names.includes(FILE)) return { kind: 'stencils', stencils: [await stencilIn(path)] };
  const layers = names.filter((name) => LAYER.test(name)).sort();
  const stencils: Stencil[] = [];
  for (const layer of layers) {
    const folder = join(path, layer);
    if ((await folderAt(folder)) && (await readdir(folder)).includes(FILE))
      stencils.push(await stencilIn(folder));
  }
  if (stencils.length > 0) return { kind: 'stencils', stencils };
  const record = await readRecord(path).catch(() => undefined);
  return { kind: 'other', what: record ? provenanceInWords(record) : 'no stencil in it' };
}

async function stencilIn(folder: string): Promise<Stencil> {
  const stencil = await readStencil(folder);
  if (!stencil) throw new Error(`There was a stencil in ${folder}`);
  return stencil;
}

async function openFile(path: string): Promise<Held> {
  const stencil = await readStencil(path);
  if (stencil) return { kind: 'stencils', stencils: [stencil] };
  if (NO_PICTURE.test(path)) return { kind: 'other', what: 'no picture' };
  const tones = /^(.*-tones(?:-\d+)?)\.png$/.exec(path)?.[1];
  const page = tones && (await readFile(`${tones}.html`, 'utf8').catch(() => undefined));
  const seal = page ? readSeal(page) : undefined;
  return seal ? { kind: 'other', what: provenanceInWords(seal) } : { kind: 'picture' };
}

async function folderAt(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch (cause) {
    throw new Problem('There is no such file or folder', path, 'Check its name', { cause });
  }
}

async function textOf(file: string, inFolder: boolean): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    throw inFolder
      ? new Problem(
          'There is no stencil in this folder',
          dirname(file),
          `Name a folder that stencilwright make wrote, with a ${FILE} in it`,
          { cause },
        )
      : new Problem("The file can't be read", file, 'Check that you may read it', { cause });
  }
}

/**
 * Reads the text of a stencil.svg, as `stencilSvg` writes it.
 *
 * @throws Problem when it is not as it was written
 */
export function parseStencil(svg: string, where: string): Omit<Stencil, 'name'> {
  const [root] = /<svg\b[^>]*>/.exec(svg) ?? [];
  const [path] = /<path\b[^>]*\bid="openings"[^>]*>/.exec(svg) ?? [];
  const sheet = { widthMm: inMm(root, 'width'), heightMm: inMm(root, 'height') };
  const outlines = path === undefined ? undefined : readOutlines(attribute(path, 'd') ?? '');
  const isWhole = sheet.widthMm > 0 && sheet.heightMm > 0;
  const openings = outlines && asShapes(outlines);
  if (isWhole && openings && !/\btransform=/.test(svg)) return { sheet, openings };
  throw new Problem(
    'This stencil was changed by another program, so its sizes are not sure',
    where,
    'Make it again with stencilwright make',
  );
}

function attribute(tag: string | undefined, name: string): string | undefined {
  return new RegExp(`\\s${name}="([^"]*)"`).exec(tag ?? '')?.[1];
}

function inMm(tag: string | undefined, name: string): number {
  const [, number] = /^([\d.]+)mm$/.exec(attribute(tag, name) ?? '') ?? [];
  return Number(number ?? NaN);
}

/** How many numbers follow a letter of SVG 2, section 9.3. */
const NUMBERS: Readonly<Record<string, number>> = { M: 2, L: 2, C: 6, Z: 0 };

/** Closed outlines of the letters M, L, C and Z with absolute coordinates; undefined for anything else. */
function readOutlines(d: string): Outline[] | undefined {
  const outlines: Outline[] = [];
  let curves: number[][] = [];
  let straight: boolean[] = [];
  let at: Point | undefined;
  for (const [, letter, rest] of d.matchAll(/([A-Za-z])([^A-Za-z]*)/g)) {
    const numbers = rest
      .split(/[\s,]+/)
      .filter((word) => word !== '')
      .map(Number);
    if (numbers.length !== NUMBERS[letter] || !numbers.every(Number.isFinite)) return undefined;
    if (letter === 'M') {
      if (at) return undefined;
    } else if (!at) {
      return undefined;
    } else if (letter === 'Z') {
      outlines.push(asOutline(curves, straight));
      [curves, straight, at] = [[], [], undefined];
      continue;
    } else {
      curves.push([at.x, at.y, ...numbers]);
      straight.push(letter === 'L');
    }
    at = { x: numbers[numbers.length - 2], y: numbers[numbers.length - 1] };
  }
  return at ? undefined : outlines;
}

/** @param curves the numbers of each: its start, its controls where it has any, its end */
function asOutline(curves: readonly number[][], straight: readonly boolean[]): Outline {
  const coords = new Float64Array(6 * curves.length);
  curves.forEach((numbers, i) => {
    const [x, y] = numbers;
    const end = { x: numbers[numbers.length - 2], y: numbers[numbers.length - 1] };
    if (straight[i]) writeLine(coords, 6 * i, { x, y }, end);
    else coords.set(numbers.slice(0, 6), 6 * i);
  });
  const corner = Uint8Array.from(curves, (_, i) => (turnAt(coords, i) > CORNER ? 1 : 0));
  return { coords, straight: Uint8Array.from(straight, Number), corner };
}

/** By how much the outline turns where curve i starts, in radians. */
function turnAt(coords: Float64Array, i: number): number {
  const n = coords.length;
  const point = (k: number): readonly [number, number] => [
    coords[(6 * i + 2 * k + n) % n],
    coords[(6 * i + 2 * k + 1 + n) % n],
  ];
  const direction = (...ks: readonly number[]): number => {
    const [x, y] = point(0);
    const [toX, toY] = ks.map(point).find(([a, b]) => a !== x || b !== y) ?? [x, y];
    return Math.atan2(toY - y, toX - x);
  };
  const turn = direction(1, 2, 3) - direction(-1, -2, -3) - Math.PI;
  return Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn)));
}

/** An outer outline runs clockwise on the page and stands before its holes, which run the other way. */
function asShapes(outlines: readonly Outline[]): Shape[] | undefined {
  const shapes: { outer: Outline; holes: Outline[] }[] = [];
  for (const outline of outlines) {
    const shape = shapes.at(-1);
    if (signedArea(flatten(outline)) > 0) shapes.push({ outer: outline, holes: [] });
    else if (shape) shape.holes.push(outline);
    else return undefined;
  }
  return shapes;
}
