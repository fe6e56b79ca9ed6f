import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { stages } from '../src/pipeline/pipeline.js';

const root = fileURLToPath(new URL('../', import.meta.url));
const text = (file: string): string => readFileSync(join(root, file), 'utf8');

const pages = execFileSync('git', ['ls-files', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
  encoding: 'utf8',
})
  .split('\n')
  .filter((file) => file.endsWith('.md'));

/** Folders that are named as places, and files with an ending, in backticks or after "run". */
const PLACE = /(?<![\w./-])((?:src|cli|server|test|docs|samples)\/[\w./-]*[\w/])/g;
const LINK = /\]\((?!https?:|#|mailto:)([^)#\s]+)/g;

describe('the pages for contributors', () => {
  it('are short where all is begun', () => {
    expect(Buffer.byteLength(text('DEVELOPERS.md'))).toBeLessThanOrEqual(10_240);
  });

  it('have the stages as the pipeline has them', () => {
    const rows = [...text('DEVELOPERS.md').matchAll(/^\| `(\w+)`\s*\| ([\w, ]+?)\s*\|/gm)];
    expect(rows.map(([, name, from]) => [name, from])).toEqual(
      stages.map(({ name, from }) => [name, from.join(', ')]),
    );
  });

  it.each(pages)('%s names only places that are there', (page) => {
    const named = [...text(page).matchAll(PLACE)].map(([, place]) => place);
    const linked = [...text(page).matchAll(LINK)].map(([, link]) => join(dirname(page), link));
    const missing = [...named, ...linked].filter((place) => !existsSync(join(root, place)));
    expect(missing).toEqual([]);
  });

  it.each(
    stages.map(({ name }) => name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)),
  )('the stage %s stands in the file of its name', (name) => {
    const folder = name === 'measure' ? 'check' : name;
    expect(existsSync(join(root, 'src/stages', folder, `${name}.ts`))).toBe(true);
  });
});
