import { spawnSync } from 'node:child_process';
import { chmodSync, copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { flat, ring, vastPng } from './pictures.js';
import { contents, said, scratch, stencilwright, type Circumstances, type Ended } from './run.js';

/** Makes a stencil of a picture in a scratch folder's `out`, in this process. */
function make(folder: string, picture: string, words: string[] = []): Promise<Ended> {
  return said(['make', picture, '--out', join(folder, 'out'), ...words]);
}

/** The same in a process of its own. */
function start(folder: string, picture: string, words: string[] = [], about: Circumstances = {}) {
  return stencilwright(['make', picture, '--out', join(folder, 'out'), ...words], about);
}

/** One clear sentence or two about what is wrong, exit status 2, and nothing else. */
function expectRefusal(ended: Ended, words: RegExp): void {
  expect(ended.stderr).toMatch(words);
  expect(ended.stderr).toMatch(/^✗ [^\n]+\n$/);
  expect(ended.stderr).not.toMatch(/fault of stencilwright|\bat .*:\d+:\d+|Error/);
  expect(ended.stdout).toBe('');
  expect(ended.status).toBe(2);
}

describe('pictures that are none', () => {
  it.each<[string, (path: string) => unknown, RegExp]>([
    ['missing.jpg', () => undefined, /no such file \(.*missing\.jpg\)/i],
    ['folder.jpg', (path) => mkdirSync(path), /a folder, not a picture/],
    ['empty.jpg', (path) => writeFileSync(path, ''), /empty/i],
    ['text.jpg', (path) => writeFileSync(path, 'Dear Nana,\n\nthank you.\n'), /not a picture/i],
    ['dot.png', (path) => flat(path, '#000000', 1), /1 × 1|too small|nothing to cut/i],
    ['white.png', (path) => flat(path, '#ffffff'), /nothing to cut/i],
    ['black.png', (path) => flat(path, '#000000'), /nothing to cut/i],
    ['grey.png', (path) => flat(path, '#808080'), /nothing to cut/i],
    ['clear.png', (path) => flat(path, { r: 0, g: 0, b: 0, alpha: 0 }), /nothing to cut/i],
    ['vast.png', (path) => vastPng(path, 30_000, 30_000), /30.?000 × 30.?000|megapixel|too large/i],
  ])('%s', async (name, draw, words) => {
    const folder = scratch();
    const path = join(folder, name);
    await draw(path);
    const before = contents(folder);
    const ended = await make(folder, path);
    expectRefusal(ended, words);
    // Among many pictures one has to know which.
    expect(ended.stderr).toContain(`(${path}`);
    expect(contents(folder)).toEqual(before);
  });

  it('truncated.jpg', async () => {
    const folder = scratch();
    const whole = readFileSync(await ring(join(folder, 'whole.jpg'), 1200));
    const path = join(folder, 'truncated.jpg');
    for (const share of [0.02, 0.5, 0.9]) {
      writeFileSync(path, whole.subarray(0, Math.round(whole.length * share)));
      const before = contents(folder);
      expectRefusal(await make(folder, path), /cut short|damaged|incomplete|not a picture|broken/i);
      expect(contents(folder)).toEqual(before);
    }
  });

  it('all white, with the light parts asked for, and all black: still an answer in words', async () => {
    const folder = scratch();
    const white = await flat(join(folder, 'white.png'), '#ffffff');
    expectRefusal(await make(folder, white, ['--swap']), /nothing to cut/i);
    const black = await flat(join(folder, 'black.png'), '#000000');
    for (const tone of ['auto', 'level', 'local', 'edges']) {
      expectRefusal(await make(folder, black, ['--tone', tone]), /nothing to cut/i);
    }
  });

  it('dark parts that are all too small to cut', async () => {
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    expectRefusal(
      await make(folder, path, ['--smallest-opening', '200', '--card', '30x30mm', '--margin', '4']),
      /nothing to cut.*\(.*ring\.png: --smallest-opening\)/i,
    );
  });
});

describe('settings that are wrong', () => {
  it.each<[string, string[], RegExp]>([
    [
      'a card smaller than its margins',
      ['--card', 'a7', '--margin', '40'],
      /margin of 40 mm .*no room/,
    ],
    [
      'a tip wider than the opening',
      ['--melt-width', '2mm'],
      /line of 2 mm can't cut an opening of 1.5 mm/,
    ],
    ['bridges under the strip', ['--bridge-width', '1'], /Make --bridge-width at least as large/],
    [
      'limits too wide for the card',
      ['--card', '25x25mm', '--margin', '5', '--bridge-width', '15'],
      /too wide/,
    ],
    ['no size', ['--card', 'huge'], /"huge" is not a card size/],
    ['no number', ['--margin', 'some'], /--margin can't be "some"/],
    ['another unit', ['--margin', '5%'], /--margin can't be "5%"/],
    ['no such choice', ['--tone', 'mixd'], /--tone can't be "mixd".*mean mixed\? Choose .*best/],
    ['no such option', ['--colour', 'red'], /no option called --colour/],
    ['no value', ['--margin'], /--margin needs a value/],
    ['no such output', ['--outputs', 'stencil,mask'], /no output called "mask".*mean masks\?/],
    ['a crop outside the picture', ['--crop', '50,50,80,80'], /crop/],
    ['no settings file', ['--settings', 'none.json'], /settings file can't be read \(none\.json\)/],
  ])('%s', async (_what, words, says) => {
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    const before = contents(folder);
    expectRefusal(await make(folder, path, words), says);
    expect(contents(folder)).toEqual(before);
  });

  it.each<[string, RegExp]>([
    ['{"card": ', /not JSON/],
    ['[]', /holds no settings/],
    ['{"job": {"margin": "wide"}}', /margin can't be "wide" \(.*bad\.json\)/],
    ['{"colour": "red"}', /no setting called "colour"/],
  ])('a settings file of %s', async (text, says) => {
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    const file = join(folder, 'bad.json');
    writeFileSync(file, text);
    expectRefusal(await make(folder, path, ['--settings', file]), says);
  });

  it('a word that is no command, and no picture', async () => {
    // The one that is refused by a process of its own.
    expectRefusal(stencilwright(['nana.jpg']), /write: stencilwright make nana\.jpg/);
    expectRefusal(await said(['nana.jpg']), /write: stencilwright make nana\.jpg/);
    expectRefusal(await said(['make']), /No picture is named/);
  });
});

describe('several pictures', () => {
  it('two that would make one stencil are refused before anything is made', async () => {
    const folder = scratch();
    mkdirSync(join(folder, 'a'));
    const one = await ring(join(folder, 'Nana.png'));
    const two = await ring(join(folder, 'a/nana.jpg'));
    const before = contents(folder);
    const ended = await said(['make', one, two, '--out', join(folder, 'out')]);
    expectRefusal(ended, /Two pictures would make one stencil/);
    expect(contents(folder)).toEqual(before);
  });

  it('a bad one does not stop the others; the exit status is the worst', async () => {
    const folder = scratch();
    const good = await ring(join(folder, 'good.png'));
    const bad = join(folder, 'bad.png');
    const ended = await said(['make', bad, good, '--json', '--out', join(folder, 'out')]);
    expect(ended.status).toBe(2);
    const lines = ended.stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { status: number });
    expect(lines.map(({ status }) => status)).toEqual([2, 0]);
    expect([...contents(join(folder, 'out')).keys()]).toContain(
      join(folder, 'out/good/stencil.svg'),
    );
  });
});

describe('output folders that can not be written', () => {
  it('a file in its place', async () => {
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    writeFileSync(join(folder, 'out'), 'mine');
    const before = contents(folder);
    expectRefusal(await make(folder, path), /\(.*out/);
    expect(contents(folder)).toEqual(before);
  });

  it('one that belongs to somebody else', async (context) => {
    const root = process.getuid?.() === 0;
    if (process.getuid === undefined) context.skip('this system has no file owners');
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    mkdirSync(join(folder, 'out'));
    chmodSync(folder, 0o755);
    chmodSync(path, 0o644);
    chmodSync(join(folder, 'out'), 0o555);
    onTestFinished(() => {
      chmodSync(join(folder, 'out'), 0o755);
    });
    const ended = start(folder, path, [], root ? { node: ['--import', OTHER_ACCOUNT] } : {});
    expectRefusal(ended, /account isn't allowed to write/);
    expect(contents(join(folder, 'out')).size).toBe(0);
  });

  it('something of one’s own in the folder of the name that was chosen', async () => {
    const folder = scratch();
    const path = await ring(join(folder, 'ring.png'));
    mkdirSync(join(folder, 'out/mine'), { recursive: true });
    writeFileSync(join(folder, 'out/mine/stencil.svg'), 'mine');
    const before = contents(folder);
    expectRefusal(
      await make(folder, path, ['--name', 'mine']),
      /something else.*choose another name/,
    );
    expectRefusal(await make(folder, path, ['--name', 'a/b']), /can't be the name of a folder/);
    expect(contents(folder)).toEqual(before);
  });

  it('a full disk: an earlier result stays as it was', async (context) => {
    const folder = scratch();
    const disk = join(folder, 'out');
    mkdirSync(disk);
    if (!mountSmallDisk(disk)) context.skip('only root can mount a small disk, on Linux');
    const path = await ring(join(folder, 'ring.png'));
    expect((await make(folder, path)).status).toBe(0);
    fill(join(disk, 'filler'));
    const before = contents(disk);
    expect([...before.keys()]).toContain(join(disk, 'ring/template.pdf'));
    expectRefusal(start(folder, path, ['--swap']), /disk is full/i);
    copyFileSync(path, join(folder, 'other.png'));
    expectRefusal(await make(folder, join(folder, 'other.png')), /disk is full/i);
    expect(contents(disk)).toEqual(before);
  });
});

/**
 * Root may write anywhere, so the program becomes another account once it is about to write: by then it has loaded
 * what it needs, wherever it lies.
 */
const OTHER_ACCOUNT = `data:text/javascript,
  import disk from 'node:fs/promises';
  import { syncBuiltinESMExports } from 'node:module';
  const { readdir, mkdir } = disk;
  const change = (act) => async (...words) => {
    if (process.geteuid() === 0) process.seteuid(65534);
    return act(...words);
  };
  disk.readdir = change(readdir);
  disk.mkdir = change(mkdir);
  syncBuiltinESMExports();`;

/** Mounts a disk of 2 MiB in memory for one test. */
function mountSmallDisk(at: string): boolean {
  if (process.platform !== 'linux' || process.getuid?.() !== 0) return false;
  if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=2m', 'tmpfs', at]).status !== 0) return false;
  onTestFinished(() => {
    expect(spawnSync('umount', [at]).status).toBe(0);
  });
  return true;
}

/** Fills what is left of a disk. */
function fill(path: string): void {
  const PIECE = 4096;
  let size = 0;
  for (;;) {
    try {
      writeFileSync(path, Buffer.alloc(PIECE), { flag: 'a' });
      size += PIECE;
    } catch (error) {
      expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC');
      expect(size).toBeGreaterThan(0);
      return;
    }
  }
}
