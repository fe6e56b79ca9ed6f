/** The states before the present one, it, and those that were undone. */
export interface History<T> {
  readonly past: readonly T[];
  readonly now: T;
  readonly future: readonly T[];
}

/** Steps that can be taken back: more than an evening's work, and little memory. */
const MOST = 500;

export const begin = <T>(now: T): History<T> => ({ past: [], now, future: [] });

/** Adds a state; what was undone can't be redone then. A state that equals the present one adds none. */
export function step<T>(history: History<T>, next: T): History<T> {
  if (JSON.stringify(next) === JSON.stringify(history.now)) return history;
  return { past: [...history.past, history.now].slice(-MOST), now: next, future: [] };
}

/** Replaces the present state without a step of its own. */
export function swapNow<T>({ past }: History<T>, now: T): History<T> {
  return { past, now, future: [] };
}

export function undo<T>({ past, now, future }: History<T>): History<T> {
  if (past.length === 0) return { past, now, future };
  return { past: past.slice(0, -1), now: past[past.length - 1], future: [now, ...future] };
}

export function redo<T>({ past, now, future }: History<T>): History<T> {
  if (future.length === 0) return { past, now, future };
  return { past: [...past, now], now: future[0], future: future.slice(1) };
}
