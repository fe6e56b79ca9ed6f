import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { stages } from '../src/pipeline/pipeline.js';

const root = fileURLToPath(new URL('../', import.meta.url));
const text = (file: string): string => readFileSync(join(root, file), 'utf8');

const files = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
  encoding: 'utf8',
}).split('\n');
const pages = files.filter((file) => file.endsWith('.md'));

/** What a contributor reads: not what a person who uses the tool does, nor measurements of earlier code. */
const forContributors = pages.filter(
  (page) => /^(?:src|test|server|cli)\//.test(page) || ['DEVELOPERS.md', 'docs/adding.md'].includes(page),
); // prettier-ignore

const sources = files.filter((file) => /\.(?:tsx?|mjs|mts|json)$/.test(file) && file !== 'src/kernels/code.ts'); // prettier-ignore

/** Folders that are named as places, and files with an ending, in backticks or after "run". */
const PLACE = /(?<![\w./-])((?:src|cli|server|test|docs|samples)\/[\w./-]*[\w/])/g;
/** A file of code, by its name or a path. */
const FILE = /(?<![\w./-])[\w./-]*\w\.(?:tsx?|mjs|mts)(?![\w-])/g;
/** A name in backticks that only code has: with a capital or an underscore within. */
const NAME = /`([A-Za-z]+(?:[a-z][A-Z]|_[A-Z])\w*)(?:\(\))?`/g;
const LINK = /\]\((?!https?:|#|mailto:)([^)#\s]+)/g;

describe('the pages for contributors', () => {
  it('are short where all is begun', () => {
    expect(Buffer.byteLength(text('DEVELOPERS.md'))).toBeLessThanOrEqual(10_240);
  });

  it('have the stages as the pipeline has them', () => {
    const rows = [...text('src/pipeline/README.md').matchAll(/^\| `(\w+)`\s*\| ([\w, ]+?)\s*\|/gm)];
    expect(rows.map(([, name, from]) => [name, from])).toEqual(
      stages.map(({ name, from }) => [name, from.join(', ')]),
    );
    const way = /^## The way of a picture$[^#]*?^```\n([^`]*)```/m.exec(text('DEVELOPERS.md'))?.[1];
    expect(way?.trim().split(/\s*→\s*/)).toEqual(stages.map(({ name }) => name));
  });

  it.each(pages)('%s names only places that are there', (page) => {
    const named = [...text(page).matchAll(PLACE)].map(([, place]) => place);
    const linked = [...text(page).matchAll(LINK)].map(([, link]) => join(dirname(page), link));
    const missing = [...named, ...linked].filter((place) => !existsSync(join(root, place)));
    expect([...missing, ...unknownFiles(page)]).toEqual([]);
  });

  it('name in backticks only what some source has', () => {
    const code = sources.map(text).join('\n');
    const words = new Set(code.match(/\w+/g));
    const unknown = forContributors.flatMap((page) =>
      [...text(page).matchAll(NAME)]
        .map(([, name]) => name)
        .filter((name) => !words.has(name))
        .map((name) => `${page}: ${name}`),
    );
    expect(words.has('describeStage')).toBe(true);
    expect(unknown).toEqual([]);
  });

  it.each([
    ['a file that is not there', 'Read `nowhere.ts`.', ['nowhere.ts']],
    ['one in a folder of another room', 'See `raster/blur.ts`.', ['raster/blur.ts']],
    ['one of another paragraph', 'First `src/raster/blur.ts`.\n\nThen `count.ts`.', ['count.ts']],
    ['one beside the page', 'All in `docs.test.ts`.', []],
    ['one beside another', 'First `src/raster/blur.ts`, then `count.ts`.', []],
  ])('a page that names %s', (_, said, found) => {
    expect(unknownFilesIn(said, 'test')).toEqual(found);
  });

  it.each(
    stages.map(({ name }) => name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)),
  )('the stage %s stands in the file of its name', (name) => {
    const folder = name === 'measure' ? 'check' : name;
    expect(existsSync(join(root, 'src/stages', folder, `${name}.ts`))).toBe(true);
  });
});

/** Files that a page names by less than their whole path, and that nobody finds. */
function unknownFiles(page: string): string[] {
  return unknownFilesIn(text(page), dirname(page));
}

/**
 * A file of code is named by its path from the root or from the page's own folder; what follows in the same paragraph or
 * item may be named by its place beside one that was named before.
 */
function unknownFilesIn(said: string, folder: string): string[] {
  return said.split(/\n(?=\n|- |\d+\. |\|)/).flatMap((paragraph) => {
    const folders = ['', folder];
    return [...paragraph.matchAll(FILE)].flatMap(([name]) => {
      const found = folders
        .map((from) => join(from, name))
        .find((at) => existsSync(join(root, at)));
      if (found === undefined) return [name];
      folders.push(dirname(found));
      return [];
    });
  });
}
