import { readFileSync } from 'node:fs';

/** The version, from the nearest package.json above this file: one above cli, two above dist/cli. */
export function version(): string {
  for (const up of ['..', '../..']) {
    const found = readVersion(new URL(`${up}/package.json`, import.meta.url));
    if (found !== undefined) return found;
  }
  throw new Error('package.json is missing');
}

function readVersion(url: URL): string | undefined {
  try {
    return (JSON.parse(readFileSync(url, 'utf8')) as { version: string }).version;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}
