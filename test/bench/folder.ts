/**
 * `npm run bench:folder [photographs]`: a folder of photographs on one core and on all, its memory, and the cost
 * against the size of the card. Takes some minutes; nothing else should run meanwhile.
 */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { findChain } from './chain.js';
import { exponent, median, seeded, seconds } from './numbers.js';
import { benchDir, openPhotograph } from './photo.js';

const cli = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));

/** Prints the processor time and the peak resident memory of the process that it is loaded into, on its way out. */
const PROBE =
  'data:text/javascript,process.on("exit",()=>{const u=process.resourceUsage();process.stderr.write(`probe ${u.userCPUTime+u.systemCPUTime} ${u.maxRSS}`)})';

const PHOTOGRAPHS = [
  'acanthus-mollis',
  'allium-oreophilum',
  'black-canyon',
  'locomotion-house-cat',
  'nagasaki-boats',
];
const [WIDTH, HEIGHT] = [1600, 1200];
const LEAST_GAIN = 1.8;
const FEW = 50;
/** So many ordinary photographs are made beside the chain; what is wanted is its time. */
const BESIDE_CHAIN = 40;
const MOST_RATIO = 1;
const CARDS = ['4x4in', '9x12in', '18x24in'];
const TIMES = 3;

const count = Number(process.argv[2] ?? 200);
const photographs = await makePhotographs(count);
const scratch = mkdtempSync(join(benchDir, 'folder-'));
try {
  printFolder();
  await printBesideChain();
  printMemory();
  printSizes();
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

/** Parts of open photographs, turned and mirrored, each with its own crop: none is like another. */
async function makePhotographs(wanted: number): Promise<readonly string[]> {
  const folder = join(benchDir, 'photographs');
  mkdirSync(folder, { recursive: true });
  const files = Array.from({ length: wanted }, (_, i) => join(folder, `photo-${i + 1}.jpg`));
  for (const [i, file] of files.entries()) {
    if (existsSync(file)) continue;
    const random = seeded(i + 1);
    const picture = sharp(openPhotograph(PHOTOGRAPHS[i % PHOTOGRAPHS.length]));
    const { width, height } = await picture.metadata();
    const share = 0.6 + 0.4 * random();
    const part = { width: Math.floor(width * share), height: Math.floor(height * share) };
    const left = Math.floor((width - part.width) * random());
    const top = Math.floor((height - part.height) * random());
    await picture
      .extract({ left, top, ...part })
      .flop(random() < 0.5)
      .resize(WIDTH, HEIGHT, { fit: 'cover' })
      .jpeg({ quality: 88 })
      .toFile(file);
  }
  return files;
}

function folderOf(pictures: readonly string[]): string {
  const folder = mkdtempSync(join(scratch, 'pictures-'));
  pictures.forEach((picture, i) => symlinkSync(picture, join(folder, `${i + 1}.jpg`)));
  return folder;
}

interface Measured {
  readonly ms: number;
  readonly cpuMs: number;
  readonly mib: number;
}

function batch(folder: string, threads: number): Measured {
  const out = mkdtempSync(join(scratch, 'out-'));
  // One core is one core: the engine's helpers would use the others.
  const bound = threads === 1 && spawnSync('taskset', ['-V']).status === 0;
  const words = ['--import', PROBE, cli, 'batch', folder, '--out', out, '--threads', `${threads}`];
  const measured = bound
    ? run('taskset', ['-c', '0', process.execPath, ...words])
    : run(process.execPath, words);
  rmSync(out, { recursive: true });
  return measured;
}

function run(command: string, words: readonly string[]): Measured {
  const start = performance.now();
  const { status, stderr, error } = spawnSync(command, words, { encoding: 'utf8' });
  const ms = performance.now() - start;
  if (error || (status !== 0 && status !== 1)) throw error ?? new Error(stderr);
  const [, cpu, rss] = /probe (\d+) (\d+)/.exec(stderr) ?? [];
  return { ms, cpuMs: Number(cpu) / 1000, mib: Number(rss) / 1024 };
}

function printFolder(): void {
  const cores = availableParallelism();
  const folder = folderOf(photographs);
  const one = batch(folder, 1);
  const all = batch(folder, cores);
  const gain = one.ms / all.ms;
  console.log(`1. ${count} photographs of ${WIDTH} × ${HEIGHT} px to 4 × 4 in, all outputs`);
  for (const [name, { ms, cpuMs }] of [
    ['one core', one],
    [`${cores} cores`, all],
  ] as const) {
    const each = seconds(cpuMs / count);
    console.log(
      `   ${name.padEnd(10)} ${seconds(ms)}, ${(count / (ms / 60_000)).toFixed(0)} a minute, ${each} of processor time each`,
    );
  }
  console.log(
    `   gain ${gain.toFixed(2)}   (at least ${LEAST_GAIN}: ${gain >= LEAST_GAIN ? 'kept' : 'NOT kept'})\n`,
  );
}

/** A folder on all cores against the chain of general-purpose tools (`chain.ts`), run as many at a time as there are cores. */
async function printBesideChain(): Promise<void> {
  const chain = findChain();
  if (!chain) return;
  const cores = availableParallelism();
  const few = photographs.slice(0, BESIDE_CHAIN);
  const ours: number[] = [];
  const theirs: number[] = [];
  for (let time = 0; time < TIMES; time++) {
    ours.push(batch(folderOf(few), cores).ms);
    const start = performance.now();
    const waiting = few.map((picture, i) =>
      chain.command('blur', picture, join(scratch, `${i}.svg`)),
    );
    await Promise.all(Array.from({ length: cores }, () => runEach(waiting)));
    theirs.push(performance.now() - start);
  }
  const ratio = median(ours) / median(theirs);
  console.log(
    `2. ${few.length} photographs beside the chain with the quick blur, ${cores} at a time; medians of ${TIMES}`,
  );
  console.log(
    `   ${seconds(median(ours))} against ${seconds(median(theirs))}, ratio ${ratio.toFixed(2)}   (at most ${MOST_RATIO}: ${ratio <= MOST_RATIO ? 'kept' : 'NOT kept'}); ${chain.versions}\n`,
  );
}

/** Runs shell commands one after another until none waits. */
async function runEach(waiting: string[]): Promise<void> {
  for (let command = waiting.pop(); command !== undefined; command = waiting.pop()) {
    const [status] = (await once(spawn('sh', ['-c', command], { stdio: 'ignore' }), 'exit')) as [
      number | null,
    ];
    if (status !== 0) throw new Error(`This failed: ${command}`);
  }
}

function printMemory(): void {
  const cores = availableParallelism();
  const few = batch(folderOf(photographs.slice(0, FEW)), cores).mib;
  const many = batch(folderOf(photographs), cores).mib;
  console.log(
    `3. Peak memory: ${few.toFixed(0)} MiB for ${FEW}, ${many.toFixed(0)} MiB for ${count}; ratio ${(many / few).toFixed(2)}\n`,
  );
}

function printSizes(): void {
  console.log(`4. Cost against the size of the card, one photograph; medians of ${TIMES}`);
  const areas: number[] = [];
  const costs: number[] = [];
  for (const card of CARDS) {
    const runs = Array.from({ length: TIMES }, () =>
      run(process.execPath, [
        '--import',
        PROBE,
        cli,
        'make',
        photographs[1],
        '--card',
        card,
        '--out',
        scratch,
      ]),
    );
    const [across, down] = card.replace('in', '').split('x').map(Number);
    areas.push(across * down);
    const cpu = median(runs.map(({ cpuMs }) => cpuMs));
    costs.push(cpu);
    const clock = seconds(median(runs.map(({ ms }) => ms)));
    const mib = median(runs.map((each) => each.mib)).toFixed(0);
    console.log(
      `   ${card.padEnd(8)} ${String(across * down).padStart(4)} in²   ${clock}, ${seconds(cpu)} of processor time, ${mib} MiB`,
    );
  }
  console.log(`   cost grows with the area to the power of ${exponent(areas, costs).toFixed(2)}`);
}
