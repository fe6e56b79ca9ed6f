import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildPage } from '../../server/page/build.mjs';
import { createApp, type AppOptions } from '../../server/app.js';

/** An app of the server with the page built from its sources, and what removes both. */
export async function startApp(options: Omit<AppOptions, 'pageDir'> = {}): Promise<{
  readonly app: ReturnType<typeof createApp>;
  readonly stop: () => Promise<void>;
}> {
  const pageDir = mkdtempSync(join(tmpdir(), 'stencilwright-page-'));
  await buildPage(pageDir);
  const app = createApp({ ...options, pageDir });
  return {
    app,
    stop: async () => {
      await app.close();
      rmSync(pageDir, { recursive: true, force: true });
    },
  };
}
