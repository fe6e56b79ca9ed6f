/** Bundles the page into a folder: `node server/page/build.mjs [dist/server/page]`. */
import { cpSync, mkdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));

/** @param {string} folder */
export async function buildPage(folder) {
  mkdirSync(folder, { recursive: true });
  await build({
    entryPoints: [join(here, 'main.tsx')],
    outfile: join(folder, 'page.js'),
    bundle: true,
    minify: true,
    format: 'esm',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    banner: { js: '/*! With preact, under the MIT licence: licences/preact. */' },
    logLevel: 'warning',
  });
  await build({
    entryPoints: [join(here, 'page.css')],
    outfile: join(folder, 'page.css'),
    minify: true,
    logLevel: 'warning',
  });
  for (const name of ['index.html', 'icon.svg']) cpSync(join(here, name), join(folder, name));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await buildPage(process.argv[2] ?? join(here, '../../dist/server/page'));
}
