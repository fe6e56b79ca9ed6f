import { randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { link, rename, stat, unlink, utimes } from 'node:fs/promises';
import { hostname, uptime } from 'node:os';
import { dirname, join } from 'node:path';
import { pid } from 'node:process';
import { Problem } from '../settings/problem.js';
import { hiddenName, isRunning } from './hidden.js';
import { ifThere } from './write.js';

/** A claim's file and its text, by which its owner knows it again; plain data, so that a thread can be handed it. */
export interface Ticket {
  readonly path: string;
  /** What the claim says: no two say the same. */
  readonly text: string;
}

/** An output folder that no other batch may work in until it is released, save after a long silence. */
export interface Claim {
  readonly ticket: Ticket;
  /** Gives the folder up, unless another batch has taken it over. */
  release(): Promise<void>;
}

interface Owner {
  readonly host: string;
  readonly pid: number;
}

const FILE = '.stencilwright-batch';
/** A twelfth of the patience: a busy disk may swallow eleven signs in a row before the owner counts as gone. */
const SIGN_OF_LIFE_MS = 5_000;
/**
 * Without a sign of life for so long, an owner that can't be asked (on another computer) is gone: a minute's wait,
 * against two batches in one folder.
 */
const PATIENCE_MS = 60_000;
/** An owner writes its name at once, in milliseconds: a claim that is nameless for a second was cut off. */
const NAMELESS_MS = 1_000;
/** A try fails only when another batch comes or goes in the same instant: five in a row mean that one is at work. */
const TRIES = 5;

/**
 * Claims a folder, which must be there. The claim of a batch that was killed, or that lost its power, is taken over.
 *
 * @param onLost called when the claim turns out to be another's: this batch gave no sign of life for too long, as on
 *   a computer that was asleep
 * @throws Problem when another batch is at work there
 * @throws Error as the disk answers
 */
export async function claimFolder(
  folder: string,
  onLost: () => void = () => undefined,
): Promise<Claim> {
  const path = join(folder, FILE);
  const owner: Owner = { host: hostname(), pid };
  const ticket = { path, text: JSON.stringify({ ...owner, mark: randomBytes(8).toString('hex') }) };
  for (let tries = 0; tries < TRIES; tries++) {
    if (take(ticket)) return hold(ticket, onLost);
    const found = await ownerOf(path);
    if (found === undefined) continue;
    if (!isGone(found)) throw taken(folder, found.owner);
    await remove({ path, text: found.text });
  }
  throw taken(folder, undefined);
}

/** In one go: a process that is killed on the way leaves a claim without a name at worst. */
function take({ path, text }: Ticket): boolean {
  try {
    writeFileSync(path, text, { flag: 'wx' });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw error;
  }
}

/**
 * Whether a claim still holds. One that is gone is set up again: nobody else has the folder then.
 *
 * @throws Error as the disk answers
 */
export async function stillHolds(ticket: Ticket): Promise<boolean> {
  const text = await textAt(ticket.path);
  if (text !== undefined) return text === ticket.text;
  return take(ticket) || (await textAt(ticket.path)) === ticket.text;
}

function textAt(path: string): Promise<string | undefined> {
  return ifThere(() => Promise.resolve(readFileSync(path, 'utf8')));
}

function hold(ticket: Ticket, onLost: () => void): Claim {
  const giveSign = async (): Promise<void> => {
    if (!(await stillHolds(ticket))) {
      clearInterval(signs);
      onLost();
      return;
    }
    const now = new Date();
    await utimes(ticket.path, now, now);
  };
  let last: Promise<void> = Promise.resolve();
  const signs = setInterval(() => {
    // A disk that takes no sign of life now takes no result either: that is told where one is written.
    last = giveSign().catch(() => undefined);
  }, SIGN_OF_LIFE_MS);
  signs.unref();
  return {
    ticket,
    release: async () => {
      clearInterval(signs);
      await last;
      try {
        await remove(ticket);
      } catch {
        // On a disk that can't be written any more it stays; the next batch sees that its owner is gone.
      }
    },
  };
}

interface ClaimOnDisk {
  readonly text: string;
  readonly owner: Owner | undefined;
  readonly lastSignMs: number;
}

async function ownerOf(path: string): Promise<ClaimOnDisk | undefined> {
  // In this order: the age is never that of an earlier claim.
  const text = await textAt(path);
  const about = await ifThere(() => stat(path));
  if (text === undefined || !about) return undefined;
  return { text, owner: parse(text), lastSignMs: about.mtimeMs };
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

function isGone({ owner, lastSignMs }: ClaimOnDisk): boolean {
  const silentMs = Date.now() - lastSignMs;
  if (owner === undefined) return silentMs > NAMELESS_MS;
  if (silentMs > PATIENCE_MS) return true;
  if (owner.host !== hostname()) return false;
  return !isRunning(owner.pid) || silentMs > uptime() * 1000;
}

/**
 * Takes a claim away that says this, and no other: a dead one that another batch was quicker to replace by its own, or
 * one's own that was taken over. Who takes it away looks at what it has in hand, so that nothing can come in between.
 */
async function remove({ path, text }: Ticket): Promise<void> {
  if ((await textAt(path)) !== text) return;
  const aside = join(dirname(path), hiddenName(FILE, 'partial'));
  if ((await ifThere(() => rename(path, aside).then(() => true))) === undefined) return;
  if (readFileSync(aside, 'utf8') !== text) await putBack(aside, path);
  await ifThere(() => unlink(aside));
}

/**
 * Where a third has claimed the folder meanwhile, that stays: whose claim this was finds out by its next sign of life.
 */
async function putBack(aside: string, path: string): Promise<void> {
  try {
    await link(aside, path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST') return;
    // Some file systems know no second name.
    await rename(aside, path);
  }
}

function taken(folder: string, owner: Owner | undefined): Problem {
  return new Problem(
    `Another batch is at work in this folder${named(owner)}`,
    folder,
    'Wait until it is done, or choose another output folder',
  );
}

/**
 * What a batch says that has lost its claim.
 *
 * @throws Error as the disk answers
 */
export async function lostTo({ path }: Ticket): Promise<Problem> {
  const found = await ownerOf(path);
  return new Problem(
    `This batch gave no sign of life for a while, as on a computer that was asleep, and another one has taken over its folder${named(found?.owner)}`,
    dirname(path),
    'Let the other one finish; what was made by then stays',
  );
}

function named(owner: Owner | undefined): string {
  return owner ? ` (process ${owner.pid} on ${owner.host})` : '';
}
