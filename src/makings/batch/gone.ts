import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { readRecord } from '../../disk/made-from.js';
import type { Gone, SummaryRow } from '../../output/report/row.js';

/**
 * Finds the stencils that earlier batches left in an output folder, and of whose pictures this one knows nothing.
 *
 * @param rows what became of the pictures
 * @param options `below`: in the folders below as well
 */
export async function findGone(
  outDir: string,
  rows: readonly SummaryRow[],
  { below }: { readonly below: boolean },
): Promise<readonly Gone[]> {
  const ours = new Set(rows.map((row) => (row.fate === 'failed' ? '' : row.folder)));
  const failed = new Set(
    rows.filter(({ fate }) => fate === 'failed').map(({ picture }) => picture),
  );
  const gone: Gone[] = [];
  const look = async (way: string): Promise<void> => {
    const entries = await readdir(join(outDir, way), { withFileTypes: true });
    const folders = entries.filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'));
    for (const { name } of folders.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const folder = way + name;
      const record = await readRecord(join(outDir, folder)).catch(() => undefined);
      if (record === undefined) {
        if (below) await look(`${folder}/`);
        continue;
      }
      const { picture, fingerprint } = record;
      // What was not made by a batch does not follow from a folder of pictures.
      if (picture === undefined || fingerprint === undefined || ours.has(folder)) continue;
      if (!failed.has(way + picture)) gone.push({ folder, picture });
    }
  };
  await look('');
  return gone;
}
