import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  FAMILIES,
  fontFileOf,
  packageOf,
  fontPathOf,
  RANGES_FILE,
  rangesOf,
  WEIGHTS,
} from '../src/built-in/typefaces.js';
import {
  LETTERING_TYPEFACES,
  letteringFiles,
  letteringPackage,
  letteringPlace,
} from '../src/built-in/lettering-typefaces.js';
import { completeJob, makeStencil } from '../src/index.js';
import { ring } from './cli/pictures.js';
import { home, scratchForAll } from './cli/run.js';
import { isBuilt } from './support/built.js';
import { onDisk, productionTree } from './support/production.js';

/* The library as another program gets it: packed, unpacked into a fresh project, typed and run. */

let project: string;

const NOT_SOURCE = new Set(['node_modules', 'dist', '.git', '.scratch', 'coverage', 'stencils']);

function run(command: string, words: readonly string[], cwd: string): string {
  const { status, stdout, stderr, error } = spawnSync(command, words, { cwd, encoding: 'utf8' });
  if (error) throw error;
  expect(`${stdout}${stderr}${status}`).toMatch(/0$/);
  return stdout;
}

interface Manifest {
  readonly dependencies: Readonly<Record<string, string>>;
}

beforeAll(async () => {
  const scratch = scratchForAll();
  const source = isBuilt ? home : builtApart(scratch);
  const packed = JSON.parse(
    run('npm', ['pack', '--json', '--ignore-scripts', '--pack-destination', scratch], source),
  ) as { filename: string }[];
  project = join(scratch, 'project');
  const modules = join(project, 'node_modules');
  mkdirSync(modules, { recursive: true });
  run('tar', ['-xzf', join(scratch, packed[0].filename), '-C', scratch], scratch);
  cpSync(join(scratch, 'package'), join(modules, 'stencilwright'), { recursive: true });
  const { dependencies } = JSON.parse(
    readFileSync(join(modules, 'stencilwright/package.json'), 'utf8'),
  ) as Manifest;
  // What it depends on is not fetched again; what it does not name is not there.
  for (const name of [...Object.keys(dependencies), '@types/node']) {
    mkdirSync(dirname(join(modules, name)), { recursive: true });
    symlinkSync(join(home, 'node_modules', name), join(modules, name));
  }
  // A ring by the example's name: a photograph takes twenty times as long, and proves no more of a package.
  await ring(join(project, 'nana.jpg'));
  writeFileSync(join(project, 'package.json'), '{"type": "module"}');
  writeFileSync(join(project, 'example.ts'), example());
});

/** Builds in a folder of its own what is not built yet: other tests run on what they find at their start. */
function builtApart(scratch: string): string {
  const source = join(scratch, 'source');
  mkdirSync(source);
  for (const entry of readdirSync(home).filter((name) => !NOT_SOURCE.has(name))) {
    cpSync(join(home, entry), join(source, entry), { recursive: true });
  }
  symlinkSync(join(home, 'node_modules'), join(source, 'node_modules'));
  run('npm', ['run', '--silent', 'build'], source);
  return source;
}

/** The example of the README. */
function example(): string {
  const blocks = readFileSync(join(home, 'README.md'), 'utf8').matchAll(/```ts\n([^]*?)```/g);
  const found = [...blocks]
    .map(([, code]) => code)
    .find((code) => code.includes("'stencilwright'"));
  if (found === undefined) throw new Error('The README shows no example');
  return found;
}

/** Of folders of one package, one for each version. */
function oncePerVersion(folders: readonly string[]): string[] {
  const versions = folders.map((folder) => {
    const { version } = JSON.parse(readFileSync(join(home, folder, 'package.json'), 'utf8')) as { version: string }; // prettier-ignore
    return version;
  });
  return folders.filter((_, k) => versions.indexOf(versions[k]) === k);
}

