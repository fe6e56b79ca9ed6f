import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { configFolder } from '../../cli/config-folder.js';
import { fromHash } from '../../server/page/address.js';
import { command, said, stencilwright, type Circumstances, type Ended } from './run.js';

let base: string;
beforeEach(() => {
  base = mkdtempSync(join(tmpdir(), 'hand-'));
});
afterEach(() => {
  rmSync(base, { recursive: true });
});

const there = (): Circumstances => ({ cwd: base, env: { XDG_CONFIG_HOME: base } });
const run = (...words: string[]): Promise<Ended> => said(words, there());

describe('stencilwright practice and hand', () => {
  it('make a strip, save what came out, and make a stencil for that hand', async () => {
    const strip = stencilwright(['practice'], there());
    expect(strip).toMatchObject({ status: 0, stderr: '' });
    expect(readFileSync(join(base, 'stencils/practice/practice.pdf'), 'latin1')).toMatch(/^%PDF/);

    const saved = await run('hand', 'ida', '--slot', '1.8', '--strip', '2mm', '--minutes', '12');
    expect(saved).toMatchObject({ status: 0, stderr: '' });
    expect(saved.stdout).toMatch(/narrowest-opening +1.8 mm/);
    expect((await run('hand')).stdout).toMatch(/^ida, with the tool hot-tip/);

    const more = await run('hand', 'ida', '--warm-up', '25');
    expect(more.stdout).toMatch(/narrowest-opening +1.8 mm[^]*warm-up +25 min/);

    const moth = join(import.meta.dirname, '../../samples/moth.png');
    const made = await run(
      'make',
      moth,
      '--hand',
      'ida',
      '--narrowest-strip',
      '1.9',
      '--outputs',
      'report',
    );
    expect(made.stderr).toBe('');
    const { job } = JSON.parse(readFileSync(join(base, 'stencils/moth/report.json'), 'utf8')) as {
      job: Record<string, unknown>;
    };
    expect(job).toMatchObject({ narrowestOpening: 1.8, narrowestStrip: 1.9, warmUp: 25 });
  }, 30_000);

  it('save the row for scissors, for folded sheets alone', async () => {
    const saved = await run('hand', 'ida', '--snip', '2.5', '--folded-snip', '4');
    expect(saved).toMatchObject({ status: 0, stderr: '' });
    expect(saved.stdout).toMatch(/^ida, with scissors\n +narrowest-opening +2.5 mm in 1 layer\n/);
    expect(saved.stdout).toMatch(/4 mm in 8 layers/);
    const star = join(import.meta.dirname, '../../samples/star.svg');
    const make = (...words: string[]) =>
      run('make', star, '--hand', 'ida', '--outputs', 'report', '--fineness', '3', ...words);
    expect((await make('--fold', 'eighth')).stderr).toBe('');
    const { job } = JSON.parse(readFileSync(join(base, 'stencils/star/report.json'), 'utf8')) as {
      job: Record<string, unknown>;
    };
    expect(job).toMatchObject({ tool: 'scissors', narrowestOpening: 4 });
    expect((await make()).stderr).toMatch(/The hand "ida" was tried with scissors alone/);
  }, 30_000);

  it.each([
    [['hand', 'ida', '--slot', '9'], /Slots of 9 mm wide are not on the practice strip/],
    [['hand', '--slot', '1.5'], /The hand has no name/],
    [['hand', 'ida'], /There is no hand called "ida"/],
    [['hand', 'ida', '--forget'], /There is no hand called "ida"/],
    [['make', 'nana.jpg', '--hand', 'ida'], /There is no hand called "ida".*None was saved yet/],
    [['view', '--no-open', '--hand', 'ida'], /There is no hand called "ida".*None was saved yet/],
    [['practice', 'more'], /This command takes nothing but options, and got: more/],
    [['practice', '--paper', 'a0'], /--paper can't be "a0"/],
  ])('%j is refused in words', async (words, says) => {
    const { status, stdout, stderr } = await run(...words);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(stderr).toMatch(says);
  });

  it('keeps lines of glue apart from what is cut, from whatever file the aim comes', async () => {
    await run('hand', 'ida', '--slot', '1.8', '--strip', '3');
    writeFileSync(join(base, 'glue.json'), '{"as": "glue-line"}');
    const glue = ['make', 'nana.jpg', '--hand', 'ida', '--settings', join(base, 'glue.json')];
    expect((await run(...glue)).stderr).toMatch(/"ida" was tried with the tool hot-tip alone/);
    const saved = await run('hand', 'ida', '--bead-width', '3.5', '--bead-gap', '2mm');
    expect(saved.stdout).toMatch(/ida, with the tool hot-tip[^]*ida, with glue\n +bead-width +3.5/);
    // Now only the picture is missing.
    expect((await run(...glue)).stderr).toMatch(/nana\.jpg/);
  });

  it('with another tool begins that hand anew; a hand does not serve another tool', async () => {
    await run('hand', 'ida', '--slot', '1.8');
    expect((await run('hand', 'ida', '--tool', 'craft-knife', '--turn', '2')).stdout).not.toMatch(
      /1\.8/,
    );
    const other = await run('make', 'nana.jpg', '--hand', 'ida', '--tool', 'hot-tip');
    expect(other.stderr).toMatch(/was tried with the tool craft-knife/);
  });
});

describe('stencilwright view', () => {
  it('begins the page with the limits of a hand', async () => {
    await run('hand', 'ida', '--slot', '1.8', '--strip', '2', '--minutes', '12');
    const { hash } = new URL(await pageAddress('--hand', 'ida'));
    expect(fromHash(hash)).toMatchObject({
      picture: undefined,
      job: { tool: 'hot-tip', narrowestOpening: 1.8, narrowestStrip: 2 },
    });
  }, 30_000);

  it('begins it with the usual settings where no hand is named', async () => {
    expect(new URL(await pageAddress()).hash).toBe('');
  }, 30_000);
});

/** Starts the page, reads the address that it prints, and ends it. */
async function pageAddress(...words: string[]): Promise<string> {
  const page = spawn(process.execPath, [...command, 'view', '--no-open', '--port', '0', ...words], {
    cwd: base,
    env: { ...process.env, XDG_CONFIG_HOME: base },
  });
  let said = '';
  page.stdout.on('data', (part: Buffer) => (said += part.toString()));
  page.stderr.on('data', (part: Buffer) => (said += part.toString()));
  try {
    await Promise.race([once(page.stdout, 'data'), once(page, 'exit')]);
    expect(said).toMatch(/^The page is at http\S+\n/);
    return /http\S+/.exec(said)?.[0] ?? '';
  } finally {
    const ended = page.exitCode === null ? once(page, 'exit') : undefined;
    page.kill();
    await ended;
  }
}

describe('configFolder', () => {
  // XDG Base Directory Specification 0.8: an absolute XDG_CONFIG_HOME, else ~/.config; Apple, File System
  // Programming Guide: Application Support in the Library.
  it.each([
    [{ XDG_CONFIG_HOME: '/x' }, 'linux', '/x/stencilwright'],
    [{ XDG_CONFIG_HOME: 'x' }, 'linux', '/home/ida/.config/stencilwright'],
    [{}, 'linux', '/home/ida/.config/stencilwright'],
    [{}, 'darwin', '/home/ida/Library/Application Support/stencilwright'],
    [{ XDG_CONFIG_HOME: '/x' }, 'darwin', '/x/stencilwright'],
  ] as const)('%j on %s', (environment, platform, folder) => {
    expect(configFolder(environment, platform, '/home/ida')).toBe(folder);
  });
});
