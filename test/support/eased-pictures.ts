import { completeJob, createPipeline, type StencilValues } from '../../src/index.js';

/** What the stages up to the eased outlines make of a picture. */
export type EasedPicture = Pick<StencilValues, 'read' | 'role' | 'widen' | 'trace' | 'ease'>;

const known = new Map<string, Promise<EasedPicture>>();

/** A picture carried as far as its eased outlines by the default settings: once for all test files of a worker. */
export function easedPicture(file: string): Promise<EasedPicture> {
  const wanted = ['read', 'role', 'widen', 'trace', 'ease'] as const;
  const eased = known.get(file) ?? createPipeline().runFor(wanted, file, completeJob({}));
  known.set(file, eased);
  return eased;
}
