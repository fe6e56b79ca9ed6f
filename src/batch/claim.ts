import { randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { rename, stat, unlink, utimes } from 'node:fs/promises';
import { hostname, uptime } from 'node:os';
import { join } from 'node:path';
import { pid } from 'node:process';
import { Problem } from '../problem.js';
import { isRunning } from '../sheets/hidden.js';
import { ifThere } from '../sheets/write.js';

/** An output folder that no other batch may work in until it is released. */
export interface Claim {
  release(): Promise<void>;
}

interface Owner {
  readonly host: string;
  readonly pid: number;
}

const FILE = '.stencilwright-batch';
const SIGN_OF_LIFE_MS = 5_000;
/** Without a sign of life for so long, an owner that can't be asked is gone. */
const PATIENCE_MS = 60_000;
/** An owner writes its name at once. */
const NAMELESS_MS = 1_000;
const TRIES = 5;

/**
 * Claims a folder, which must be there. The claim of a batch that was killed, or that lost its power, is taken over.
 *
 * @throws Problem when another batch is at work there
 * @throws Error as the disk answers
 */
export async function claimFolder(folder: string): Promise<Claim> {
  const path = join(folder, FILE);
  for (let tries = 0; tries < TRIES; tries++) {
    if (take(path)) return hold(path);
    const found = await ownerOf(path);
    if (found === undefined) continue;
    if (!isGone(found)) throw taken(folder, found.owner);
    await clear(path, found.text);
  }
  throw taken(folder, undefined);
}

/** In one go: a process that is killed on the way leaves a claim without a name at worst. */
function take(path: string): boolean {
  try {
    const owner: Owner = { host: hostname(), pid };
    writeFileSync(path, JSON.stringify(owner), { flag: 'wx' });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

function hold(path: string): Claim {
  const signs = setInterval(() => {
    const now = new Date();
    // A disk that takes no sign of life now takes no result either: that is told where one is written.
    utimes(path, now, now).catch(() => undefined);
  }, SIGN_OF_LIFE_MS);
  signs.unref();
  return {
    release: async () => {
      clearInterval(signs);
      try {
        await unlink(path);
      } catch {
        // On a disk that can't be written any more it stays; the next batch sees that its owner is gone.
      }
    },
  };
}

interface Found {
  readonly text: string;
  readonly owner: Owner | undefined;
  readonly lastSignMs: number;
}

async function ownerOf(path: string): Promise<Found | undefined> {
  const about = await ifThere(() => stat(path));
  if (!about) return undefined;
  const text = await ifThere(() => Promise.resolve(readFileSync(path, 'utf8')));
  return text === undefined ? undefined : { text, owner: parse(text), lastSignMs: about.mtimeMs };
}

function parse(text: string): Owner | undefined {
  try {
    const { host, pid: number } = JSON.parse(text) as Partial<Owner>;
    return typeof host === 'string' && typeof number === 'number'
      ? { host, pid: number }
      : undefined;
  } catch {
    return undefined;
  }
}

function isGone({ owner, lastSignMs }: Found): boolean {
  const silentMs = Date.now() - lastSignMs;
  if (owner === undefined) return silentMs > NAMELESS_MS;
  if (silentMs > PATIENCE_MS) return true;
  if (owner.host !== hostname()) return false;
  return !isRunning(owner.pid) || silentMs > uptime() * 1000;
}

/** Takes a dead claim away, and only that: another batch may have been quicker and claimed the folder itself. */
async function clear(path: string, dead: string): Promise<void> {
  const aside = `${path}-${randomBytes(6).toString('hex')}`;
  if ((await ifThere(() => rename(path, aside).then(() => true))) === undefined) return;
  if (readFileSync(aside, 'utf8') === dead) await unlink(aside);
  else await rename(aside, path);
}

function taken(folder: string, owner: Owner | undefined): Problem {
  const who = owner ? ` (process ${owner.pid} on ${owner.host})` : '';
  return new Problem(
    `Another batch is at work in this folder${who}`,
    folder,
    'Wait until it is done, or choose another output folder',
  );
}
