import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as passed } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { isBuilt } from '../support/built.js';
import { ring } from './pictures.js';
import { command, contents, said, scratch } from './run.js';

/*
 * What ends a process from outside ends it at once, whatever it is at. No test measures time: one that does not end is
 * killed after ten seconds, and has then ended by another signal than the one that it got.
 */
const HANGS_MS = 10_000;

/** By then a program is at its picture, if the machine is idle; all that it works on after that is for nothing. */
const AT_WORK_MS = 800;

/** Single stages take from seconds to half a minute on it. */
const VAST = ['--card', '1000x1000mm'];
const SMALL = ['--card', '40x40mm', '--margin', '4'];
const SHEET = ['--film', '1000x1000mm'];

/** Has the lines of progress written as to a terminal. */
const TERMINAL = 'data:text/javascript,process.stderr.isTTY=true';

/** Says when a file is begun, and then writes no further until something has happened. */
const disk = (until: string): string => `data:text/javascript,
  import disk from 'node:fs/promises';
  import { syncBuiltinESMExports } from 'node:module';
  const { writeFile } = disk;
  disk.writeFile = async (...words) => {
    console.error('writing');
    const alive = setInterval(() => undefined, 1000);
    await ${until};
    clearInterval(alive);
    return writeFile(...words);
  };
  syncBuiltinESMExports();`;

/** A disk that is in the middle of a file when the signal comes. */
const SLOW = disk("new Promise((done) => process.once('SIGINT', done))");
const HANGING = disk('new Promise(() => undefined)');

interface Running {
  readonly child: ChildProcess;
  /** What it has said on both of its streams. */
  said(): string;
  /** Comes when it has said this. */
  says(words: RegExp): Promise<void>;
  /** What it ended by: a status or a signal. */
  readonly ended: Promise<number | NodeJS.Signals | null>;
}

function start(cwd: string, words: readonly string[], preloaded: readonly string[] = []): Running {
  const node = preloaded.flatMap((code) => ['--import', code]);
  const child = spawn(process.execPath, [...node, ...command, ...words], { cwd });
  let said = '';
  let look = (): void => undefined;
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (text: Buffer) => {
      said += String(text);
      look();
    });
  }
  const ended = new Promise<number | NodeJS.Signals | null>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (status, signal) => resolve(signal ?? status));
  });
  const says = (words: RegExp): Promise<void> =>
    new Promise((resolve, reject) => {
      look = () => words.test(said) && resolve();
      look();
      void ended.then(() => reject(new Error(`It ended, and said no more than: ${said}`)));
    });
  return { child, said: () => said, says, ended };
}

/** Sends a signal and tells what the process ended by. */
async function end({ child, ended }: Running, signal: NodeJS.Signals) {
  child.kill(signal);
  const guard = setTimeout(() => child.kill('SIGKILL'), HANGS_MS);
  const by = await ended;
  clearTimeout(guard);
  return by;
}

describe('Ctrl-C and the like', () => {
  it.each<[string, string[], RegExp]>([
    ['the picture is read', VAST, /reading the picture.*\n/],
    ['dark is told from light on a card of a metre', VAST, /telling dark from light.*\n/],
  ])('ends make while %s', async (_, card, stage) => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const before = contents(folder);
    const running = start(folder, ['make', 'ring.png', ...card], [TERMINAL]);
    await running.says(stage);
    await passed(50);
    expect(await end(running, 'SIGINT')).toBe('SIGINT');
    expect(contents(folder)).toEqual(before);
    // The terminal is left at the beginning of a line, below one that says what was being done.
    expect(running.said()).toMatch(/\) …\n$/);
  });

  it.each<[string, string[], NodeJS.Signals]>([
    ['make', VAST, 'SIGTERM'],
    ['make', VAST, 'SIGHUP'],
    ['layers', VAST, 'SIGINT'],
    ['tones', VAST, 'SIGINT'],
    ['sheets', [...VAST, ...SHEET], 'SIGINT'],
  ])('ends %s %j by %s', async (name, words, signal) => {
    const folder = scratch();
    await ring(join(folder, 'ring.png'));
    const before = contents(folder);
    const running = start(folder, [name, 'ring.png', ...words]);
    await passed(AT_WORK_MS);
    expect(await end(running, signal)).toBe(signal);
    expect(contents(folder)).toEqual(before);
    expect(running.said()).toBe('');
  });

  it('ends the page and its threads while they make a card of a metre, wanted or not', async () => {
    const folder = scratch();
    const picture = readFileSync(await ring(join(folder, 'ring.png')));
    const running = start(folder, ['view', '--no-open', '--port', '0']);
    await running.says(/http:\S+\n/);
    const [page] = /http:\S+/.exec(running.said()) ?? [];
    const post = (path: string, body: string | Buffer, type: string, signal?: AbortSignal) =>
      fetch(`${page}api/pictures${path}`, {
        method: 'POST',
        headers: { 'content-type': type },
        body,
        ...(signal && { signal }),
      });
    const goneAway = new AbortController();
    const ids: string[] = [];
    for (const name of ['one', 'two']) {
      const upload = await post(`?name=${name}.png`, picture, 'application/octet-stream');
      expect(upload.status, running.said()).toBe(201);
      ids.push(((await upload.json()) as { id: string }).id);
    }
    const job = JSON.stringify({ job: { card: '1000x1000mm' } });
    const answers = ids.map((id, i) =>
      post(`/${id}/stencil`, job, 'application/json', i === 0 ? goneAway.signal : undefined).then(
        ({ status }) => status,
        () => 'none',
      ),
    );
    await passed(1_000);
    goneAway.abort();
    expect(await end(running, 'SIGINT')).toBe('SIGINT');
    expect(await Promise.all(answers)).toEqual(['none', 'none']);
  });

  it('ends a batch whose threads make cards of a metre, and lets its folder go', async (context) => {
    if (!isBuilt) context.skip('from the sources a batch has no threads');
    const folder = scratch();
    mkdirSync(join(folder, 'in'));
    for (const name of ['1', '2', '3']) await ring(join(folder, 'in', `${name}.png`));
    const running = start(folder, ['batch', 'in', ...VAST]);
    const claim = join(folder, 'stencils/.stencilwright-batch');
    while (!existsSync(claim)) await passed(20);
    await passed(1_000);
    expect(await end(running, 'SIGINT')).toBe('SIGINT');
    expect(running.said()).toBe(
      'Stopped with 0 of 3 pictures done. Give the same command again to go on.\n',
    );
    expect(readdirSync(join(folder, 'stencils'))).toEqual([]);
  });
});

