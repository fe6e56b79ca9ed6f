import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findChain, type Blur } from './chain.js';
import { median, seconds } from './numbers.js';
import { benchDir, sixteenMegapixels } from './photo.js';

const cli = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));

/** Prints the peak resident memory of the process that it is loaded into, in KiB, on its way out. */
const MEMORY_PROBE =
  'data:text/javascript,process.on("exit",()=>process.stderr.write("peak "+process.resourceUsage().maxRSS))';

const MOST_RATIO = 0.5;
const MOST_MIB = 400;

/** Section 1: the whole process, Node's start included, against the chain; its memory; its stages. */
export async function printWhole(pairs: number): Promise<void> {
  const picture = await sixteenMegapixels();
  const scratch = mkdtempSync(join(benchDir, 'run-'));
  try {
    printPairs(picture, scratch, pairs);
    printMemory(picture, scratch);
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

function printPairs(picture: string, scratch: string, pairs: number): void {
  const chain = findChain();
  const blurs: readonly Blur[] = chain ? ['blur', 'gaussian-blur'] : [];
  const ours: number[] = [];
  const stages: Record<string, number>[] = [];
  const theirs = new Map<Blur, number[]>(blurs.map((blur) => [blur, []]));
  ourRun(picture, scratch); // warms the disk's cache for all
  for (let pair = 0; pair < pairs; pair++) {
    const { ms, timingsMs } = ourRun(picture, scratch);
    ours.push(ms);
    stages.push(timingsMs);
    for (const blur of blurs)
      theirs.get(blur)?.push(chainRun(chain!.command(blur, picture, join(scratch, 'chain.svg'))));
  }
  const mine = median(ours);
  console.log(
    `1. Whole process: a 16-megapixel JPEG to a 4 × 4 in stencil, all outputs; medians of ${pairs} pairs`,
  );
  console.log(`   stencilwright make             ${seconds(mine)}`);
  for (const [blur, times] of theirs) {
    const ratio = mine / median(times);
    const judged = blur === 'blur' ? `   ${verdict(ratio, MOST_RATIO)}` : '';
    console.log(
      `   chain with -${blur.padEnd(18)} ${seconds(median(times))}   ratio ${ratio.toFixed(2)}${judged}`,
    );
  }
  if (chain) console.log(`   (the chain: ${chain.versions}; no bridges, no checks, no PDF)`);
  console.log(`   node's own start               ${seconds(nodeStart(pairs))}`);
  printStages(stages);
}

function printStages(runs: readonly Readonly<Record<string, number>>[]): void {
  const names = Object.keys(runs[0]);
  const row = names.map((name) => `${name} ${median(runs.map((run) => run[name])).toFixed(0)}`);
  console.log(
    `   stages, ms: ${row.join(', ')}  (read holds the loading of the other stages' code)`,
  );
}

function printMemory(picture: string, scratch: string): void {
  const { stderr } = run(process.execPath, [
    '--import',
    MEMORY_PROBE,
    ...ourWords(picture, scratch),
  ]);
  const mib = Number(/peak (\d+)/.exec(stderr)?.[1]) / 1024;
  console.log(
    `   peak memory                    ${mib.toFixed(0)} MiB   ${verdict(mib, MOST_MIB)}\n`,
  );
}

function ourRun(
  picture: string,
  scratch: string,
): { ms: number; timingsMs: Record<string, number> } {
  const { ms, stdout } = run(process.execPath, ourWords(picture, scratch));
  const { timingsMs } = JSON.parse(stdout) as { timingsMs: Record<string, number> };
  return { ms, timingsMs };
}

function ourWords(picture: string, scratch: string): string[] {
  return [cli, 'make', picture, '--card', '4x4in', '--out', scratch, '--json'];
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
