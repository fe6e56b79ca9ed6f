import type { Fonts } from './fonts.js';
import type { ServerLimits } from './limits.js';
import type { Pictures } from './pictures.js';
import type { WorkerPool } from './worker-pool.js';

/** What the routes work with. */
export interface RouteServices {
  readonly fonts: Fonts;
  readonly workerPool: WorkerPool;
  readonly pictures: Pictures;
  readonly limits: ServerLimits;
  readonly locale: string | undefined;
}
