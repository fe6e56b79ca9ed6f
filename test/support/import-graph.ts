import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import ts from 'typescript';
import { home } from './built.js';

/** A file's own imports, by what it is called from the project's folder. */
export type ImportGraph = ReadonlyMap<string, readonly string[]>;

const SOURCE = /\.(ts|tsx|mjs)$/;
/** What is compiled apart, by other rules. */
const APART = 'src/kernels/assembly/';

/** Every import among the sources of some folders: those of types and those that come later, `import()`, too. */
export function importGraph(folders: readonly string[]): ImportGraph {
  const files = folders.flatMap((folder) =>
    readdirSync(join(home, folder), { recursive: true, encoding: 'utf8' })
      .map((name) => join(folder, name))
      .filter((file) => SOURCE.test(file) && !file.startsWith(APART)),
  );
  const known = new Set(files);
  return new Map(
    files.map((file) => [file, importsOf(file, readFileSync(join(home, file), 'utf8'), known)]),
  );
}

function importsOf(file: string, text: string, known: ReadonlySet<string>): string[] {
  return ts
    .preProcessFile(text, true, true)
    .importedFiles.filter(({ fileName }) => fileName.startsWith('.'))
    .map(({ fileName }) => join(dirname(file), fileName))
    .map((path) => sourcesOf(path).find((each) => known.has(each)))
    .filter((path) => path !== undefined);
}

/** What a path may stand for: `a.js` is made of `a.ts` or `a.tsx`. */
function sourcesOf(path: string): string[] {
  return [path, ...['.ts', '.tsx', '.d.ts'].map((ending) => path.replace(/\.js$/, ending))];
}

/**
 * The files that import each other in a circle, each circle as its files in order: the strongly connected components of
 * more than one file (Tarjan, "Depth-first search and linear graph algorithms", SIAM Journal on Computing 1, 1972).
 */
export function circlesIn(graph: ImportGraph): string[][] {
  const found: string[][] = [];
  const numbers = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const visit = (file: string): void => {
    const number = numbers.size;
    numbers.set(file, number);
    lowest.set(file, number);
    open.push(file);
    for (const next of graph.get(file) ?? []) {
      if (!numbers.has(next)) visit(next);
      if (open.includes(next)) {
        lowest.set(file, Math.min(lowest.get(file)!, lowest.get(next) ?? numbers.get(next)!));
      }
    }
    if (lowest.get(file) !== number) return;
    const circle = open.splice(open.indexOf(file));
    if (circle.length > 1 || graph.get(file)?.includes(file)) found.push(circle.sort());
  };
  for (const file of graph.keys()) if (!numbers.has(file)) visit(file);
  return found.sort(([a], [b]) => (a < b ? -1 : 1));
}