/** Runs in a folder with a slow disk, and comes when it has begun to write. */
async function writing(words: readonly string[], how: string) {
  const folder = scratch();
  await ring(join(folder, 'ring.png'));
  const out = join(folder, 'stencils');
  mkdirSync(out);
  const running = start(folder, words, [how]);
  await running.says(/writing/);
  return { folder, out, running };
}

describe('in the middle of writing', () => {
  const MAKE = ['make', 'ring.png', ...SMALL];

  it.each([
    ['make', ['ring.png', ...SMALL]],
    ['practice', []],
  ])('%s takes back what it has begun', async (name, words) => {
    const { out, running } = await writing([name, ...words], SLOW);
    expect(await end(running, 'SIGINT')).toBe('SIGINT');
    expect(running.said()).toBe('writing\nStopped. Nothing half-written is left.\n');
    expect(readdirSync(out)).toEqual([]);
  });

  it('make gives up in the end where the disk hangs; the next run clears that away, and keeps its result when it is interrupted', async () => {
    const { folder, out, running } = await writing(MAKE, HANGING);
    expect(await end(running, 'SIGTERM')).toBe('SIGTERM');
    expect(readdirSync(out)).toEqual([expect.stringMatching(/^\.ring\.partial-/)]);
    expect(await said(MAKE, { cwd: folder })).toMatchObject({ status: 0, stderr: '' });
    expect(readdirSync(out)).toEqual(['ring']);
    expect(readdirSync(join(out, 'ring'))).toHaveLength(5);

    const before = contents(out);
    const again = start(folder, [...MAKE, '--swap'], [SLOW]);
    await again.says(/writing/);
    expect(await end(again, 'SIGINT')).toBe('SIGINT');
    expect(contents(out)).toEqual(before);
  });

  it('practice gives up at once when it is told twice', async () => {
    const { out, running } = await writing(['practice'], HANGING);
    running.child.kill('SIGTERM');
    expect(await end(running, 'SIGTERM')).toBe('SIGTERM');
    expect(readdirSync(out)).toEqual([expect.stringMatching(/^\.practice\.partial-/)]);
  });
});

/** In a container the program may be the first process, which the system spares. */
describe('as process 1', () => {
  /** The system takes a signal that a first process sends to itself for any other. */
  const INTERRUPTED =
    'data:text/javascript,setInterval(()=>process.pid===1&&process.kill(1,"SIGINT"),1000)';

  it('it ends by itself', (context) => {
    const alone = ['--fork', '--pid', '--kill-child'];
    if (spawnSync('unshare', [...alone, 'true']).status !== 0) {
      context.skip('only root can start a first process, on Linux');
    }
    const view = [...command, 'view', '--no-open', '--port', '0'];
    const words = [...alone, process.execPath, '--import', INTERRUPTED, ...view];
    const { status } = spawnSync('unshare', words, { timeout: HANGS_MS, killSignal: 'SIGKILL' });
    expect(status).toBe(130);
  });
});
