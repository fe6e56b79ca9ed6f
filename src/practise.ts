import type { Job } from './job.js';
import { practiceStrip } from './practice.js';
import { writeResult, type Writing } from './sheets/result.js';

/** The folder that the practice strip's files go in. */
const NAME = 'practice';

/** The practice strip's files, in memory: practice.pdf to print, practice.svg for a drawing program. */
export async function makePractice(options: {
  readonly paper: Job['paper'];
  /** Chooses the paper where `paper` does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
}): Promise<ReadonlyMap<string, string | Uint8Array>> {
  const { practicePdf, practiceSvg } = await import('./sheets/practice.js');
  const strip = practiceStrip();
  return new Map<string, string | Uint8Array>([
    ['practice.pdf', await practicePdf(strip, options.paper, options.locale)],
    ['practice.svg', practiceSvg(strip)],
  ]);
}

/**
 * Writes the practice strip's files to a folder of their own in `outDir`, whole or not at all.
 *
 * @returns the folder
 * @throws Problem when it can't be written
 */
export async function writePractice(
  made: ReadonlyMap<string, string | Uint8Array>,
  outDir: string,
  how: Writing = {},
): Promise<string> {
  return writeResult(
    outDir,
    NAME,
    [...made].map(([name, bytes]) => ({ name, bytes })),
    how,
  );
}
