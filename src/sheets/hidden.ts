import { randomBytes } from 'node:crypto';
import { kill, pid } from 'node:process';

/** A hidden folder beside a result: the new one before it is whole, or the earlier one until it is replaced. */
export type HiddenKind = 'partial' | 'earlier';

/**
 * A name that sorts out of sight, that nothing else has, and that tells which process it belongs to. A long name is
 * cut: file systems end names at 255 bytes.
 */
export function hiddenName(name: string, kind: HiddenKind): string {
  return `.${name.slice(0, 40)}.${kind}-${pid}-${randomBytes(6).toString('hex')}`;
}

/** What a name was given for by `hiddenName`, if it was. */
export function hiddenKind(
  name: string,
): { readonly kind: HiddenKind; readonly pid: number } | undefined {
  const [, kind, owner] = /^\..*\.(partial|earlier)-(\d+)-[0-9a-f]{12}$/s.exec(name) ?? [];
  return kind === undefined ? undefined : { kind: kind as HiddenKind, pid: Number(owner) };
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
