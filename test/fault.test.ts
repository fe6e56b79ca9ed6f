import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, onTestFinished, type TestContext } from 'vitest';
import { usualOutputs } from '../src/index.js';
import { ring } from './cli/pictures.js';
import { command, contents, said, scratchForAll, stencilwright, type Ended } from './cli/run.js';
import { seeded } from './support/bitmaps.js';

/*
 * What may befall a batch: it is killed, the disk fills up, the folder can't be written any more, another batch
 * starts. Whatever it was, the same command given again leaves the tree that an undisturbed batch leaves.
 */
const PICTURES = Number(process.env.PICTURES ?? 4); // `npm run faults` makes 40,
const KILLS = Number(process.env.KILLS ?? 2); // and strikes 20 times
const LONGEST_LIFE_MS = 1_000 + 75 * PICTURES;
const CARD = ['--card', '40x40mm', '--margin', '4', '--fineness', '4'];

let home: string;
let pictures: string;
let undisturbed: ReadonlyMap<string, string>;

/** What is in a folder, by its way from there. */
function tree(folder: string): ReadonlyMap<string, string> {
  return new Map([...contents(folder)].map(([path, held]) => [path.slice(folder.length), held]));
}

const words = (out: string, more: readonly string[] = []): string[] => [
  'batch',
  pictures,
  '--out',
  out,
  ...CARD,
  ...more,
];

const batch = (out: string, more?: readonly string[]): Ended => stencilwright(words(out, more));

const start = (out: string, more?: readonly string[]): ChildProcess =>
  spawn(process.execPath, [...command, ...words(out, more)], { stdio: 'ignore' });

const ended = (child: ChildProcess): Promise<number | null> =>
  new Promise((resolve) => child.once('close', (status) => resolve(status)));

beforeAll(async () => {
  home = scratchForAll();
  pictures = join(home, 'pictures');
  mkdirSync(pictures);
  for (let i = 1; i <= PICTURES; i++) await ring(join(pictures, `p${i}.png`), 160 + 3 * i);
  const out = join(home, 'undisturbed');
  expect(batch(out).status).toBe(0);
  undisturbed = tree(out);
  expect(undisturbed.size).toBe(PICTURES * (1 + usualOutputs.length) + 2);
});

/** Runs the batch once more, in this process, and looks at the tree. */
async function expectHealed(out: string): Promise<void> {
  const { status, stderr } = await said(words(out));
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  const healed = tree(out);
  expect([...healed.keys()]).toEqual([...undisturbed.keys()]);
  for (const [path, held] of undisturbed) expect(healed.get(path) === held, path).toBe(true);
}

/** Every stencil that stands in a tree is whole. */
function expectNoHalf(out: string): void {
  for (const name of readdirSync(out).filter((each) => /^p\d+$/.test(each))) {
    expect(readdirSync(join(out, name)), name).toHaveLength(usualOutputs.length);
  }
}

describe(`a batch of ${PICTURES} heals`, () => {
  it(`after ${KILLS} kills at random moments, new and over earlier stencils`, async () => {
    const out = join(home, 'killed');
    const random = seeded(7);
    for (let kill = 0; kill < KILLS; kill++) {
      // Other settings in between, so that earlier stencils are being replaced when it strikes.
      const child = start(out, kill % 8 < 4 ? [] : ['--bridge-width', '3']);
      const done = ended(child);
      const timer = setTimeout(() => child.kill('SIGKILL'), LONGEST_LIFE_MS * random());
      await done;
      clearTimeout(timer);
      if (existsSync(out)) expectNoHalf(out);
    }
    await expectHealed(out);
  });

  it('after the disk was full', async (context) => {
    const out = smallDisk('full', context, '150k');
    const { status, stdout } = batch(out);
    expect(status).toBe(1);
    expect(stdout).toMatch(/✗ p\d+\.png {2}The disk is full \(.*\)\. Free some space/);
    expectNoHalf(out);
    remount(out, 'size=64m');
    await expectHealed(out);
  });

  it('after its folder could not be written any more', async (context) => {
    const out = smallDisk('locked', context, '64m');
    const child = start(out);
    const done = ended(child);
    while (readdirSync(out).filter((name) => name.startsWith('p')).length < 2) {
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    // The system refuses it as long as a file is open for writing.
    while (!remount(out, 'ro')) await new Promise((resolve) => setTimeout(resolve, 1));
    expect(await done).not.toBe(0);
    expectNoHalf(out);
    const { status, stderr } = batch(out);
    expect(status).toBe(2);
    expect(stderr).toMatch(/^✗ The output folder is on a disk that can only be read/);
    remount(out, 'rw');
    await expectHealed(out);
  });

  it('after another batch was started in the same folder', async () => {
    const out = join(home, 'shared');
    mkdirSync(out);
    const both = [start(out), start(out), start(out, ['--bridge-width', '3'])].map(ended);
    const statuses = await Promise.all(both);
    expect(statuses).toContain(0);
    expect(statuses.every((status) => status === 0 || status === 2)).toBe(true);
    expectNoHalf(out);
    await expectHealed(out);
  });

  it('and tells of a summary that it can not write', async () => {
    const out = join(home, 'no summary');
    mkdirSync(join(out, 'summary.html'), { recursive: true });
    writeFileSync(join(out, 'summary.html', 'mine.txt'), 'mine');
    const { status, stderr } = await said(words(out));
    expect(status).toBe(1);
    expect(stderr).toMatch(/^✗ There is a folder where a file belongs \(.*summary\.html\)/);
    expect(tree(out).get('/summary.html/mine.txt')).toBe('mine');
  });
});

/** A disk in memory, for one test. */
function smallDisk(name: string, context: TestContext, size: string): string {
  const at = join(home, name);
  mkdirSync(at);
  const root = process.platform === 'linux' && process.getuid?.() === 0;
  const mounted =
    root && spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'tmpfs', at]).status === 0;
  if (!mounted) context.skip('only root can mount a small disk, on Linux');
  onTestFinished(() => {
    expect(spawnSync('umount', [at]).status).toBe(0);
  });
  return at;
}

function remount(at: string, options: string): boolean {
  return spawnSync('mount', ['-o', `remount,${options}`, at]).status === 0;
}
