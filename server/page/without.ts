import type { JobInput } from '../../src/index.js';

/** An object without some of its entries. */
export function without<T extends object, K extends keyof T>(
  from: T,
  ...names: readonly K[]
): Omit<T, K> {
  const kept = Object.entries(from).filter(([name]) => !names.includes(name as K));
  return Object.fromEntries(kept) as Omit<T, K>;
}

/** What a person draws or edits on a picture. */
type Lists = Pick<
  JobInput,
  'marks' | 'finer' | 'bridgeFree' | 'bridgeEdits' | 'regionEdits' | 'strokeEdits'
>;

/** The job with another such list; an empty one is as if nothing had been drawn. */
export function withList<N extends keyof Lists>(
  job: JobInput,
  name: N,
  list: NonNullable<Lists[N]>,
): JobInput {
  const rest = without(job, name);
  return list.length === 0 ? rest : { ...rest, [name]: list };
}
