import { defineConfig } from 'eslint/config';
import { createNodeResolver, importX } from 'eslint-plugin-import-x';
import tseslint from 'typescript-eslint';

/**
 * The house, from the roof to the ground. A room may use the rooms below it, not those above nor the one beside it.
 */
const floors = [
  ['./cli', './server'],
  ['./src/index.ts'],
  ['./src/makings'],
  ['./src/pipeline', './src/output'],
  ['./src/stages'],
  ['./src/lettering'],
  ['./src/disk', './src/faces'],
  ['./src/geometry'],
  ['./src/raster'],
  ['./src/graphs'],
  ['./src/kernels', './src/built-in', './src/common'],
  ['./src/settings'],
];

const library = floors.slice(1).flat();

/** One zone a room: what lies above it, and beside it, is closed to it. */
const downward = floors.flatMap((floor, level) =>
  floor
    .filter((room) => library.includes(room))
    .map((room) =>
      zone(
        room,
        [
          ...floors
            .slice(0, level + 1)
            .flat()
            .filter((other) => other !== room),
          './test',
          './samples',
        ],
        undefined,
        'Imports point down: a room uses the rooms below it',
      ),
    ),
);

/** What else is closed: the programs know the library by its door, the ground knows no job. */
const zones = [
  ...downward,
  zone('./cli', './src', ['./index.ts'], 'The command line knows the library by src/index.ts only'),
  zone(
    ['./cli', './server'],
    ['./test', './samples'],
    undefined,
    'A program does not import its tests',
  ),
  zone('./cli', './server', ['./app.ts'], 'The command line starts the server by its app'),
  zone('./server', './cli', undefined, 'The server knows no command'),
  zone(
    './server/!(page)',
    './server/page',
    undefined,
    'What the browser loads runs in the browser only',
  ),
  zone(
    './server/!(page)',
    './src',
    ['./index.ts'],
    'The server knows the library by src/index.ts only',
  ),
  zone(
    './server/page',
    './src',
    [
      './index.ts',
      './settings/job.ts',
      './settings/card.ts',
      './settings/edits.ts',
      './settings/lettering-settings.ts',
      './settings/face-boxes.ts',
      './settings/held.ts',
      './settings/layer-settings.ts',
      './settings/marks.ts',
      './settings/problem.ts',
      './settings/words',
    ],
    'The page knows the words of a job, and of all else the types only',
  ),
  zone('./server/page', './server/!(page)', undefined, 'The page knows the server by its address'),
  zone(
    './src/index.ts',
    [
      './src/stages',
      './src/output',
      './src/raster',
      './src/geometry',
      './src/graphs',
      './src/kernels',
      './src/common',
    ],
    undefined,
    'The door opens on settings, makings, the pipeline and what is read from a disk',
  ),
  zone(
    './src/makings',
    ['./src/stages', './src/raster', './src/graphs', './src/kernels', './src/built-in'],
    undefined,
    'A making uses the pipeline and the outputs',
  ),
  zone(
    ['./src/raster', './src/geometry'],
    './src/settings',
    ['./card.ts', './folds.ts', './register-marks.ts'],
    'Raster and geometry know sizes, and no job',
  ),
  zone(
    ['./src/graphs', './src/kernels', './src/built-in', './src/common'],
    './src/settings',
    undefined,
    'The ground knows arrays and numbers',
  ),
];

/** Lets only types through of what `pattern` matches; `loaded` matches the same where it is loaded by import(). */
const typesOnly = (pattern, loaded, message) => ({
  '@typescript-eslint/no-restricted-imports': [
    'error',
    { patterns: [{ ...pattern, allowTypeImports: true, message }] },
  ],
  'no-restricted-syntax': [
    'error',
    { selector: `ImportExpression[source.value=${loaded}]`, message },
  ],
});

/** What a file may import; all else is looked at by the linter of .oxlintrc.json. */
export default defineConfig(
  { ignores: ['dist/', '.scratch/', 'coverage/', 'stencils/', 'src/kernels/assembly/'] },
  {
    files: ['**/*.{ts,tsx}'],
    // Which file imports which asks for no types: those are looked at by the linter of .oxlintrc.json.
    languageOptions: { parser: tseslint.parser },
    plugins: { 'import-x': importX, '@typescript-eslint': tseslint.plugin },
    settings: {
      'import-x/extensions': ['.ts', '.tsx', '.js', '.mjs'],
      'import-x/parsers': { '@typescript-eslint/parser': ['.ts', '.tsx'] },
      'import-x/resolver-next': [
        createNodeResolver({
          extensions: ['.ts', '.tsx', '.js', '.mjs', '.json'],
          extensionAlias: { '.js': ['.ts', '.tsx', '.js'] },
        }),
      ],
    },
    rules: {
      'import-x/no-default-export': 'error',
      'import-x/no-restricted-paths': ['error', { zones }],
    },
  },
  {
    // What a package without types of its own asks for.
    files: ['**/*.d.ts'],
    rules: { 'import-x/no-default-export': 'off' },
  },
  {
    files: ['src/**/*.ts', 'cli/**/*.ts', 'server/**/*.{ts,tsx}'],
    ignores: ['src/built-in/*', 'src/types/*'],
    // Of the packages that the build puts into the program: who installs it has no others.
    rules: {
      'no-restricted-imports': [
        'error',
        {
          patterns: [
            {
              regex: '^(potrace|clipper2-js|@vladmandic/face-api|@tensorflow/[^/]+)(/|$)',
              message: 'Import it from src/built-in',
            },
          ],
        },
      ],
    },
  },
  {
    files: ['src/stages/*/*.ts'],
    rules: typesOnly(
      { regex: '^\\.\\./(?!\\.\\.)' },
      /^\.\.\/(?!\.\.)/,
      "A stage may use another stage's types, never its functions",
    ),
  },
  {
    files: ['src/makings/**/*.ts', 'src/pipeline/!(pipeline|words).ts', 'src/index.ts'],
    rules: typesOnly(
      { regex: '/stages/' },
      /\/stages\//,
      "Nothing but the pipeline uses a stage's function",
    ),
  },
  {
    files: ['server/page/**/*.{ts,tsx}'],
    // The door opens on what runs in Node.js only.
    rules: typesOnly(
      { group: ['**/src/index.js'] },
      /\/src\/index\.js$/,
      'The page takes types from there',
    ),
  },
  {
    files: ['src/output/**/*.ts'],
    rules: typesOnly(
      { regex: '/stages/' },
      /\/stages\//,
      "A sheet may use a stage's types, never its functions",
    ),
  },
);

function zone(target, from, except, message) {
  return { target, from, ...(except && { except }), message };
}
