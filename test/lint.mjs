/**
 * `npm run lint`: what was linted once is not linted again. Rules that ask for types look into other files, so that all
 * is linted anew when a file has changed that others import, or that the rules come from. Plain JavaScript.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { home } from './install.mjs';

const FOLDERS = ['cli', 'samples', 'server', 'src', 'test'];
const RULES = ['eslint.config.js', 'package-lock.json', 'tsconfig.json'];
const CACHE = join(home, 'node_modules/.cache/eslint');

const kept = join(CACHE, digest(RULES.concat(FOLDERS.flatMap(importedIn))));
mkdirSync(CACHE, { recursive: true });
for (const name of readdirSync(CACHE)) {
  if (join(CACHE, name) !== kept) rmSync(join(CACHE, name), { recursive: true });
}

const given = process.argv.slice(2);
const words = ['--max-warnings', '0', '--cache', '--cache-strategy', 'content', '--cache-location', kept]; // prettier-ignore
const { status, error } = spawnSync(
  join(home, 'node_modules/.bin/eslint'),
  [...words, ...(given.length > 0 ? given : ['.'])],
  { cwd: home, stdio: 'inherit' },
);
if (error) throw error;
process.exitCode = status ?? 1;

/** The sources in a folder that others import: a test file is none. */
function importedIn(folder) {
  return readdirSync(join(home, folder), { recursive: true })
    .filter((name) => /\.(ts|tsx|mjs|js)$/.test(name) && !name.endsWith('.test.ts'))
    .map((name) => join(folder, name))
    .sort();
}

function digest(files) {
  const hash = createHash('sha256');
  for (const file of files)
    hash
      .update(file)
      .update('\0')
      .update(readFileSync(join(home, file)));
  return hash.digest('hex').slice(0, 16);
}
