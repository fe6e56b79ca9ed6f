/**
 * `npm run lint`: the types, and the lint, whose rules ask for types and so look with the same eyes. What was linted
 * once is not linted again; as rules look into other files, all is linted anew when a file has changed that others
 * import, or that the rules come from. Plain JavaScript.
 */
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ESLint } from 'eslint';
import tseslint from 'typescript-eslint';
import { home } from './install.mjs';
import { isOfPage, loadPrograms, wrongTypes } from './types.mjs';

const FOLDERS = ['cli', 'samples', 'server', 'src', 'test'];
const RULES = [
  'eslint.config.js',
  'package-lock.json',
  'tsconfig.json',
  'server/page/tsconfig.json',
];
const CACHE = join(home, 'node_modules/.cache/eslint');

const kept = join(CACHE, digest(RULES.concat(FOLDERS.flatMap(importedIn))));
mkdirSync(CACHE, { recursive: true });
for (const name of readdirSync(CACHE)) {
  if (join(CACHE, name) !== kept) rmSync(join(CACHE, name), { recursive: true });
}

const programs = loadPrograms();
const types = wrongTypes(programs);
const { found, words } = await lint(process.argv.slice(2));
process.stdout.write(types + words);
process.exitCode = types === '' && found === 0 ? 0 : 1;

/** Lints what is named, or all: the number of errors and warnings, and their words. */
async function lint(named) {
  const eslint = new ESLint({
    cwd: home,
    cache: true,
    cacheStrategy: 'content',
    cacheLocation: kept,
    overrideConfig: {
      files: ['**/*.{ts,tsx}'],
      ignores: ['src/kernels/assembly/*'],
      languageOptions: { parser: parserWith(programs) },
    },
  });
  const results = await eslint.lintFiles(named.length > 0 ? named : ['.']);
  const formatter = await eslint.loadFormatter('stylish');
  return {
    found: results.reduce(
      (sum, { errorCount, warningCount }) => sum + errorCount + warningCount,
      0,
    ),
    words: await formatter.format(results),
  };
}

/** The parser of TypeScript with programs that are loaded already, instead of some that it loads for itself. */
function parserWith({ all, page }) {
  const [whole, shown] = [all.getProgram(), page];
  return {
    meta: { ...tseslint.parser.meta, name: 'parser-with-loaded-programs' },
    parseForESLint(code, options) {
      const program = isOfPage(options.filePath) ? shown : whole;
      return tseslint.parser.parseForESLint(code, {
        ...options,
        projectService: false,
        programs: [program],
      });
    },
  };
}

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
