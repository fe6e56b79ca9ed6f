import { createHash, randomBytes } from 'node:crypto';
import { hostname } from 'node:os';
import { kill, pid } from 'node:process';

/** A hidden folder beside a result: the new one before it is whole, or the earlier one until it is replaced. */
export type HiddenKind = 'partial' | 'earlier';

/** What a hidden name tells: what it is, and which process of which machine made it. */
export interface Hidden {
  /** The name that it was given for, or its beginning. */
  readonly name: string;
  readonly kind: HiddenKind;
  /** The machine by its `machine()`; names that earlier versions gave have none. */
  readonly machine: string | undefined;
  readonly pid: number;
}

/** Characters that a hidden name keeps of a name: up to 160 bytes, which leaves room for the rest. */
const KEPT = 40;

/**
 * A name that sorts out of sight, that nothing else has, and that tells which process it belongs to. A long name is
 * cut: file systems end names at 255 bytes.
 */
export function hiddenName(name: string, kind: HiddenKind): string {
  return `.${name.slice(0, KEPT)}.${kind}-${machine()}-${pid}-${randomBytes(6).toString('hex')}`;
}

/** What a name says that `hiddenName` gave; undefined for any other name. */
export function hiddenKind(name: string): Hidden | undefined {
  const [, given, kind, there, owner] =
    /^\.(.*)\.(partial|earlier)-(?:([0-9a-f]{8})-)?(\d+)-[0-9a-f]{12}$/s.exec(name) ?? [];
  return kind === undefined
    ? undefined
    : { name: given, kind: kind as HiddenKind, machine: there, pid: Number(owner) };
}

/** Tells machines apart that write into one folder: the numbers of their processes mean nothing to each other. */
function machine(): string {
  return createHash('sha256').update(hostname()).digest('hex').slice(0, 8);
}

/** Nothing that is being written lies untouched for an hour: a result takes seconds (docs/measurements.md). */
const STALE_MS = 3_600_000;

/**
 * Whether nobody works on a hidden folder any more: its process has ended, or it has lain untouched for too long.
 *
 * @param lastTouchedMs when it was last changed, in milliseconds since 1970
 */
export function isAbandoned(hidden: Hidden, lastTouchedMs: number): boolean {
  if (hidden.machine === undefined || hidden.machine === machine()) return !isRunning(hidden.pid);
  return Date.now() - lastTouchedMs > STALE_MS;
}

/** Whether a process of that number runs on this machine. */
export function isRunning(process: number): boolean {
  try {
    kill(process, 0);
    return true;
  } catch (error) {
    // Another person's process may not be asked, but it is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
