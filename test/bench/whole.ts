import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findChain, type Blur, type Chain } from './chain.js';
import { median, seconds } from './numbers.js';
import { sixteenMegapixels, type Subject } from './photo.js';

/** Started as a person starts it, by its own first line. */
const cli = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));

/** Prints the peak resident memory (KiB) and the processor time (µs) of the process that it is loaded into, at its end. */
const PROBE =
  'data:text/javascript,process.on("exit",()=>{const u=process.resourceUsage();' +
  'process.stderr.write("peak "+u.maxRSS+" processor "+(u.userCPUTime+u.systemCPUTime))})';

/** The least that these parts can do with a picture: read it, make it small, calm it, take one level, write it. */
const LEAST = `
  import sharp from ${JSON.stringify(import.meta.resolve('sharp'))};
  const [, picture, png] = process.argv;
  const small = sharp(picture).rotate().greyscale().resize(1016, 1016, { fit: 'inside' });
  await small.blur(4).threshold(128).png().toFile(png);
`;

const MOST_RATIO = 0.5;
const MOST_MIB = 400;

/** Section 1: the whole process, Node's start included, against the chain; its memory; its stages. */
export async function printWhole(pairs: number): Promise<void> {
  const chain = findChain();
  const scratch = mkdtempSync(join(tmpdir(), 'stencilwright-bench-'));
  console.log(
    `1. Whole process: a 16-megapixel JPEG to a 4 × 4 in stencil, all outputs; medians of ${pairs} pairs`,
  );
  try {
    for (const subject of await sixteenMegapixels()) {
      printPairs(subject, chain, scratch, pairs);
      printUsage(subject.path, scratch);
    }
    if (chain) {
      console.log(`   The chain makes no bridges, no checks and no PDF: ${chain.versions}`);
      for (const blur of blurs) console.log(`     ${chain.command(blur, 'PICTURE', 'OUT.svg')}`);
    }
    console.log(`   Node's own start               ${seconds(nodeStart(pairs))}\n`);
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

/** A box-like approximation and the exact Gaussian: both are what people write, so both are measured. */
const blurs: readonly Blur[] = ['blur', 'gaussian-blur'];

function printPairs(
  { title, path }: Subject,
  chain: Chain | undefined,
  scratch: string,
  pairs: number,
): void {
  const ours: number[] = [];
  const stages: Record<string, number>[] = [];
  const theirs = new Map<Blur, number[]>(blurs.map((blur) => [blur, []]));
  const least: number[] = [];
  ourRun(path, scratch); // warms the disk's cache for all
  for (let pair = 0; pair < pairs; pair++) {
    const { ms, timingsMs } = ourRun(path, scratch);
    ours.push(ms);
    stages.push(timingsMs);
    least.push(leastRun(path, scratch));
    if (!chain) continue;
    const svg = join(scratch, 'chain.svg');
    for (const blur of blurs) theirs.get(blur)?.push(chainRun(chain.command(blur, path, svg)));
  }
  console.log(`   ${title}`);
  printTimes('stencilwright make', ours);
  for (const [blur, times] of chain ? theirs : []) {
    const ratio = median(ours) / median(times);
    const judged = `ratio ${ratio.toFixed(2)}   ${verdict(ratio, MOST_RATIO)}`;
    printTimes(`chain with -${blur}`, times, judged);
  }
  printTimes('the least: one level, a PNG', least);
  printStages(stages);
}

function printTimes(name: string, times: readonly number[], more = ''): void {
  const fastest = seconds(Math.min(...times));
  console.log(
    `   ${name.padEnd(30)} ${seconds(median(times))}   (fastest ${fastest})   ${more}`.trimEnd(),
  );
}

function printStages(runs: readonly Readonly<Record<string, number>>[]): void {
  const names = Object.keys(runs[0]);
  const row = names.map((name) => `${name} ${median(runs.map((run) => run[name])).toFixed(0)}`);
  console.log(
    `   stages, ms: ${row.join(', ')}  (read holds the loading of the other stages' code)`,
  );
}

function printUsage(picture: string, scratch: string): void {
  const words = ['--import', PROBE, cli, ...ourWords(picture, scratch)];
  const { stderr } = run(process.execPath, words);
  const [, peak, processor] = /peak (\d+) processor (\d+)/.exec(stderr) ?? [];
  const mib = Number(peak) / 1024;
  console.log(`   processor time, all threads    ${seconds(Number(processor) / 1000)}`);
  console.log(
    `   peak memory                    ${mib.toFixed(0)} MiB   ${verdict(mib, MOST_MIB)}\n`,
  );
}

function ourRun(
  picture: string,
  scratch: string,
): { ms: number; timingsMs: Record<string, number> } {
  const { ms, stdout } = run(cli, ourWords(picture, scratch));
  const { folder } = JSON.parse(stdout) as { folder: string };
  const report = readFileSync(join(folder, 'report.json'), 'utf8');
  const { timingsMs } = JSON.parse(report) as { timingsMs: Record<string, number> };
  return { ms, timingsMs };
}

function ourWords(picture: string, scratch: string): string[] {
  return ['make', picture, '--card', '4x4in', '--out', scratch, '--json'];
}

function leastRun(picture: string, scratch: string): number {
  const words = ['--input-type=module', '--eval', LEAST, picture, join(scratch, 'least.png')];
  return run(process.execPath, words).ms;
}

function chainRun(command: string): number {
  return run('sh', ['-c', command]).ms;
}

function nodeStart(times: number): number {
  return median(Array.from({ length: times }, () => run(process.execPath, ['-e', '0']).ms));
}

function run(
  program: string,
  words: readonly string[],
): { ms: number; stdout: string; stderr: string } {
  const start = performance.now();
  const { status, stdout, stderr, error } = spawnSync(program, words, { encoding: 'utf8' });
  const ms = performance.now() - start;
  // 1 is a stencil with a broken promise: as much work as a good one.
  if (error || (status !== 0 && status !== 1)) throw error ?? new Error(`${program}: ${stderr}`);
  return { ms, stdout, stderr };
}

function verdict(value: number, most: number): string {
  return value <= most ? `(at most ${most}: kept)` : `(at most ${most}: NOT kept)`;
}
