import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { home } from './built.js';

/** A package that comes with the program. */
export interface Installed {
  readonly name: string;
  /** What is asked for by those who need it, in order, each once. */
  readonly ranges: readonly string[];
  /** In the words of its package.json, one for each version that says another; none where it says nothing. */
  readonly licences: readonly string[];
  /** Where it is; none is a build for another kind of computer, of which the list of all versions tells. */
  readonly folders: readonly string[];
}

interface Manifest {
  readonly license?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
  readonly peerDependencies?: Readonly<Record<string, string>>;
  readonly peerDependenciesMeta?: Readonly<Record<string, { readonly optional?: boolean }>>;
}

const read = (file: string) => JSON.parse(readFileSync(file, 'utf8')) as unknown;

const lock = (
  read(join(home, 'package-lock.json')) as { packages: Readonly<Record<string, Manifest>> }
).packages;

/** All packages that an install for use, not for development, brings: those installed, and the optional rest. */
export function productionTree(): Installed[] {
  const found = new Map<string, Record<'ranges' | 'licences' | 'folders', Set<string>>>();
  const waiting = [{ folder: '', needs: neededBy(manifestIn('')!) }];
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    for (const [name, range] of next.needs) {
      const folder = placeOf(name, next.folder);
      const manifest = manifestIn(folder) ?? lock[folder];
      const known = found.get(name) ?? {
        ranges: new Set(),
        licences: new Set(),
        folders: new Set(),
      };
      found.set(name, known);
      known.ranges.add(range);
      if (manifest.license !== undefined) known.licences.add(manifest.license);
      if (known.folders.has(folder)) continue;
      known.folders.add(folder);
      waiting.push({ folder, needs: neededBy(manifest) });
    }
  }
  return [...found]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, { ranges, licences, folders }]) => ({
      name,
      ranges: [...ranges].sort(),
      licences: [...licences].sort(),
      folders: [...folders].filter((folder) => existsSync(join(home, folder))),
    }));
}

/** The bytes that a disk gives out at a time, of most file systems. */
const BLOCK = 4096;

/** What a package's own files take on a disk, in bytes. */
export function onDisk(folder: string): number {
  return readdirSync(join(home, folder), { withFileTypes: true })
    .filter(({ name }) => name !== 'node_modules')
    .map((entry) => {
      const inside = join(folder, entry.name);
      if (entry.isDirectory()) return BLOCK + onDisk(inside);
      return BLOCK * Math.ceil(statSync(join(home, inside)).size / BLOCK);
    })
    .reduce((sum, size) => sum + size, 0);
}

function manifestIn(folder: string): Manifest | undefined {
  const file = join(home, folder, 'package.json');
  return existsSync(file) ? (read(file) as Manifest) : undefined;
}

function neededBy(manifest: Manifest): [string, string][] {
  const { dependencies, optionalDependencies, peerDependencies, peerDependenciesMeta } = manifest;
  const peers = Object.entries(peerDependencies ?? {}).filter(
    ([name]) => peerDependenciesMeta?.[name]?.optional !== true,
  );
  return [...Object.entries({ ...dependencies, ...optionalDependencies }), ...peers];
}

/** The folder that a package is found in from another's: the nearest one, as Node.js looks for it. */
function placeOf(name: string, from: string): string {
  for (let folder = from; ; folder = dirname(folder)) {
    const place = join(folder === '.' ? '' : folder, 'node_modules', name);
    if (place in lock) return place;
    if (folder === '' || folder === '.') throw new Error(`${name} is not in package-lock.json`);
  }
}
