import { dirname, extname, join } from 'node:path';
import { codeOf, ifThere, type Disk, type ResultFile } from './disk.js';
import { readRecord, RECORDS, sha256, type MadeFrom } from './made-from.js';

/** A file that a person had changed, and what it is called beside the new one. */
export interface KeptFile {
  readonly file: string;
  readonly as: string;
}

/** What file browsers and editors leave behind in folders that they have shown, or files that they had open. */
const CLUTTER: readonly RegExp[] = [
  /^\.DS_Store$/,
  /^\._/,
  /^\.directory$/,
  /^Thumbs\.db$/i,
  /^desktop\.ini$/i,
  /^\.?#.*#?$/,
  /~$/,
  /\.(bak|swp|swo|tmp)$/i,
];

/** Whether a name is of something that a program left behind, and nobody would miss. */
export function isClutter(name: string): boolean {
  return CLUTTER.some((pattern) => pattern.test(name));
}

/**
 * Whether a folder that does not say where it comes from is an earlier result all the same, damaged perhaps: each of
 * its files of a name that is to be written holds the beginning of what will be, and one of them something. An empty
 * folder stands for anything.
 *
 * @returns the name of something in it by which it is another's; undefined when it may be replaced
 */
export async function standsFor(
  folder: string,
  files: readonly ResultFile[],
  fs: Disk,
): Promise<string | undefined> {
  const entries = (await fs.readdir(folder, { withFileTypes: true })).filter(
    ({ name }) => !isClutter(name),
  );
  let proven = entries.length === 0;
  for (const { name, bytes } of files) {
    if (!(await isThere(join(folder, name), fs))) continue;
    if (!(await isPlainFile(join(folder, name), fs))) return name;
    const held = await fs.readFile(join(folder, name));
    if (!begins(held, Buffer.from(bytes), name)) return name;
    proven ||= held.length > 0;
  }
  return proven ? undefined : entries[0].name;
}

/**
 * Empties an earlier result that was set aside, for another that stands in its place: what was written there goes, and
 * what a person put there or changed moves over.
 *
 * @returns what she had changed and stands under another name now
 * @throws Error as the disk answers; nothing is lost then, some of it is still in `aside`
 */
export async function settle(
  aside: string,
  target: string,
  fs: Disk,
): Promise<readonly KeptFile[]> {
  const record = await readRecord(aside, fs);
  const own = await ownIn(aside, target, record, fs);
  for (const name of own) await fs.unlink(join(aside, name));
  for (const folder of new Set(own.map((name) => dirname(name)))) {
    if (folder !== '.') await removeIfEmpty(join(aside, folder), fs);
  }
  const kept: KeptFile[] = [];
  await moveOver(aside, target, '', record ? RECORDS : [], kept, fs);
  // The record last: as long as it is there, it says what else is.
  if (record) {
    for (const name of RECORDS) await ifThere(() => fs.unlink(join(aside, name)));
  }
  await fs.rmdir(aside);
  return kept;
}

/** The files of a result that hold what was written there, or the beginning of what stands in their place. */
async function ownIn(
  aside: string,
  target: string,
  record: MadeFrom | undefined,
  fs: Disk,
): Promise<readonly string[]> {
  const written = new Map(record?.files.map(({ name, sha256: mark }) => [name, mark]));
  const own: string[] = [];
  for (const name of new Set([...written.keys(), ...(await filesIn(target, '', fs))])) {
    if (record && RECORDS.includes(name)) continue;
    if (!(await isPlainFile(join(aside, name), fs))) continue;
    const held = await fs.readFile(join(aside, name));
    const isOwn =
      written.get(name) === sha256(held) ||
      ((await isPlainFile(join(target, name), fs)) &&
        begins(held, await fs.readFile(join(target, name)), name));
    if (isOwn) own.push(name);
  }
  return own;
}

/** The ways of the plain files in a folder, as far down as results go. */
async function filesIn(folder: string, way: string, fs: Disk): Promise<string[]> {
  const found: string[] = [];
  for (const entry of await fs.readdir(join(folder, way), { withFileTypes: true })) {
    const name = way + entry.name;
    if (entry.isFile()) found.push(name);
    else if (entry.isDirectory() && way === '')
      found.push(...(await filesIn(folder, `${name}/`, fs)));
  }
  return found;
}

async function isThere(path: string, fs: Disk): Promise<boolean> {
  return (await lookAt(path, fs)) !== undefined;
}

async function isPlainFile(path: string, fs: Disk): Promise<boolean> {
  return (await lookAt(path, fs))?.isFile() ?? false;
}

async function lookAt(path: string, fs: Disk) {
  try {
    return await fs.lstat(path);
  } catch (error) {
    // Nothing there, or a file where a folder on the way should be.
    if (['ENOENT', 'ENOTDIR'].includes(codeOf(error) ?? '')) return undefined;
    throw error;
  }
}

async function removeIfEmpty(folder: string, fs: Disk): Promise<void> {
  if ((await fs.readdir(folder)).length === 0) await fs.rmdir(folder);
}

/** Moves what is in a folder over into another, into folders of the same name where there are. */
async function moveOver(
  from: string,
  to: string,
  way: string,
  except: readonly string[],
  kept: KeptFile[],
  fs: Disk,
): Promise<void> {
  for (const entry of await fs.readdir(join(from, way), { withFileTypes: true })) {
    const name = way + entry.name;
    if (except.includes(name)) continue;
    if (entry.isDirectory() && (await lookAt(join(to, name), fs))?.isDirectory()) {
      await moveOver(from, to, `${name}/`, [], kept, fs);
      await fs.rmdir(join(from, name));
    } else {
      await moveOne(from, to, name, kept, fs);
    }
  }
}

async function moveOne(
  from: string,
  to: string,
  name: string,
  kept: KeptFile[],
  fs: Disk,
): Promise<void> {
  const as = await freeName(to, name, fs);
  if (as !== name) kept.push({ file: name, as });
  await fs.rename(join(from, name), join(to, as));
}

/** A name that nothing has in a folder: itself, or with "-kept" before its ending. */
async function freeName(folder: string, name: string, fs: Disk): Promise<string> {
  const ending = extname(name);
  const stem = name.slice(0, name.length - ending.length);
  for (let count = 0; ; count++) {
    const free =
      count === 0 ? name : `${stem}-kept${count === 1 ? '' : `-${count.toString()}`}${ending}`;
    if (!(await ifThere(() => fs.lstat(join(folder, free))))) return free;
  }
}

/**
 * Whether a file holds the beginning of another, or all of it. Reports are compared as far as they tell of the
 * stencil: where it comes from, and the times it took, stand last.
 */
function begins(held: Buffer, whole: Buffer, name: string): boolean {
  const [start, all] = [held, whole].map((bytes) => (isReport(name) ? ofStencil(bytes) : bytes));
  return start.length <= all.length && start.equals(all.subarray(0, start.length));
}

const isReport = (name: string): boolean => /(^|\/)report\.json$/.test(name);

function ofStencil(report: Buffer): Buffer {
  const ends = ['\n  "madeFrom"', '\n  "timingsMs"']
    .map((key) => report.indexOf(key))
    .filter((at) => at >= 0);
  return ends.length === 0 ? report : report.subarray(0, Math.min(...ends));
}
