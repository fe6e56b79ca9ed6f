import { spawnSync } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { claimFolder, lostTo, stillHolds } from '../../src/disk/claim.js';

let folder: string;
let path: string;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stencilwright-claim-'));
  path = join(folder, '.stencilwright-batch');
});

afterEach(async () => {
  vi.useRealTimers();
  await rm(folder, { recursive: true, force: true });
});

/** Makes the claim look as if its owner had been silent for two minutes, as on a computer that was asleep. */
async function fallSilent(): Promise<void> {
  const then = new Date(Date.now() - 120_000);
  await utimes(path, then, then);
}

const text = (): Promise<string> => readFile(path, 'utf8');

describe('a claim that was taken over', () => {
  it('is not taken away by its first owner, so that no third batch starts beside the second', async () => {
    const first = await claimFolder(folder);
    await fallSilent();
    const second = await claimFolder(folder);
    await first.release();
    expect(await text()).toBe(second.ticket.text);
    await expect(claimFolder(folder)).rejects.toThrow(/^Another batch is at work in this folder/);
    await second.release();
    expect(await readdir(folder)).toEqual([]);
  });

  it('is noticed by its first owner at the next sign of life, which says so and gives none', async () => {
    vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
    const onLost = vi.fn();
    const first = await claimFolder(folder, onLost);
    vi.advanceTimersByTime(5_000);
    await vi.waitFor(async () => expect((await stat(path)).mtimeMs).toBeGreaterThan(0));
    expect(onLost).not.toHaveBeenCalled();
    await fallSilent();
    const second = await claimFolder(folder);
    await fallSilent();
    const { mtimeMs } = await stat(path);
    vi.advanceTimersByTime(0);
    expect(await stillHolds(first.ticket)).toBe(false);
    expect(await stillHolds(second.ticket)).toBe(true);
    expect((await stat(path)).mtimeMs).toBe(mtimeMs);
    vi.advanceTimersByTime(5_000);
    await vi.waitFor(() => expect(onLost).toHaveBeenCalledTimes(1));
    expect(await lostTo(first.ticket)).toMatchObject({
      what: expect.stringMatching(
        new RegExp(`has taken over its folder \\(process ${process.pid} on ${hostname()}\\)$`),
      ) as string,
      where: folder,
    });
    await second.release();
  });

  it('is held again by one that wakes when nobody else is at work any more', async () => {
    const first = await claimFolder(folder);
    await fallSilent();
    await (await claimFolder(folder)).release();
    expect(await stillHolds(first.ticket)).toBe(true);
    await expect(claimFolder(folder)).rejects.toThrow(/^Another batch/);
    await first.release();
    expect(await readdir(folder)).toEqual([]);
  });
});

describe('a dead claim', () => {
  it('goes to one of many that want it', async () => {
    const { pid } = spawnSync(process.execPath, ['-e', '0']);
    await writeFile(path, JSON.stringify({ host: hostname(), pid }));
    const all = await Promise.allSettled(Array.from({ length: 12 }, () => claimFolder(folder)));
    const got = all.flatMap((each) => (each.status === 'fulfilled' ? [each.value] : []));
    const holding: string[] = [];
    for (const { ticket } of got) if (await stillHolds(ticket)) holding.push(ticket.text);
    expect(got).toHaveLength(1);
    expect(holding).toEqual([await text()]);
    await got[0].release();
    expect(await readdir(folder)).toEqual([]);
  });
});
