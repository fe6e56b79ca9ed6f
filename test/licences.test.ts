import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { home } from './support/built.js';
import { productionTree, type Installed } from './support/production.js';

/* docs/licences.md against what is installed. */

interface Row {
  readonly name: string;
  readonly versions: string;
  readonly licence: string;
}

interface Manifest {
  readonly license?: string;
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
}

const read = (file: string) => readFileSync(join(home, file), 'utf8');

const manifestOf = (folder: string) => JSON.parse(read(join(folder, 'package.json'))) as Manifest;

/** The rows of the tables: built in, asked for, brought along. */
const [builtIn, askedFor, broughtAlong] = read('docs/licences.md')
  .split(/^\| package.*\n\| -.*\n/m)
  .slice(1)
  .map((text) => /^(?:\|.*\n)*/.exec(text)![0].trimEnd().split('\n').map(toRow));

function toRow(line: string): Row {
  const cells = line.split(/(?<!\\)\|/).map((cell) => cell.trim().replaceAll('\\|', '|'));
  const [, name, versions, licence] = cells;
  return { name: name.replaceAll('\\*', '*'), versions, licence };
}

const tree = productionTree();
const own = manifestOf('.');

/** The row that an installed package has to have. */
function due({ name, ranges, licences }: Installed): Row {
  return { name, versions: ranges.join(', '), licence: licences.join(', ') || 'none named' };
}

/** The row that says what a package is under: its own, or the one for builds of many computers that fits it best. */
function rowOf(rows: readonly Row[], name: string): Row | undefined {
  const fits = (row: Row) =>
    row.name === name || (row.name.endsWith('*') && name.startsWith(row.name.slice(0, -1)));
  return rows.filter(fits).sort((a, b) => b.name.length - a.name.length)[0];
}

const inWords = ({ name, versions, licence }: Row) =>
  `| ${name} | ${versions.replaceAll('|', '\\|')} | ${licence} |`;

/** What is wrong with a table, in words. */
function faults(rows: readonly Row[], packages: readonly Installed[]): string[] {
  const used = new Set<Row | undefined>();
  const wrong = packages.map(due).flatMap((wanted) => {
    const row = rowOf(rows, wanted.name);
    used.add(row);
    if (row === undefined) return [`missing: ${inWords(wanted)}`];
    const same = row.versions === wanted.versions && row.licence === wanted.licence;
    return same ? [] : [`it says ${inWords(row)}, but what is so is ${inWords(wanted)}`];
  });
  const rest = rows.filter((row) => !used.has(row));
  return [...wrong, ...rest.map((row) => `not installed: ${inWords(row)}`)];
}

const isAskedFor = ({ name }: Installed) => name in own.dependencies;

describe('docs/licences.md', () => {
  it('lists what the program asks for, with versions and licences', () => {
    expect(faults(askedFor, tree.filter(isAskedFor))).toEqual([]);
  });

  it('lists what those bring along', () => {
    const rest = tree.filter((each) => !isAskedFor(each));
    expect(faults(broughtAlong, rest)).toEqual([]);
  });

  it('lists what is built in', () => {
    const packages = builtIn.map(({ name }) => ({
      name,
      ranges: [own.devDependencies[name]],
      licences: [manifestOf(`node_modules/${name}`).license ?? ''],
      folders: [],
    }));
    expect(faults(builtIn, packages)).toEqual([]);
  });

  it('tells a missing row, another licence and a row of nothing apart', () => {
    const sharp = tree.find(({ name }) => name === 'sharp')!;
    const row = due(sharp);
    expect(faults([], [sharp])).toEqual([`missing: ${inWords(row)}`]);
    expect(faults([{ ...row, licence: 'MIT' }], [sharp])[0]).toContain('but what is so is | sharp');
    expect(faults([row], [])).toEqual([`not installed: ${inWords(row)}`]);
  });

  it('is right about the package that names no licence', () => {
    const unnamed = tree.filter(({ licences }) => licences.length === 0).map(({ name }) => name);
    expect(unnamed).toEqual(['png-js']);
    expect(read('node_modules/png-js/LICENSE')).toMatch(/^MIT License\n/);
  });
});

describe('what is installed with the program', () => {
  it('has neither a web framework nor an image library beside its own', () => {
    const names = tree.map(({ name }) => name);
    expect(names).toContain('sharp');
    expect(names.filter((name) => /^@angular|^@?jimp|^rxjs|^zone\.js/.test(name))).toEqual([]);
  });
});
