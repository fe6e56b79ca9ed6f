import { spawnSync } from 'node:child_process';
import { mkdir, mkdtemp, readdir, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { hiddenKind, hiddenName, isAbandoned } from '../../src/disk/hidden.js';
import { clearLeftovers } from '../../src/disk/leftovers.js';
import { Stopped, writeResult } from '../../src/disk/result.js';

let out: string;
/** The number of a process that was. */
const dead = spawnSync(process.execPath, ['-e', '0']).pid;

beforeEach(async () => {
  out = await mkdtemp(join(tmpdir(), 'stencilwright-leftovers-'));
});

afterEach(() => rm(out, { recursive: true, force: true }));

/** What a process that is gone has left under a name. */
async function leave(name: string, files: readonly string[]): Promise<string> {
  await mkdir(join(out, name));
  for (const file of files) await writeFile(join(out, name, file), `{"name": "heron"}`);
  return name;
}

const ofDead = (kind: 'partial' | 'earlier', name = 'heron'): string =>
  hiddenName(name, kind).replace(`-${process.pid}-`, `-${dead}-`);

const ELSEWHERE = 'ffffffff';

describe('what a run left that was killed', () => {
  it('is cleared by the next that writes there, and nothing of one that runs', async () => {
    await leave(ofDead('partial'), ['stencil.svg']);
    await leave(ofDead('partial', 'egret'), []);
    const own = await leave(hiddenName('heron', 'partial'), ['stencil.svg']);
    await writeResult(out, 'heron', [{ name: 'report.json', bytes: '{}' }]);
    expect((await readdir(out)).sort()).toEqual([own, 'heron']);
  });

  it.each([
    ['a stencil', ['report.json', 'stencil.svg']],
    ['full sheets', ['sheet-1.pdf', 'film.json']],
    ['a practice strip', ['practice.pdf', 'practice.svg']],
  ])('puts %s back that was set aside, where no new one is', async (_, files) => {
    await leave(ofDead('earlier'), files);
    await clearLeftovers(out);
    expect(await readdir(out)).toEqual(['heron']);
    expect(await readdir(join(out, 'heron'))).toEqual([...files].sort());
  });

  it('puts one back whose report is damaged', async () => {
    const name = await leave(ofDead('earlier'), ['stencil.svg']);
    await writeFile(join(out, name, 'report.json'), '{"name": "her');
    await clearLeftovers(out);
    expect(await readdir(out)).toEqual(['heron']);
  });

  it('of another machine is left to it, until it has lain for hours', async () => {
    const name = ofDead('partial').replace(/partial-[0-9a-f]+/, `partial-${ELSEWHERE}`);
    await leave(name, ['stencil.svg']);
    await clearLeftovers(out);
    expect(await readdir(out)).toEqual([name]);
    const hidden = hiddenKind(name);
    expect(hidden).toEqual({ name: 'heron', kind: 'partial', machine: ELSEWHERE, pid: dead });
    const ago = (hours: number) => isAbandoned(hidden!, Date.now() - 3_600_000 * hours);
    expect([ago(0.9), ago(1.1)]).toEqual([false, true]);
  });
});

describe('a writing that is stopped', () => {
  const files = ['a.svg', 'b.svg', 'c.svg'].map((name) => ({ name, bytes: name }));

  it.each([0, 1, 2, 3])('after %i acts leaves nothing', async (acts) => {
    let left = acts;
    const signal = {
      get aborted() {
        return left-- <= 0;
      },
    };
    const to = join(out, 'new');
    await expect(writeResult(to, 'heron', files, { signal })).rejects.toBeInstanceOf(Stopped);
    expect(await readdir(out)).toEqual([]);
  });

  it('goes on as it was where nobody asks', async () => {
    await writeResult(out, 'heron', files, { signal: { aborted: false }, durably: true });
    expect(await readdir(join(out, 'heron'))).toEqual(['a.svg', 'b.svg', 'c.svg']);
  });
});
