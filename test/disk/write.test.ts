import { execFileSync, spawnSync } from 'node:child_process';
import * as disk from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Problem } from '../../src/settings/problem.js';
import { clearLeftovers } from '../../src/disk/leftovers.js';
import { marksOf, type Provenance } from '../../src/disk/made-from.js';
import { placeFor } from '../../src/disk/place.js';
import { writeStencil, type Disk, type ResultFile } from '../../src/disk/write.js';

const HERON: Provenance = { made: 'stencil', picture: 'heron.jpg' };
const NAMES = ['stencil.svg', 'template.pdf', 'preview.png', 'stencil.dxf', 'report.json'];

/** The text of each file of a result; its report says that it is of the heron unless told. */
function textsSaying(text: string, of = HERON): Map<string, string> {
  const files = new Map(
    NAMES.filter((name) => name !== 'report.json').map((name) => [name, `${name}: ${text}`]),
  );
  const madeFrom = { ...of, files: marksOf(files) };
  return files.set('report.json', JSON.stringify({ name: 'heron', text, madeFrom }));
}

const filesSaying = (text: string, of = HERON): readonly ResultFile[] =>
  [...textsSaying(text, of)].map(([name, bytes]) => ({ name, bytes }));

let out: string;

beforeEach(async () => {
  out = await disk.mkdtemp(join(tmpdir(), 'stencilwright-write-'));
});

afterEach(async () => {
  await disk.rm(out, { recursive: true, force: true });
});