describe('the packed library in a fresh project', () => {
  it('has the types of the example in the README, and a wrong use shows', () => {
    const tsc = [
      join(home, 'node_modules/typescript-native/bin/tsc'),
      '--strict',
      // What other packages declare is theirs; what this one does is used in the example, and checked where it is built.
      '--skipLibCheck',
      ...['--module', 'nodenext', '--target', 'es2023', '--types', 'node', '--outDir', 'js'],
    ];
    const wrong = example().replace("tone: 'edges'", 'tone: 3').replace('made.good', 'made.goods');
    writeFileSync(join(project, 'wrong.ts'), wrong);
    const { status, stdout } = spawnSync(process.execPath, [...tsc, 'example.ts', 'wrong.ts'], {
      cwd: project,
      encoding: 'utf8',
    });
    expect(status).not.toBe(0);
    expect(stdout).toContain("Property 'goods' does not exist");
    // Every line that is not a line further in of one before: all that is wrong is there.
    expect(stdout).toMatch(/^(wrong\.ts\(.*\n( .*\n)*)+$/);
  });

  it('runs that example', () => {
    const said = run(process.execPath, ['js/example.js'], project);
    expect(said).toMatch(/^(true|false) \d+\n$/);
    expect(readdirSync(join(project, 'stencils/nana'))).toContain('stencil.svg');
  });

  it('brings what is built in, with what that is under, and asks for none of it', () => {
    const packed = (file: string) =>
      readFileSync(join(project, 'node_modules/stencilwright', file), 'utf8');
    const { dependencies } = JSON.parse(packed('package.json')) as Manifest;
    for (const [name, words] of [
      ['potrace', 'GNU GENERAL PUBLIC LICENSE'],
      ['clipper2-js', 'Boost Software License - Version 1.0'],
      ['preact', 'The MIT License'],
    ]) {
      expect(dependencies).not.toHaveProperty(name);
      expect(packed(`dist/licences/${name}/LICENSE`)).toContain(words);
      expect(packed('docs/licences.md')).toContain(`| ${name} `);
    }
    for (const [file, source] of [
      ['potrace.js', 'potrace/lib/Potrace.js'],
      ['clipper2.js', 'clipper2-js/fesm2015/clipper2-js.mjs'],
    ]) {
      expect(packed(`dist/src/built-in/${file}`)).not.toMatch(/\bfrom ["']|\brequire\(|\bimport\(/);
      expect(packed(`dist/licences/${source}`).length).toBeGreaterThan(10_000);
    }
  });

  it('brings of each typeface what a name can ask for, with its licence', () => {
    const inPack = (file: string) =>
      readFileSync(join(project, 'node_modules/stencilwright', file));
    const { dependencies } = JSON.parse(inPack('package.json').toString()) as Manifest;
    for (const family of FAMILIES) {
      expect(dependencies).not.toHaveProperty(packageOf(family));
      expect(inPack(`dist/licences/${packageOf(family)}/LICENSE`).toString()).toContain(
        'SIL OPEN FONT LICENSE Version 1.1',
      );
      const files = Object.keys(rangesOf(family)).flatMap((part) =>
        WEIGHTS.map((weight) => fontFileOf(family, part, weight)),
      );
      expect(files.length).toBeGreaterThan(0);
      for (const file of [RANGES_FILE, ...files]) {
        const packed = inPack(`dist/src/built-in/typefaces/${family.name}/${file}`);
        expect(packed.equals(readFileSync(fontPathOf(family, file))), file).toBe(true);
      }
    }
    for (const typeface of LETTERING_TYPEFACES) {
      const name = letteringPackage(typeface);
      expect(dependencies).not.toHaveProperty(name);
      expect(inPack(`dist/licences/${name}/LICENSE`).toString()).toMatch(/open font license/i);
      for (const file of letteringFiles(typeface)) {
        const packed = inPack(`dist/src/built-in/typefaces/${typeface.family}/${file}`);
        expect(packed.equals(readFileSync(letteringPlace(typeface, file))), file).toBe(true);
      }
    }
  });

  it('letters a name in its own script, to the same bytes as the sources', async () => {
    const name = 'اسم カニ Őszi';
    const job = { card: '40x40mm', tone: 'edges', paper: 'a4' } as const;
    writeFileSync(
      join(project, 'lettered.js'),
      `import { readFileSync, writeFileSync } from 'node:fs';
      import { completeJob, makeStencil } from 'stencilwright';
      const [name, job] = JSON.parse(process.argv[2]);
      const options = { name, outputs: ['template'] };
      const made = await makeStencil(readFileSync('nana.jpg'), completeJob(job), options);
      writeFileSync('lettered.pdf', made.files.get('template.pdf'));`,
    );
    run(process.execPath, ['lettered.js', JSON.stringify([name, job])], project);
    const packed = readFileSync(join(project, 'lettered.pdf'));
    const picture = readFileSync(join(project, 'nana.jpg'));
    const options = { name, outputs: ['template'] } as const;
    const { files } = await makeStencil(picture, completeJob(job), options);
    expect(packed.equals(files.get('template.pdf') as Uint8Array)).toBe(true);
    const fonts = [...packed.toString('latin1').matchAll(/FontName \/\w+\+(\w+)-/g)];
    expect(fonts.map(([, family]) => family).sort()).toEqual(
      expect.arrayContaining(['NotoSans', 'NotoSansArabic', 'NotoSansSc']),
    );
  });

  it('is with all that it asks for under 130 packages and 100 MB', () => {
    // In a clone the same version lies twice and three times, where what development asks for has its place.
    const folders = productionTree().flatMap((each) => oncePerVersion(each.folders));
    expect(folders.length).toBeGreaterThan(50);
    expect(folders.length + 1).toBeLessThan(130);
    const itself = relative(home, join(project, 'node_modules/stencilwright'));
    const bytes = [itself, ...folders].map(onDisk).reduce((sum, size) => sum + size, 0);
    expect(bytes / 2 ** 20).toBeLessThan(100);
  });

  it('brings the command along', () => {
    const main = join(project, 'node_modules/stencilwright/dist/cli/main.js');
    const words = [main, 'batch', '.', '--card', '40x40mm', '--out', 'all'];
    expect(run(process.execPath, words, project)).toContain('1 picture: ');
    expect(readdirSync(join(project, 'all')).sort()).toEqual([
      'nana',
      'summary.csv',
      'summary.html',
    ]);
  });
});
