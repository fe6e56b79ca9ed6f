import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

/*
 * Which file may import which: rules of our own for the linter of .oxlintrc.json. They go by where a file lies and by
 * what its text says, and ask for no types. Plain JavaScript without dependencies.
 */

/** The house, from the roof to the ground. A room may use the rooms below it, not those above nor the one beside it. */
const floors = [
  ['cli', 'server'],
  ['src/index.ts'],
  ['src/makings'],
  ['src/pipeline', 'src/output'],
  ['src/stages'],
  ['src/lettering'],
  ['src/disk', 'src/faces'],
  ['src/geometry'],
  ['src/raster'],
  ['src/graphs'],
  ['src/kernels', 'src/built-in', 'src/common'],
  ['src/settings'],
];

/** One zone a room of the library: what lies above it, and beside it, is closed to it. */
const downward = floors.slice(1).flatMap((floor, level) => {
  const notBelow = floors.slice(0, level + 2).flat();
  return floor.map((room) => ({
    in: [room],
    closed: [...notBelow.filter((other) => other !== room), 'test', 'samples'],
    why: 'Imports point down: a room uses the rooms below it',
  }));
});

/**
 * What else is closed: the programs know the library by its door, the ground knows no job.
 *
 * `in` are the files and folders whose imports are looked at, but for those `outside`; `closed` is what they may not
 * import, but for what is `open`.
 */
const zones = [
  ...downward,
  {
    in: ['cli'],
    closed: ['src'],
    open: ['src/index.ts'],
    why: 'The command line knows the library by src/index.ts only',
  },
  {
    in: ['cli', 'server'],
    closed: ['test', 'samples'],
    why: 'A program does not import its tests',
  },
  {
    in: ['cli'],
    closed: ['server'],
    open: ['server/app.ts'],
    why: 'The command line starts the server by its app',
  },
  { in: ['server'], closed: ['cli'], why: 'The server knows no command' },
  {
    in: ['server'],
    outside: ['server/page'],
    closed: ['server/page'],
    why: 'What the browser loads runs in the browser only',
  },
  {
    in: ['server'],
    outside: ['server/page'],
    closed: ['src'],
    open: ['src/index.ts'],
    why: 'The server knows the library by src/index.ts only',
  },
  {
    in: ['server/page'],
    closed: ['src'],
    open: [
      'src/index.ts',
      'src/settings/job.ts',
      'src/settings/card.ts',
      'src/settings/edits.ts',
      'src/settings/lettering-settings.ts',
      'src/settings/face-boxes.ts',
      'src/settings/rectification.ts',
      'src/settings/layer-settings.ts',
      'src/settings/marks.ts',
      'src/settings/problem.ts',
      'src/settings/words',
    ],
    why: 'The page knows the words of a job, and of all else the types only',
  },
  {
    in: ['server/page'],
    closed: ['server'],
    open: ['server/page'],
    why: 'The page knows the server by its address',
  },
  {
    in: ['src/index.ts'],
    closed: [
      'src/stages',
      'src/output',
      'src/raster',
      'src/geometry',
      'src/graphs',
      'src/kernels',
      'src/common',
    ],
    why: 'The door opens on settings, makings, the pipeline and what is read from a disk',
  },
  {
    in: ['src/makings'],
    closed: ['src/stages', 'src/raster', 'src/graphs', 'src/kernels', 'src/built-in'],
    why: 'A making uses the pipeline and the outputs',
  },
  {
    in: ['src/raster', 'src/geometry'],
    closed: ['src/settings'],
    open: ['src/settings/card.ts', 'src/settings/folds.ts', 'src/settings/register-marks.ts'],
    why: 'Raster and geometry know sizes, and no job',
  },
  {
    in: ['src/graphs', 'src/kernels', 'src/built-in', 'src/common'],
    closed: ['src/settings'],
    why: 'The ground knows arrays and numbers',
  },
];

/** Where only types are let through, by the words of an import. */
const typesOnly = [
  {
    in: /^src\/stages\/[^/]+\/[^/]+\.ts$/,
    words: /^\.\.\/(?!\.\.)/,
    why: "A stage may use another stage's types, never its functions",
  },
  {
    in: /^src\/(makings\/.*|pipeline\/(?!pipeline\.ts|prints\.ts|words\.ts)[^/]+|index)\.ts$/,
    words: /\/stages\//,
    why: "Nothing but the pipeline uses a stage's function",
  },
  {
    in: /^server\/page\/.*\.tsx?$/,
    // The door opens on what runs in Node.js only.
    words: /\/src\/index\.js$/,
    why: 'The page takes types from there',
  },
  {
    in: /^src\/output\/.*\.ts$/,
    words: /\/stages\//,
    why: "A sheet may use a stage's types, never its functions",
  },
];

/** Packages that the build puts into the program: who installs it has no others. */
const BUILT_IN = /^(potrace|clipper2-js|@vladmandic\/face-api|@tensorflow\/[^/]+)(\/|$)/;
const MAY_BUILD_IN = ['src/built-in', 'src/types'];

const home = dirname(dirname(fileURLToPath(import.meta.url)));

/** A path as it is called from the project's folder, with slashes. */
const called = (path) => relative(home, path).split(sep).join('/');

const isIn = (file, places) =>
  places.some((place) => file === place || file.startsWith(`${place}/`));

/**
 * A rule that looks at each import of a file, also at what is loaded later or for its types only, and says what is wrong
 * with it, if anything.
 *
 * @param open tells what is looked at in a file, or undefined where there is nothing
 */
function ruleOn(open) {
  return {
    create(context) {
      const look = open(called(context.filename), dirname(context.filename));
      if (!look) return {};
      const at = (node, isType) => {
        const words = node.source?.value;
        if (typeof words !== 'string') return;
        const message = look(words, isType);
        if (message) context.report({ node, message: `${message}: ${words}` });
      };
      const isAll = (kind, specifiers = []) =>
        specifiers.length > 0 && specifiers.every((each) => each[kind] === 'type');
      return {
        ImportDeclaration: (node) =>
          at(node, node.importKind === 'type' || isAll('importKind', node.specifiers)),
        ExportNamedDeclaration: (node) =>
          at(node, node.exportKind === 'type' || isAll('exportKind', node.specifiers)),
        ExportAllDeclaration: (node) => at(node, node.exportKind === 'type'),
        ImportExpression: (node) => at(node, false),
        TSImportType: (node) => at(node, true),
      };
    },
  };
}

export default {
  meta: { name: 'floors' },
  rules: {
    down: ruleOn((file, folder) => {
      const ours = zones.filter((zone) => isIn(file, zone.in) && !isIn(file, zone.outside ?? []));
      return (
        ours.length > 0 &&
        ((words) => {
          if (!words.startsWith('.')) return undefined;
          const to = called(join(folder, words)).replace(/\.js$/, '.ts');
          return ours.find(({ closed, open = [] }) => isIn(to, closed) && !isIn(to, open))?.why;
        })
      );
    }),
    'types-only': ruleOn((file) => {
      const ours = typesOnly.filter((each) => each.in.test(file));
      return (
        ours.length > 0 &&
        ((words, isType) => (isType ? undefined : ours.find((each) => each.words.test(words))?.why))
      );
    }),
    'built-in': ruleOn(
      (file) =>
        isIn(file, ['src', 'cli', 'server']) &&
        !isIn(file, MAY_BUILD_IN) &&
        ((words) => (BUILT_IN.test(words) ? 'Import it from src/built-in' : undefined)),
    ),
  },
};