/** Every file below a folder, with its text. */
async function contents(folder: string): Promise<Record<string, string>> {
  const found: Record<string, string> = {};
  for (const entry of await disk.readdir(folder, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    found[path.slice(folder.length + 1)] = entry.isDirectory()
      ? '/'
      : await disk.readFile(path, 'utf8');
  }
  return found;
}

const resultSaying = (text: string, name = 'heron'): Record<string, string> => ({
  [name]: '/',
  ...Object.fromEntries([...textsSaying(text)].map(([file, held]) => [`${name}/${file}`, held])),
});

async function problemOf(act: Promise<unknown>): Promise<Problem> {
  const error = await act.then(
    () => undefined,
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(Problem);
  return error as Problem;
}

const run = (command: string, ...words: readonly string[]) =>
  execFileSync(command, words, { stdio: 'ignore' });

const systemError = (code: string): Error => Object.assign(new Error(code), { code });

/** A disk whose act number `failsAt` (from 0) fails; a file that fails to be written is half there. */
function failingDisk(failsAt: number, code: string) {
  const acts: string[] = [];
  const fs = new Proxy(disk, {
    get(target, key: keyof Disk) {
      return async (...args: unknown[]) => {
        const fails = acts.length === failsAt;
        acts.push(key);
        if (fails && key === 'writeFile') await disk.writeFile(args[0] as string, 'half');
        if (fails) throw systemError(code);
        return (target[key] as (...given: unknown[]) => unknown)(...args);
      };
    },
  });
  return { acts, fs: fs as Disk };
}

describe('writeStencil', () => {
  it('writes a folder of that name, and the folders that lead to it', async () => {
    const folder = await writeStencil(join(out, 'a', 'b'), 'heron', filesSaying('new'));
    expect(folder).toBe(join(out, 'a', 'b', 'heron'));
    expect(await contents(join(out, 'a', 'b'))).toEqual(resultSaying('new'));
  });

  it('writes bytes as they are', async () => {
    const bytes = Uint8Array.of(0, 255, 10, 13, 128);
    await writeStencil(out, 'heron', [{ name: 'preview.png', bytes }]);
    expect(new Uint8Array(await disk.readFile(join(out, 'heron', 'preview.png')))).toEqual(bytes);
  });

  it('replaces an earlier result of the same whole: no file of it stays', async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    const files = new Map([['stencil.svg', 'new']]);
    const report = JSON.stringify({ madeFrom: { ...HERON, files: marksOf(files) } });
    await writeStencil(out, 'heron', [
      { name: 'stencil.svg', bytes: 'new' },
      { name: 'report.json', bytes: report },
    ]);
    expect(await contents(out)).toEqual({
      heron: '/',
      'heron/stencil.svg': 'new',
      'heron/report.json': report,
    });
  });

  it.each<[string, Provenance]>([
    ['another picture', { made: 'stencil', picture: 'heron.svg', sha256: '1' }],
    ['the layers of the same picture', { made: 'layers', picture: 'heron.jpg' }],
    ['a picture that is not known', { made: 'stencil' }],
  ])('never replaces the result of %s', async (_, of) => {
    await writeStencil(out, 'heron', filesSaying('old', of));
    const before = await contents(out);
    const problem = await problemOf(writeStencil(out, 'heron', filesSaying('new')));
    expect(problem.what).toMatch(/^The folder for the result holds the .* of .*left alone$/);
    expect(await contents(out)).toEqual(before);
  });

  it('replaces that of a picture that was touched up, or that has another name now', async () => {
    const first = { ...HERON, sha256: '1' };
    await writeStencil(out, 'heron', filesSaying('old', first));
    const touchedUp = { ...HERON, sha256: '2' };
    await writeStencil(out, 'heron', filesSaying('new', touchedUp));
    const renamed = { made: 'stencil', picture: 'grey heron.jpg', sha256: '2' } as const;
    await writeStencil(out, 'heron', filesSaying('newer', renamed));
    expect((await contents(out))['heron/stencil.svg']).toBe('stencil.svg: newer');
  });

  it("never replaces a folder with a person's own stencil.svg and no report", async () => {
    await disk.mkdir(join(out, 'heron'));
    await disk.writeFile(join(out, 'heron', 'stencil.svg'), 'mine');
    const problem = await problemOf(writeStencil(out, 'heron', filesSaying('new')));
    expect(problem.what).toContain('holds something else (stencil.svg)');
    expect(await contents(out)).toEqual({ heron: '/', 'heron/stencil.svg': 'mine' });
  });

  it.each([
    ['whose report is gone', 'report.json', undefined],
    ['whose report is cut short', 'report.json', '{"name":"her'],
    ['with an empty file', 'stencil.svg', ''],
    ['with a file that is cut short', 'stencil.svg', 'stencil.svg: sa'],
  ])('replaces a result %s, by the same, without a trace', async (_, name, held) => {
    await writeStencil(out, 'heron', filesSaying('same'));
    await disk.rm(join(out, 'heron', name));
    if (held !== undefined) await disk.writeFile(join(out, 'heron', name), held);
    await writeStencil(out, 'heron', filesSaying('same'));
    expect(await contents(out)).toEqual(resultSaying('same'));
  });

  it('takes an empty folder, and one in which a program only left its traces', async () => {
    await disk.mkdir(join(out, 'heron'));
    for (const name of ['.DS_Store', 'Thumbs.db', 'desktop.ini', '.directory', 'notes.txt~'])
      await disk.writeFile(join(out, 'heron', name), 'traces');
    await writeStencil(out, 'heron', filesSaying('new'));
    const after = await contents(out);
    expect(after).toMatchObject(resultSaying('new'));
    expect(after['heron/notes.txt~']).toBe('traces');
  });

  it('leaves other things in the output folder alone', async () => {
    await disk.writeFile(join(out, 'letter.txt'), 'mine');
    await writeStencil(out, 'heron', filesSaying('new'));
    expect(await contents(out)).toEqual({ 'letter.txt': 'mine', ...resultSaying('new') });
  });

  it("keeps a person's own files, and those that she changed beside the new ones", async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    const own = { 'photo.jpg': 'mine', '.directory': 'traces', 'stencil.svg~': 'mine before' };
    for (const [name, held] of Object.entries(own))
      await disk.writeFile(join(out, 'heron', name), held);
    await disk.mkdir(join(out, 'heron', 'letters', 'deep'), { recursive: true });
    await disk.writeFile(join(out, 'heron', 'letters', 'deep', 'to ida.txt'), 'mine');
    await disk.symlink('../elsewhere', join(out, 'heron', 'link'));
    await disk.writeFile(join(out, 'heron', 'stencil.svg'), 'changed');
    const kept: unknown[] = [];
    for (const text of ['new', 'newer']) {
      await writeStencil(out, 'heron', filesSaying(text), disk, (each) => kept.push(each));
      expect(await disk.readlink(join(out, 'heron', 'link'))).toBe('../elsewhere');
      await disk.rm(join(out, 'heron', 'link'));
      expect(await contents(out)).toEqual({
        ...resultSaying(text),
        ...Object.fromEntries(Object.entries(own).map(([name, held]) => [`heron/${name}`, held])),
        'heron/letters': '/',
        'heron/letters/deep': '/',
        'heron/letters/deep/to ida.txt': 'mine',
        'heron/stencil-kept.svg': 'changed',
      });
      await disk.symlink('../elsewhere', join(out, 'heron', 'link'));
    }
    expect(kept).toEqual([{ file: 'stencil.svg', as: 'stencil-kept.svg' }]);
  });

  it('removes nothing outside of the folder, whatever its report says', async () => {
    await disk.writeFile(join(out, 'letter.txt'), 'mine');
    const mark = marksOf([['../letter.txt', 'mine']]);
    await writeStencil(out, 'heron', [
      { name: 'report.json', bytes: JSON.stringify({ madeFrom: { ...HERON, files: mark } }) },
    ]);
    await problemOf(writeStencil(out, 'heron', filesSaying('new')));
    expect((await contents(out))['letter.txt']).toBe('mine');
  });

  it('never replaces a folder in which a file of ours is a folder', async () => {
    await disk.mkdir(join(out, 'heron', 'stencil.svg'), { recursive: true });
    await problemOf(writeStencil(out, 'heron', filesSaying('new')));
    expect(await contents(out)).toEqual({ heron: '/', 'heron/stencil.svg': '/' });
  });

  it('never replaces a file, nor what a link points to', async () => {
    await disk.writeFile(join(out, 'heron'), 'mine');
    const problem = await problemOf(writeStencil(out, 'heron', filesSaying('new')));
    expect(problem.what).toBe('There is a file where the result belongs');
    await disk.mkdir(join(out, 'elsewhere'));
    await disk.symlink(join(out, 'elsewhere'), join(out, 'link'));
    await problemOf(writeStencil(out, 'link', filesSaying('new')));
    expect(await contents(join(out, 'elsewhere'))).toEqual({});
  });

  it.runIf(process.platform === 'linux')(
    'says so, and comes back, where the system takes no folder',
    async () => {
      const problem = await problemOf(writeStencil('/proc/prints/new', 'heron', filesSaying('a')));
      expect(problem.remedy).toMatch(/another output folder/i);
    },
  );

  it('says so when the output folder is a file', async () => {
    await disk.writeFile(join(out, 'plain'), 'mine');
    for (const folder of [join(out, 'plain'), join(out, 'plain', 'deeper')]) {
      const problem = await problemOf(writeStencil(folder, 'heron', filesSaying('new')));
      expect(problem.what).toBe('The output folder is a file');
    }
    expect(await contents(out)).toEqual({ plain: 'mine' });
  });

  it.each(['', ' ', '.', '..', '../heron', 'a/b', 'a\\b', 'a\u0000b', 'a\nb', 'é'.repeat(128)])(
    'refuses the name %j',
    async (name) => {
      const problem = await problemOf(writeStencil(out, name, filesSaying('new')));
      expect(problem.what).toContain("can't be the name of a folder");
      expect(await contents(out)).toEqual({});
    },
  );

  it.each(['.hidden', 'name with spaces', '猫', '🐈'.repeat(60), 'a'.repeat(255)])(
    'takes the name %j',
    async (name) => {
      await writeStencil(out, name, filesSaying('new'));
      expect(await contents(out)).toEqual(resultSaying('new', name));
    },
  );

  it('on a disk that is really full, keeps the earlier result and leaves nothing half-written', async (context) => {
    const small = join(out, 'small');
    await disk.mkdir(small);
    try {
      run('mount', '-t', 'tmpfs', '-o', 'size=64k', 'none', small);
    } catch {
      // Only root may mount; the disks that fail by order, below, need no rights.
      context.skip('only root can mount a small disk, on Linux');
    }
    try {
      await writeStencil(small, 'heron', filesSaying('old'));
      const large = [
        ...filesSaying('new'),
        { name: 'preview.png', bytes: new Uint8Array(200_000) },
      ];
      const problem = await problemOf(writeStencil(small, 'heron', large));
      expect(problem.message).toMatch(/^The disk is full \(.*\)\. Free some space/);
      expect(await contents(small)).toEqual(resultSaying('old'));
      await problemOf(writeStencil(join(small, 'new'), 'egret', large));
      expect(await contents(small)).toEqual(resultSaying('old'));
    } finally {
      run('umount', small);
    }
  });

  it.each([
    ['EACCES', /^This account isn't allowed to write/],
    ['EPERM', /^This account isn't allowed to write/],
    ['EROFS', /^The output folder is on a disk that can only be read/],
    ['ENOSPC', /^The disk is full/],
    ['EDQUOT', /^The disk is full/],
    ['EIO', /^The result can't be written there \(the system says EIO\)/],
  ])('says %s in words', async (code, words) => {
    const { fs } = failingDisk(0, code);
    const problem = await problemOf(
      writeStencil(join(out, 'new'), 'heron', filesSaying('new'), fs),
    );
    expect(problem.message).toMatch(words);
    expect(problem.where).toBe(join(out, 'new'));
    expect(await contents(out)).toEqual({});
  });

  it('lets a fault of our own through as it is', async () => {
    const fault = new TypeError('a fault of ours');
    const fs = { ...disk, writeFile: () => Promise.reject(fault) } as unknown as Disk;
    await expect(writeStencil(out, 'heron', filesSaying('new'), fs)).rejects.toBe(fault);
    expect(await contents(out)).toEqual({});
  });

  describe('whichever act of the disk fails', () => {
    const acts = async (): Promise<readonly string[]> => {
      const { acts: done, fs } = failingDisk(Infinity, 'none');
      await writeStencil(out, 'heron', filesSaying('old'));
      await disk.writeFile(join(out, 'heron', 'mine.txt'), 'mine');
      await writeStencil(out, 'heron', filesSaying('new'), fs);
      return done;
    };

    it('has the earlier result or the new one, whole, and nothing half-written', async () => {
      const count = (await acts()).length;
      expect(count).toBeGreaterThan(8);
      for (let failsAt = 0; failsAt < count; failsAt++) {
        await disk.rm(join(out, 'heron'), { recursive: true, force: true });
        await writeStencil(out, 'heron', filesSaying('old'));
        await disk.writeFile(join(out, 'heron', 'mine.txt'), 'mine');
        const { acts: done, fs } = failingDisk(failsAt, 'EIO');
        const problem = await problemOf(writeStencil(out, 'heron', filesSaying('new'), fs));
        const after = await contents(out);
        const failed = done[failsAt];
        const isSwapped = done.slice(0, failsAt).filter((act) => act === 'rename').length >= 2;
        if (isSwapped) {
          // The new one stands; what can't be removed of the earlier one is named.
          expect(after).toMatchObject(resultSaying('new'));
          expect(problem.where).toMatch(/\.heron\.earlier-[0-9a-f]{8}-\d+-[0-9a-f]+$/);
          expect(Object.values(after)).toContain('mine');
          await disk.rm(problem.where, { recursive: true });
        } else {
          expect(after, `act ${failsAt}, ${failed}`).toEqual({
            ...resultSaying('old'),
            'heron/mine.txt': 'mine',
          });
        }
      }
    });

    it('removes the folders that it made on the way, where there was nothing before', async () => {
      const { acts: done, fs } = failingDisk(Infinity, 'none');
      await writeStencil(join(out, 'a', 'b'), 'heron', filesSaying('new'), fs);
      for (let failsAt = 0; failsAt < done.length; failsAt++) {
        await disk.rm(join(out, 'a'), { recursive: true, force: true });
        const failing = failingDisk(failsAt, 'EIO');
        await problemOf(writeStencil(join(out, 'a', 'b'), 'heron', filesSaying('new'), failing.fs));
        expect(await contents(out), `act ${failsAt}, ${failing.acts[failsAt]}`).toEqual({});
      }
    });
  });

  it('says where the earlier result is when it can not even be put back', async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    let renames = 0;
    const fs: Disk = {
      ...disk,
      rename: (from, to) =>
        ++renames === 1 ? disk.rename(from, to) : Promise.reject(systemError('EIO')),
    };
    const problem = await problemOf(writeStencil(out, 'heron', filesSaying('new'), fs));
    expect(problem.what).toBe('An earlier result could not be put back; it is kept here');
    const kept = problem.where.slice(out.length + 1);
    expect(await contents(out)).toEqual(resultSaying('old', kept));
  });

  it("keeps a person's file that appears in the earlier result while it is replaced", async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    const fs: Disk = {
      ...disk,
      rename: async (from, to) => {
        if (String(from).endsWith('heron'))
          await disk.writeFile(join(out, 'heron', 'mine.txt'), 'mine');
        await disk.rename(from, to);
      },
    };
    await writeStencil(out, 'heron', filesSaying('new'), fs);
    expect(await contents(out)).toEqual({ ...resultSaying('new'), 'heron/mine.txt': 'mine' });
  });
});

describe('placeFor', () => {
  const place = (of: Provenance, name = 'heron', isChosen = false) =>
    placeFor(out, { name, of, isChosen });

  it('gives the name where nothing has it, and a numbered one where another picture does', async () => {
    expect(await place(HERON)).toEqual({ name: 'heron', isUnsure: false });
    await writeStencil(out, 'heron', filesSaying('old'));
    const drawing: Provenance = { made: 'stencil', picture: 'heron.svg' };
    const beside = { name: 'heron-2', isUnsure: false, taken: 'the stencil of heron.jpg' };
    expect(await place(drawing)).toEqual(beside);
    await writeStencil(out, 'heron-2', filesSaying('new', drawing));
    expect(await place(drawing)).toMatchObject(beside);
    expect((await place(HERON)).name).toBe('heron');
    const layers: Provenance = { made: 'layers', picture: 'heron.jpg' };
    expect((await place(layers)).name).toBe('heron-3');
    // Its own again, though the plain name is free by now.
    await disk.rm(join(out, 'heron'), { recursive: true });
    expect((await place(drawing)).name).toBe('heron-2');
  });

  it('passes over names that others will take, and folders and files that are not of a result', async () => {
    await disk.writeFile(join(out, 'heron'), 'mine');
    await disk.mkdir(join(out, 'heron-2', 'mine'), { recursive: true });
    const reserved = new Set(['heron-3']);
    expect(await placeFor(out, { name: 'heron', of: HERON, reserved })).toEqual({
      name: 'heron-4',
      isUnsure: false,
      taken: 'something else',
    });
  });

  it('refuses a chosen name that is taken, and gives it for the same picture', async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    expect((await place(HERON, 'heron', true)).name).toBe('heron');
    const problem = await problemOf(place({ made: 'layers', picture: 'heron.jpg' }, 'heron', true));
    expect(problem.message).toMatch(/holds the stencil of heron\.jpg.*choose another name/);
  });

  it("puts a person's files back that a killed process had set aside", async () => {
    await writeStencil(out, 'heron', filesSaying('old'));
    await disk.writeFile(join(out, 'heron', 'mine.txt'), 'mine');
    await disk.writeFile(join(out, 'heron', 'stencil.svg'), 'changed');
    const ended = spawnSync(process.execPath, ['-e', '0']).pid;
    const aside = (name: string): string => join(out, `.${name}.earlier-${ended}-0123456789ab`);
    await disk.rename(join(out, 'heron'), aside('heron'));
    await place(HERON);
    expect((await contents(out))['heron/mine.txt']).toBe('mine');
    await disk.rename(join(out, 'heron'), aside('heron'));
    await writeStencil(out, 'heron', filesSaying('new'));
    await clearLeftovers(out, 'egret');
    expect((await contents(out))['heron/mine.txt']).toBeUndefined();
    await clearLeftovers(out);
    expect(await contents(out)).toEqual({
      ...resultSaying('new'),
      'heron/mine.txt': 'mine',
      'heron/stencil-kept.svg': 'changed',
    });
  });
});
