import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { home } from './built.js';

/** What declares a name and lets it out, at the beginning of a line, as the formatter leaves it. */
const DECLARED =
  /^export (?:declare )?(?:async )?(?:type|interface|class|enum|function\*?|const|let) (\w+)/gm;

/** The names that files let out, each with the files that declare it. What is only passed on counts where it is declared. */
export function exportedNames(files: Iterable<string>): ReadonlyMap<string, readonly string[]> {
  const names = new Map<string, string[]>();
  for (const file of files) {
    for (const [, name] of readFileSync(join(home, file), 'utf8').matchAll(DECLARED))
      names.set(name, [...(names.get(name) ?? []), file]);
  }
  return names;
}

/** Where names are let out under another one: `a as b`. */
export function renamedExports(files: Iterable<string>): readonly string[] {
  return [...files].flatMap((file) =>
    [...readFileSync(join(home, file), 'utf8').matchAll(/^export (?:type )?\{([^}]*)\}/gm)].flatMap(
      ([, names]) =>
        names
          .split(',')
          .filter((name) => / as /.test(name) && !/^\s*default as /.test(name))
          .map((name) => `${file}: ${name.trim()}`),
    ),
  );
}
