import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { Problem } from '../settings/problem.js';
import { isObject } from '../settings/edits.js';
import { checkSettings, completeJob, type Job } from '../settings/job.js';
import { readRecord, provenanceInWords } from './made-from.js';
import { readSeal } from './page-files.js';
import { parseStencil, type CutDrawing } from './stencil-svg.js';

/** A made stencil, read back. */
export interface Stencil extends CutDrawing {
  readonly name: string;
  /** What it is called on sheets that hold another stencil of the same name. */
  readonly label?: string;
  /** The settings that it was made by, where its report is there. */
  readonly job?: Job;
  /** How many of its promises are broken; undefined where no report says so. */
  readonly broken?: number;
}

const FILE = 'stencil.svg';

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
export type PathContents =
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
export async function openStencils(path: string): Promise<PathContents> {
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

async function openFile(path: string): Promise<PathContents> {
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
