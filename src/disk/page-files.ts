import * as disk from 'node:fs/promises';
import { join } from 'node:path';
import { codeOf, ifThere, type Disk } from './disk.js';
import {
  checked,
  isSameResult,
  marksOf,
  sha256,
  type MadeFrom,
  type Provenance,
} from './made-from.js';
import { attempt, checkName, openFolder, writeWhole } from './write.js';

/** A page in an output folder, and the file that goes with it. */
interface PageFiles {
  /** Without an ending. */
  readonly name: string;
  readonly of: Provenance;
  readonly html: string;
  readonly beside: { readonly ending: string; readonly bytes: string | Uint8Array };
}

/** Where a page comes from, and its own SHA-256 without that line: a page that was changed shows it. */
interface Sealed extends MadeFrom {
  readonly page: string;
}

/** The seal, a line of its own, is put behind this line of the page. */
const HEAD = '<meta charset="utf-8">\n';
const LINE = /<meta name="stencilwright" content="([^"]*)">\n/;

/**
 * Writes a page and the file beside it, in the place of earlier ones of the same; what a person changed of those, and
 * what is another's, is left alone, and these get a number: summary-2.html.
 *
 * @returns the files, the one beside the page first; and whether the name was another's
 * @throws Problem when they can't be written
 */
export async function writePage(
  outDir: string,
  { name, of, html, beside }: PageFiles,
  fs: Disk = disk,
): Promise<{ readonly files: readonly string[]; readonly isRenamed: boolean }> {
  checkName(name);
  await openFolder(outDir, fs);
  const free = await attempt(outDir, () => freeName(outDir, name, of, beside));
  const names = [`${free}${beside.ending}`, `${free}.html`];
  const page = seal(html, { ...of, files: marksOf([[names[0], beside.bytes]]) });
  await writeWhole(outDir, { name: names[0], bytes: beside.bytes }, fs);
  await writeWhole(outDir, { name: names[1], bytes: page }, fs);
  return { files: names.map((each) => join(outDir, each)), isRenamed: free !== name };
}

/** The first name under which nothing stands but earlier ones of the same. */
async function freeName(
  outDir: string,
  name: string,
  of: Provenance,
  { ending, bytes }: PageFiles['beside'],
): Promise<string> {
  for (let count = 1; ; count++) {
    const candidate = count === 1 ? name : `${name}-${count}`;
    const [page, file] = await Promise.all(
      ['.html', ending].map((each) => bytesAt(join(outDir, candidate + each))),
    );
    const record = page && readSeal(page.toString('utf8'));
    if (page && !(record && isSameResult(record, of))) continue;
    const held = file && sha256(file);
    if (!held || held === sha256(bytes) || record?.files.some((mark) => mark.sha256 === held))
      return candidate;
  }
}

/** Nothing where a folder stands: that is told when the file is written. */
async function bytesAt(path: string): Promise<Buffer | undefined> {
  try {
    return await ifThere(() => disk.readFile(path));
  } catch (error) {
    if (codeOf(error) === 'EISDIR') return undefined;
    throw error;
  }
}

function seal(html: string, from: MadeFrom): string {
  const sealed: Sealed = { ...from, page: sha256(html) };
  const content = JSON.stringify(sealed).replace(
    /[&<>"]/g,
    (character) => `&#${character.charCodeAt(0)};`,
  );
  return html.replace(HEAD, () => `${HEAD}<meta name="stencilwright" content="${content}">\n`);
}

/** Where a page says that it comes from; undefined when it does not, or was changed. */
export function readSeal(html: string): MadeFrom | undefined {
  const [line, content] = LINE.exec(html) ?? [];
  if (line === undefined) return undefined;
  const json = content.replace(/&#(\d+);/g, (_, code) => String.fromCharCode(Number(code)));
  try {
    const value = JSON.parse(json) as Partial<Sealed>;
    return value.page === sha256(html.replace(line, '')) ? checked(value) : undefined;
  } catch {
    return undefined;
  }
}
