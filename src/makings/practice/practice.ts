import type { Job } from '../../settings/job.js';
import { marksOf, type Provenance } from '../../disk/made-from.js';
import { placeFor } from '../../disk/place.js';
import { writeResult, type WriteOptions } from '../../disk/result.js';
import { practiceStrip } from './practice-strip.js';

/** The folder that the practice strip's files go in. */
const NAME = 'practice';

const OF: Provenance = { made: 'practice' };

/**
 * The practice strip's files, in memory: practice.pdf to print, practice.svg for a drawing program, glue.pdf
 * to try lines of glue, and report.json,
 * which says what they are.
 */
export async function makePractice(options: {
  readonly paper: Job['paper'];
  /** Chooses the paper where `paper` does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
  /** What it is called; "practice" unless given. */
  readonly name?: string;
}): Promise<ReadonlyMap<string, string | Uint8Array>> {
  const { practicePdf, practiceSvg } = await import('../../output/pdf/practice.js');
  const { gluePracticePdf } = await import('../../output/pdf/glue/practice.js');
  const strip = practiceStrip();
  const files = new Map<string, string | Uint8Array>([
    ['practice.pdf', await practicePdf(strip, options.paper, options.locale)],
    ['practice.svg', practiceSvg(strip)],
    ['glue.pdf', await gluePracticePdf(options.paper, options.locale)],
  ]);
  const report = { name: options.name ?? NAME, madeFrom: { ...OF, files: marksOf(files) } };
  return files.set('report.json', `${JSON.stringify(report, null, 2)}\n`);
}

/**
 * Writes the practice strip's files to a folder of their own in `outDir`, whole or not at all: an earlier strip's, or a
 * new one where that is another's.
 *
 * @param how with a name that was chosen where it is not to be "practice"
 * @returns the folder
 * @throws Problem when it can't be written, and when a chosen name is another's
 */
export async function writePractice(
  made: ReadonlyMap<string, string | Uint8Array>,
  outDir: string,
  how: WriteOptions = {},
): Promise<string> {
  const isChosen = how.name !== undefined;
  const { name } = await placeFor(outDir, { name: how.name ?? NAME, isChosen, of: OF });
  return writeResult(
    outDir,
    name,
    [...made].map(([name, bytes]) => ({ name, bytes })),
    how,
  );
}
