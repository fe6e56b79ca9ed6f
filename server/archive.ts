import { strToU8, zipSync } from 'fflate';

/** The first moment that the format can state: the same files give the same archive at any time. */
const NO_TIME = '1980-01-01T00:00:00';

/** A folder of files as a ZIP archive. */
export function archive(
  folder: string,
  files: ReadonlyMap<string, string | Uint8Array>,
): Uint8Array {
  const entries = [...files].map(([name, bytes]) => [
    `${folder}/${name}`,
    typeof bytes === 'string' ? strToU8(bytes) : bytes,
  ]);
  return zipSync(Object.fromEntries(entries) as Record<string, Uint8Array>, { mtime: NO_TIME });
}
