/**
 * Puts the packages of this folder into the built program, `node src/built-in/build.mjs [dist]`, and what they are
 * under beside it. The tracer and the polygon library ask for packages that nothing here uses (a web framework, an image
 * library), and of the typefaces' packages most is not used; who installs the program gets none of that.
 */
import { cpSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));
const home = join(here, '../..');
const modules = join(home, 'node_modules');

/** The file here, the package in it, where its licence is said in full, and who wrote it by its own words. */
const BUILT_IN = [
  {
    file: 'potrace',
    name: 'potrace',
    licence: 'GNU General Public License, version 2',
    text: join(modules, 'potrace/LICENSE'),
    changed: 'put into one file, without the image library that it opens files with (2026-11-28)',
  },
  {
    file: 'clipper2',
    name: 'clipper2-js',
    licence: 'Boost Software License, version 1.0. Copyright Angus Johnson 2010-2023',
    // The package names its licence and does not bring the text.
    text: join(here, 'boost-1.0.txt'),
    changed: 'what is not used is left out (2026-11-28)',
  },
];

/** What the page holds: server/page/build.mjs. */
const IN_PAGE = { name: 'preact', text: join(modules, 'preact/LICENSE') };

/** @param {string} dist */
async function buildIn(dist) {
  const licences = join(dist, 'licences');
  rmSync(licences, { recursive: true, force: true });
  for (const { file, name, licence, text, changed } of BUILT_IN) {
    const bundled = join(dist, 'src/built-in', file);
    const { metafile } = await build({
      absWorkingDir: home,
      entryPoints: [`${bundled}.js`],
      outfile: `${bundled}.js`,
      allowOverwrite: true,
      nodePaths: [modules],
      bundle: true,
      platform: 'node',
      format: 'esm',
      target: 'node20',
      charset: 'utf8',
      metafile: true,
      banner: {
        js: `/*! ${name} ${versionOf(name)}: ${licence}.\n    Changed: ${changed}.\n    As it came, with its licence: licences/${name}. */`,
      },
      logLevel: 'warning',
    });
    // Its types are those of a package that is not there.
    rmSync(`${bundled}.d.ts`);
    addLicence(join(licences, name), text);
    copySources(metafile, name, join(licences, name));
  }
  addLicence(join(licences, IN_PAGE.name), IN_PAGE.text);
  copyFaceNetworks(dist, licences);
  await copyTypefaces(dist, licences);
  await copyLettering(dist, licences);
}

/** The networks that find faces, to where the built program looks for them. */
function copyFaceNetworks(dist, licences) {
  const folder = join(dist, 'src/built-in/face-networks');
  rmSync(folder, { recursive: true, force: true });
  const library = join(modules, '@vladmandic/face-api');
  const networks = join(library, 'model');
  for (const network of ['tiny_face_detector_model', 'face_landmark_68_model']) {
    for (const file of [`${network}-weights_manifest.json`, `${network}.bin`])
      cpSync(join(networks, file), join(folder, file));
  }
  addLicence(join(licences, '@vladmandic/face-api'), join(library, 'LICENSE'));
}

/** Of each family what can be asked for, as it came, to where the built program looks for it. */
async function copyTypefaces(dist, licences) {
  const bundled = join(dist, 'src/built-in/typefaces');
  const { FAMILIES, WEIGHTS, RANGES_FILE, fontFileOf, packageOf, fontPathOf } = await import(
    pathToFileURL(`${bundled}.js`).href
  );
  rmSync(bundled, { recursive: true, force: true });
  for (const family of FAMILIES) {
    const from = join(modules, packageOf(family));
    const parts = Object.keys(JSON.parse(readFileSync(join(from, RANGES_FILE), 'utf8')));
    const files = parts.flatMap((part) =>
      WEIGHTS.map((weight) => fontFileOf(family, part, weight)),
    );
    for (const file of new Set([RANGES_FILE, ...files]))
      cpSync(join(from, file), fontPathOf(family, file));
    addLicence(join(licences, packageOf(family)), join(from, 'LICENSE'));
  }
}

/** The typefaces that words are cut in: of each the parts for Latin letters. */
async function copyLettering(dist, licences) {
  const bundled = join(dist, 'src/built-in/lettering-typefaces');
  const { LETTERING_TYPEFACES, letteringFiles, letteringPackage, letteringPlace } = await import(
    pathToFileURL(`${bundled}.js`).href
  );
  for (const typeface of LETTERING_TYPEFACES) {
    const from = join(modules, letteringPackage(typeface));
    for (const file of letteringFiles(typeface))
      cpSync(join(from, file), letteringPlace(typeface, file));
    addLicence(join(licences, letteringPackage(typeface)), join(from, 'LICENSE'));
  }
}

function versionOf(name) {
  return createRequire(import.meta.url)(join(modules, name, 'package.json')).version;
}

function addLicence(folder, text) {
  mkdirSync(folder, { recursive: true });
  cpSync(text, join(folder, 'LICENSE'));
}

/** The package's own files, with its comments: who passes the program on has its source to pass on, too. */
function copySources({ inputs }, name, folder) {
  const mark = `node_modules/${name}/`;
  const files = Object.keys(inputs).filter((input) => input.includes(mark));
  for (const file of files) {
    const inside = file.slice(file.lastIndexOf(mark) + mark.length);
    cpSync(resolve(home, file), join(folder, inside), { dereference: true });
  }
  for (const file of ['package.json', 'README.md'])
    cpSync(join(modules, name, file), join(folder, file));
}

await buildIn(resolve(process.argv[2] ?? join(home, 'dist')));
