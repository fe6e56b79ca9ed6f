import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ring } from './pictures.js';
import { command, said, scratch, stencilwright } from './run.js';

const CARD = ['--card', '40x40mm', '--margin', '4'];

/** A line of a shell; in it "$@" stands for the command and its words. */
function shell(script: string, words: readonly string[], cwd: string) {
  const args = ['-c', script, 'sh', process.execPath, ...command, ...words];
  return spawnSync('sh', args, { cwd, encoding: 'utf8' });
}

describe('where the output goes', () => {
  it('to a reader that has gone: one sentence, and the stencils are made', async () => {
    const cwd = scratch();
    const pictures = [await ring(join(cwd, '1.png')), await ring(join(cwd, '2.png'))];
    // The reader is gone before there is a word to read.
    const script = '{ "$@"; echo "status $?" >&2; } | true';
    const { stdout, stderr } = shell(script, ['make', ...pictures, ...CARD], cwd);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/^✗ What this was printed for has stopped reading [^\n]*\nstatus 0\n$/);
    for (const name of ['1', '2']) {
      expect(existsSync(join(cwd, 'stencils', name, 'stencil.svg'))).toBe(true);
    }
  });

  it('to a full disk: one sentence, the stencil is made, and the exit status tells', async (context) => {
    if (!existsSync('/dev/full')) context.skip('this system has no disk that is always full');
    const cwd = scratch();
    const picture = await ring(join(cwd, '1.png'));
    const { status, stderr } = shell('"$@" > /dev/full', ['make', picture, ...CARD], cwd);
    expect(stderr).toMatch(/^✗ The disk is full that this is printed to [^\n]*\n$/);
    expect(status).toBe(1);
    expect(existsSync(join(cwd, 'stencils/1/stencil.svg'))).toBe(true);
  });
});

it('a folder that was removed from under the person’s feet is told in a sentence', () => {
  const cwd = scratch();
  mkdirSync(join(cwd, 'gone'));
  const script = 'cd gone && rmdir ../gone && "$@"';
  const { status, stdout, stderr } = shell(script, ['make', join(cwd, '1.png')], cwd);
  expect(stderr).toMatch(
    /^✗ The folder that you are in is no longer there \([^\n]*gone\)[^\n]*\n$/,
  );
  expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
});

describe('--json', () => {
  const parsed = (lines: string) =>
    lines
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);

  it('has one form for a picture, made alone or in a batch, and its numbers are rounded', async () => {
    const cwd = scratch();
    mkdirSync(join(cwd, 'in'));
    await ring(join(cwd, 'in/1.png'));
    writeFileSync(join(cwd, 'in/2.jpg'), 'no picture');
    const words = [...CARD, '--json', '--motif-size', '9'];
    const make = await said(['make', 'in/1.png', 'in/2.jpg', ...words, '--out', 'a'], { cwd });
    const batch = stencilwright(['batch', 'in', ...words, '--out', 'b'], { cwd });
    const [alone, failed] = parsed(make.stdout);
    const [inBatch, failedToo] = parsed(batch.stdout).sort((a, b) => Number(a.status) - Number(b.status)); // prettier-ignore
    expect(inBatch).toEqual({ ...alone, picture: '1.png', folder: 'b/1' });
    expect(Object.keys(inBatch)).toEqual(Object.keys(alone));
    expect(Object.keys(alone)).toEqual(
      'picture status name folder files kept sheet tone openings islands bridges cutMm minutes warmUpMinutes difficulty fidelity findings'.split(
        ' ',
      ),
    );
    expect(alone).toMatchObject({
      picture: 'in/1.png',
      status: 0,
      folder: 'a/1',
      kept: false,
      findings: [{ level: 'note', code: 'unused-setting' }],
    });
    expect(make.stdout).not.toMatch(/\d\.\d{6}/);
    expect(failed).toEqual({
      picture: 'in/2.jpg',
      status: 2,
      error: {
        what: 'This is not a picture that can be read',
        where: 'in/2.jpg',
        remedy: expect.stringContaining('BMP') as string,
      },
    });
    expect(failedToo).toMatchObject({ picture: '2.jpg', status: 2, error: { where: '2.jpg' } });

    const again = await said(['batch', 'in', ...CARD, '--motif-size', '9', '--out', 'b'], {
      cwd,
    });
    // What holds for all is told once, by the name of its option.
    expect(again.stdout).toMatch(/2 pictures: 1 good, .*\n {2}· --motif-size changes nothing here/);
  });
});
