import { readdir, realpath, stat } from 'node:fs/promises';
import { extname, join, relative } from 'node:path';
import { Problem } from '../../settings/problem.js';
import { readRecord } from '../../disk/made-from.js';
import { nameKey } from '../../disk/place.js';

/** A picture of a folder, and where its stencil goes. */
export interface ListedPicture {
  readonly path: string;
  /** The picture's way from the folder, with slashes: what a person knows it by. */
  readonly shown: string;
  /** The stencil's folder is `into`/`name` under the output folder. */
  readonly into: string;
  readonly name: string;
  /** The picture's own settings, where they lie beside it. */
  readonly jobFile?: string;
}

/** What pictures' names end in, of all kinds that can be read. */
const ENDINGS = new Set(
  '.jpg .jpeg .jpe .jfif .png .webp .tif .tiff .gif .bmp .dib .avif .heic .heif .hif .svg .svgz'.split(
    ' ',
  ),
);

/**
 * A folder that says where it comes from was made here: what lies in it is no picture. So is one that holds the first
 * and one of the others.
 */
const RESULT_MARKS = ['report.json', 'preview.png', 'stencil.svg'] as const;

/**
 * Finds the pictures in a folder, in the order in which a person would count them.
 *
 * @param options `below`: those in the folders below as well; `except`: a folder to pass over, where it lies below
 * @throws Problem when the folder can't be read, or when there is no picture in it
 */
export async function findPictures(
  folder: string,
  { below = false, except }: { readonly below?: boolean; readonly except?: string } = {},
): Promise<readonly ListedPicture[]> {
  const passed = except === undefined ? undefined : await realpath(except).catch(() => undefined);
  const found = await look(folder, folder, below, passed);
  if (found.length > 0) return found;
  throw new Problem(
    below ? 'There is no picture in this folder or below it' : 'There is no picture in this folder',
    folder,
    `A picture's name ends in ${[...ENDINGS].join(', ')}${below ? '' : '; for those in the folders below, say --below'}`,
  );
}

async function look(
  folder: string,
  top: string,
  below: boolean,
  passed: string | undefined,
): Promise<ListedPicture[]> {
  const entries = await listFolder(folder);
  const names = entries.map(({ name }) => name).sort(asCounted);
  const files = new Set(names);
  const pictures: string[] = [];
  const folders: string[] = [];
  for (const name of names) {
    if (name.startsWith('.')) continue;
    const path = join(folder, name);
    const entry = entries.find((each) => each.name === name)!;
    // A link to a picture is one; links to folders are not followed: they may go round in a circle.
    const isFile = entry.isFile() || (entry.isSymbolicLink() && (await leadsToFile(path)));
    if (isFile && ENDINGS.has(extname(name).toLowerCase())) pictures.push(name);
    if (entry.isDirectory()) folders.push(path);
  }
  const into = relative(top, folder);
  const found = nameStencils(pictures).map(({ picture, name }): ListedPicture => {
    const jobFile = `${stem(picture)}.json`;
    return {
      path: join(folder, picture),
      shown: join(into, picture).replaceAll('\\', '/'),
      into,
      name,
      ...(files.has(jobFile) && { jobFile: join(folder, jobFile) }),
    };
  });
  if (!below) return found;
  for (const inner of folders) {
    if ((await realpath(inner)) === passed || (await isResult(inner))) continue;
    found.push(...(await look(inner, top, below, passed)));
  }
  return found;
}

async function listFolder(folder: string) {
  try {
    return await readdir(folder, { withFileTypes: true });
  } catch (cause) {
    const { code } = cause as NodeJS.ErrnoException;
    const [what, remedy] =
      code === 'ENOENT'
        ? ['There is no such folder', 'Check its name; a name with spaces needs quotes round it']
        : code === 'ENOTDIR'
          ? [
              'This is a file, not a folder',
              'Name the folder that it is in; one picture alone is for: stencilwright make',
            ]
          : ["The folder can't be read", 'Check that you may read it, or copy it'];
    throw new Problem(what, folder, remedy, { cause });
  }
}

async function leadsToFile(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isFile();
  } catch {
    // It leads nowhere: told as a picture that is not there.
    return true;
  }
}

async function isResult(folder: string): Promise<boolean> {
  const names = new Set((await listFolder(folder)).map(({ name }) => name));
  if (await readRecord(folder).catch(() => undefined)) return true;
  const [report, ...drawn] = RESULT_MARKS;
  return names.has(report) && drawn.some((name) => names.has(name));
}

/**
 * Names the stencils of pictures in one folder: by the file's name without its ending or, where that would name two,
 * with it: nana.jpg and nana.png.
 */
function nameStencils(pictures: readonly string[]): { picture: string; name: string }[] {
  const plain = pictures.map(stem);
  const uses = new Map<string, number>();
  for (const name of [...plain, ...pictures])
    uses.set(nameKey(name), (uses.get(nameKey(name)) ?? 0) + 1);
  const taken = new Set<string>();
  return pictures.map((picture, i) => {
    const name = untaken(uses.get(nameKey(plain[i])) === 1 ? plain[i] : picture, taken);
    taken.add(nameKey(name));
    return { picture, name };
  });
}

/** Nana.jpg and nana.jpg can lie side by side; their stencils might not. */
function untaken(name: string, taken: ReadonlySet<string>): string {
  let free = name;
  for (let count = 2; taken.has(nameKey(free)); count++) free = `${name} ${count}`;
  return free;
}

function stem(picture: string): string {
  return picture.slice(0, picture.length - extname(picture).length);
}

const counting = new Intl.Collator('en', { numeric: true, sensitivity: 'variant' });

/** page-2 before page-10; the same everywhere, whatever the language of the machine. */
function asCounted(a: string, b: string): number {
  return counting.compare(a, b) || (a < b ? -1 : 1);
}
