/**
 * `npm run kernels:worth [rounds]`: what each group of kernels takes off a cold run, against the same loops in
 * JavaScript; written as a table into src/kernels/README.md. The time is the processor's, of the whole process, the
 * engine's own threads with it; medians of all rounds. It takes a while, and wants a machine that does nothing else.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { home } from '../support/built.js';
import { photographFile } from '../support/photographs.js';
import { KERNEL_GROUPS } from './kernel-groups.js';
import { kernelFiles, writeInJavaScript } from './kernels-in-javascript.js';
import { median, seeded } from './numbers.js';

const ALL = 'all of them';
const COMPILED = 'compiled';

const PICTURES = [
  join(home, 'samples', 'nana.jpg'),
  photographFile('locomotion-house-cat'),
  photographFile('nagasaki-boats'),
  photographFile('march-pastoral'),
];
const README = fileURLToPath(new URL('../../src/kernels/README.md', import.meta.url));
const DEFAULT_ROUNDS = 5;
/** Runs of the compiled program, more than one, in each round. */
const OFTEN = [1, 2, 3];

const rounds = Number(process.argv[2] ?? DEFAULT_ROUNDS);
if (!Number.isInteger(rounds) || rounds < 1) throw new Error('Give a number of rounds, 1 or more');

// Within the project, where Node.js finds its packages.
const work = join(home, '.scratch', 'kernels-worth');
rmSync(work, { recursive: true, force: true });
mkdirSync(work, { recursive: true });
const clock = join(work, 'clock.mjs');
writeFileSync(
  clock,
  `import { writeFileSync } from 'node:fs';
import { isMainThread } from 'node:worker_threads';
if (isMainThread) process.on('exit', () => writeFileSync(process.env.CLOCK, String(process.cpuUsage().user)));
`,
);

const files = kernelFiles();
const grouped = Object.values(KERNEL_GROUPS).flat();
const missed = [...files].filter(([, file]) => !grouped.includes(file));
if (missed.length > 0) throw new Error(`No group has ${missed.map(([name]) => name).join(', ')}`);

const builds = new Map<string, string>([
  [COMPILED, buildWithout([])],
  [ALL, buildWithout(grouped)],
  ...Object.entries(KERNEL_GROUPS).map(([name, each]) => [name, buildWithout(each)] as const),
]);
const random = seeded(1);
/** By picture and build, the processor time of each run in ms. */
const times = PICTURES.map(() => new Map<string, number[]>());
const made = PICTURES.map((): string[] => []);
for (let round = 0; round < rounds; round++) {
  PICTURES.forEach((picture, k) => {
    // All others are compared with the one that is compiled: it runs more often.
    const runs = [...builds, ...OFTEN.map(() => [COMPILED, builds.get(COMPILED)!] as const)];
    const order = runs.map((build) => ({ build, at: random() })).sort((a, b) => a.at - b.at);
    for (const { build } of order) {
      const [name, program] = build;
      const ms = timed(program, picture, made[k]);
      times[k].set(name, [...(times[k].get(name) ?? []), ms]);
    }
  });
  console.log(`round ${round + 1} of ${rounds}\n${table().join('\n')}\n`);
}
const text = readFileSync(README, 'utf8');
const [before, rest] = text.split('<!-- worth -->');
const [, after] = rest.split('<!-- /worth -->');
const shown = [...table(), '', `Medians of ${rounds} rounds, Node.js ${process.versions.node}.`];
writeFileSync(README, `${before}<!-- worth -->\n\n${shown.join('\n')}\n\n<!-- /worth -->${after}`);
execFileSync(join(home, 'node_modules', '.bin', 'oxfmt'), [README]);

/** The program as it was built, with the kernels of some files in JavaScript; returns where it begins. */
function buildWithout(sources: readonly string[]): string {
  const folder = join(work, String(readdirSync(work).length));
  cpSync(join(home, 'dist'), join(folder, 'dist'), { recursive: true });
  cpSync(join(home, 'package.json'), join(folder, 'package.json'));
  const kernels = join(folder, 'dist', 'src', 'kernels');
  writeInJavaScript(join(kernels, 'javascript'));
  renameSync(join(kernels, 'generated.js'), join(kernels, 'compiled.js'));
  const own = [...files]
    .filter(([, file]) => sources.includes(file))
    .map(([name, file]) => `export { ${name} } from './javascript/${file}.js';`);
  writeFileSync(
    join(kernels, 'generated.js'),
    ["export * from './compiled.js';", ...own, ''].join('\n'),
  );
  return join(folder, 'dist', 'cli', 'main.js');
}

/** Processor time, in ms, of one run; all runs of a picture must make the same. */
function timed(program: string, picture: string, before: string[]): number {
  const out = join(work, 'out');
  const time = join(work, 'time');
  rmSync(out, { recursive: true, force: true });
  const { status, stderr } = spawnSync(
    process.execPath,
    ['--import', clock, program, 'make', picture, '--name', 'run', '--out', out],
    { cwd: work, env: { ...process.env, CLOCK: time }, encoding: 'utf8' },
  );
  if (status !== 0) throw new Error(`${basename(picture)} can't be made: ${stderr}`);
  const drawn = readFileSync(join(out, 'run', 'stencil.svg'), 'utf8');
  if (before.length === 0) before.push(drawn);
  else if (before[0] !== drawn) throw new Error(`${program} draws ${basename(picture)} otherwise`);
  return Number(readFileSync(time, 'utf8')) / 1000;
}

/** What each group takes off a run, as a share of the run with it in JavaScript: the mean over the pictures, and the most. */
function table(): string[] {
  const rows = [...builds.keys()]
    .filter((name) => name !== COMPILED)
    .map((name) => {
      const off = times.map((of) => median(of.get(name)!) - median(of.get(COMPILED)!));
      const shares = off.map((ms, k) => ms / median(times[k].get(name)!));
      return { name, off, mean: mean(shares), most: Math.max(...shares) };
    })
    .sort((a, b) => b.mean - a.mean);
  const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
  const names = PICTURES.map((file) =>
    basename(file) === 'image.jpg'
      ? basename(join(file, '..', '..')).replace('datasets-img-', '')
      : basename(file, '.jpg'),
  );
  const base = times.map((of) => `${median(of.get(COMPILED)!).toFixed(0)} ms`);
  return [
    `| In JavaScript instead | ${names.join(' | ')} | mean | most |`,
    `| --- |${' --: |'.repeat(names.length + 2)}`,
    `| none: all compiled | ${base.join(' | ')} | | |`,
    ...rows.map(
      ({ name, off, mean: share, most }) =>
        `| ${name} | ${off.map((ms) => `${ms < 0 ? '−' : '+'}${Math.abs(ms).toFixed(0)}`).join(' | ')} | ${percent(share)} | ${percent(most)} |`,
    ),
  ];
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
