import js from '@eslint/js';
import { defineConfig } from 'eslint/config';
import { createNodeResolver, importX } from 'eslint-plugin-import-x';
import tseslint from 'typescript-eslint';

/** Who may not import whom. Imports point down: cli → index → pipeline, make → stages, sheets → raster, geometry. */
const zones = [
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
      './job.ts',
      './card.ts',
      './edits.ts',
      './marks.ts',
      './problem.ts',
      './spelling.ts',
      './counted.ts',
    ],
    'The page knows the words of a job, and of all else the types only',
  ),
  zone('./server/page', './server/!(page)', undefined, 'The page knows the server by its address'),
  zone(
    './src',
    ['./cli', './server', './test', './samples'],
    undefined,
    'The library knows no program and no test',
  ),
  zone(
    './src/index.ts',
    ['./src/stages', './src/sheets', './src/raster', './src/geometry'],
    undefined,
    'The door opens on batch, pipeline, make, job, card and problem',
  ),
  zone(
    './src/makings/stencil.ts',
    [
      './src/index.ts',
      './src/makings/batch/batch.ts',
      './src/batch',
      './src/stages',
      './src/raster',
      './src/geometry',
    ],
    undefined,
    'make uses the pipeline and the sheets',
  ),
  zone(
    ['./src/makings/batch/batch.ts', './src/batch', './src/makings/tones.ts'],
    ['./src/index.ts', './src/stages', './src/raster', './src/geometry'],
    undefined,
    'Batches and tones are made by make and written by the sheets',
  ),
  zone(
    './src/makings/look.ts',
    ['./src/index.ts', './src/makings/stencil.ts', './src/stages', './src/raster', './src/geometry'],
    undefined,
    'look uses the pipeline and the sheets',
  ),
  zone(
    './src/pipeline/pipeline.ts',
    ['./src/index.ts', './src/makings/stencil.ts', './src/makings/look.ts', './src/sheets'],
    undefined,
    'The pipeline knows the stages, not who runs it or what is written',
  ),
  zone(
    './src/sheets',
    ['./src/index.ts', './src/makings/stencil.ts', './src/makings/look.ts', './src/pipeline/pipeline.ts'],
    undefined,
    'A sheet is made from a result; it does not make one',
  ),
  zone(
    './src/stages',
    ['./src/index.ts', './src/makings/stencil.ts', './src/makings/look.ts', './src/pipeline/pipeline.ts', './src/sheets'],
    undefined,
    'A stage knows nothing above it',
  ),
  zone(
    ['./src/raster', './src/geometry'],
    [
      './src/index.ts',
      './src/makings/stencil.ts',
      './src/makings/look.ts',
      './src/pipeline/pipeline.ts',
      './src/settings/job.ts',
      './src/settings/edits.ts',
      './src/settings/marks.ts',
      './src/stages',
      './src/sheets',
    ],
    undefined,
    'Raster and geometry know nothing above them',
  ),
  zone(
    './src/kernels',
    [
      './src/index.ts',
      './src/makings/stencil.ts',
      './src/pipeline/pipeline.ts',
      './src/settings/job.ts',
      './src/stages',
      './src/sheets',
      './src/raster',
      './src/geometry',
    ],
    undefined,
    'The kernels are the ground: they know arrays and numbers',
  ),
  zone(
    './src/built-in',
    ['./src/!(built-in)', './src/!(built-in)/**'],
    undefined,
    'Packages that are built in know nothing of ours',
  ),
  zone(
    ['./src/settings/job.ts', './src/settings/edits.ts', './src/settings/marks.ts', './src/settings/card.ts', './src/settings/problem.ts'],
    [
      './src/index.ts',
      './src/makings/stencil.ts',
      './src/makings/look.ts',
      './src/pipeline/pipeline.ts',
      './src/stages',
      './src/sheets',
      './src/raster',
      './src/geometry',
    ],
    undefined,
    'The words of a job stand alone',
  ),
];

/** Lets only types through of what `group` matches; `loaded` matches the same where it is loaded by import(). */
const typesOnly = (group, loaded, message) => ({
  '@typescript-eslint/no-restricted-imports': [
    'error',
    { patterns: [{ group, allowTypeImports: true, message }] },
  ],
  'no-restricted-syntax': [
    'error',
    { selector: `ImportExpression[source.value=${loaded}]`, message },
  ],
});

export default defineConfig(
  {
    ignores: ['dist/', '.scratch/', 'coverage/', 'stencils/', 'node_modules/'],
  },
  js.configs.recommended,
  {
    files: ['**/*.{ts,tsx}'],
    extends: [tseslint.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: { projectService: true } },
    plugins: { 'import-x': importX },
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
      eqeqeq: 'error',
      'no-var': 'error',
      'prefer-const': 'error',
      'object-shorthand': 'error',
      'import-x/no-default-export': 'error',
      'import-x/no-duplicates': 'error',
      'import-x/no-restricted-paths': ['error', { zones }],
      'import-x/no-cycle': ['error', { ignoreExternal: true }],
      '@typescript-eslint/consistent-type-imports': [
        'error',
        { fixStyle: 'inline-type-imports', disallowTypeAnnotations: false },
      ],
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
    },
  },
  {
    files: ['src/**/*.ts'],
    rules: { 'no-console': 'error', 'no-restricted-globals': ['error', 'process', 'console'] },
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
            { regex: '^(potrace|clipper2-js)(/|$)', message: 'Import it from src/built-in' },
          ],
        },
      ],
    },
  },
  {
    // AssemblyScript: its types are not those of TypeScript.
    files: ['src/kernels/assembly/*.ts'],
    extends: [tseslint.configs.disableTypeChecked],
    languageOptions: { parserOptions: { projectService: false } },
    rules: { '@typescript-eslint/switch-exhaustiveness-check': 'off' },
  },
  {
    files: ['src/stages/**/*.ts'],
    // A file named stage-part is a part of its stage.
    rules: typesOnly(
      ['./*.js', '!./*-*.js'],
      /^\.\/[^/-]+$/,
      "A stage may use another stage's types, never its functions",
    ),
  },
  {
    files: ['src/stages/*/**/*.ts'],
    rules: typesOnly(
      ['../*.js'],
      /^\.\.\/[^/]+$/,
      "A stage may use another stage's types, never its functions",
    ),
  },
  {
    files: ['src/*.ts'],
    ignores: ['src/pipeline.ts'],
    rules: typesOnly(
      ['./stages/*'],
      /\/stages\//,
      "Nothing but the pipeline uses a stage's function",
    ),
  },
  {
    files: ['server/page/**/*.{ts,tsx}'],
    // The door opens on what runs in Node.js only.
    rules: typesOnly(['**/src/index.js'], /\/src\/index\.js$/, 'The page takes types from there'),
  },
  {
    files: ['src/sheets/**/*.ts'],
    rules: typesOnly(
      ['**/stages/*'],
      /\/stages\//,
      "A sheet may use a stage's types, never its functions",
    ),
  },
  {
    // What a tool or a package without types of its own asks for.
    files: ['*.config.ts', '**/*.d.ts'],
    rules: { 'import-x/no-default-export': 'off' },
  },
  {
    files: ['**/*.js', '**/*.mjs'],
    languageOptions: {
      globals: { process: 'readonly', console: 'readonly', URL: 'readonly', Buffer: 'readonly' },
    },
  },
);

function zone(target, from, except, message) {
  return { target, from, ...(except && { except }), message };
}
