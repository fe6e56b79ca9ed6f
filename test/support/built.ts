import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const home = fileURLToPath(new URL('../../', import.meta.url));

const made = statSync(join(home, 'dist/cli/main.js'), { throwIfNoEntry: false })?.mtimeMs ?? 0;

/** Whether `dist` is newer than every source: what is built is then the same, and starts sooner. */
export const isBuilt = ['src', 'cli', 'server'].every((folder) =>
  readdirSync(join(home, folder), { recursive: true, encoding: 'utf8' }).every(
    (file) => statSync(join(home, folder, file)).mtimeMs <= made,
  ),
);
