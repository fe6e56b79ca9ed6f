import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildPage } from '../../server/page/build.mjs';
import type { AppOptions, createApp as Create } from '../../server/app.js';
import { home, isBuilt } from './built.js';

/** An app of the server with the page built from its sources, and what removes both. */
export async function startApp(options: Omit<AppOptions, 'pageDir'> = {}): Promise<{
  readonly app: ReturnType<typeof Create>;
  readonly stop: () => Promise<void>;
}> {
  const pageDir = mkdtempSync(join(tmpdir(), 'stencilwright-page-'));
  await buildPage(pageDir);
  // The threads of the sources translate them all anew, each for itself.
  const { createApp } = (await import(
    isBuilt ? join(home, 'dist/server/app.js') : '../../server/app.js'
  )) as { createApp: typeof Create };
  const app = createApp({ ...options, pageDir });
  return {
    app,
    stop: async () => {
      await app.close();
      rmSync(pageDir, { recursive: true, force: true });
    },
  };
}
