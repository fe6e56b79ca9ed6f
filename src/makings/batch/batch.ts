import { basename, join } from 'node:path';
import { claimFolder, lostTo, stillHolds, type Ticket } from '../../disk/claim.js';
import { findGone } from './gone.js';
import { failed, type BatchItem } from './one.js';
import { findPictures, type ListedPicture } from './pictures.js';
import { openPool, type Pool } from './pool.js';
import type { Gone, SummaryRow } from '../../output/report/row.js';
import { completeJob, overlay, type Job, type JobInput } from '../../settings/job.js';
import { type OutputName, usualOutputs } from '../stencil.js';
import { Problem } from '../../settings/problem.js';
import { durableDisk } from '../../disk/durable.js';
import { paperFor } from '../../output/pdf/paper.js';
import { nameKey } from '../../disk/place.js';
import { clearLeftovers } from '../../disk/leftovers.js';
import { readSettingsFile } from '../../disk/settings-file.js';
import { summaryCsv } from '../../output/report/summary-csv.js';
import { summaryHtml } from '../../output/html/summary.js';
import { attempt, openFolder } from '../../disk/write.js';
import { writePage } from '../../disk/page-files.js';

export type { FailedRow, Figures, Gone, MadeRow, SummaryRow } from '../../output/report/row.js';

export interface BatchOptions {
  /** The settings of every picture that has none of its own, and what those leave open. */
  readonly job?: JobInput;
  /** The pictures in the folders below as well; their stencils go in folders of the same names. */
  readonly below?: boolean;
  /** What to write of each stencil; the usual unless set. */
  readonly outputs?: readonly OutputName[];
  /** How many stencils are made at the same time; as many as the machine has cores unless set. */
  readonly threads?: number;
  /** The program's own version: another one makes every stencil anew. */
  readonly version: string;
  /** Chooses the templates' paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale?: string;
  /** Called once, when the pictures have been counted. */
  readonly onBegin?: (pictures: number) => void;
  /** Called when something has become of a picture, in the order in which that happens. */
  readonly onRow?: (row: SummaryRow) => void;
  /** Stops the batch: what is being written is finished, the rest is left for the next time. */
  readonly signal?: AbortSignal;
}

/** What became of a folder of pictures. */
export interface Batch {
  /** In the order of the pictures in the folder. */
  readonly rows: readonly SummaryRow[];
  /** The files of the summary; none when the batch was stopped. */
  readonly summary: readonly string[];
  /** Stencils of an earlier batch in the output folder whose pictures are gone. */
  readonly gone: readonly Gone[];
  /** Files of the summary's usual names stood there that are not an earlier summary as it was written. */
  readonly isRenamed?: boolean;
  /** Why there is no summary: it could not be written, or another batch has taken over the folder. */
  readonly unwritten?: Problem;
  readonly stopped: boolean;
}

/** The summary of a batch, in its output folder: summary.html and summary.csv. */
const SUMMARY = 'summary';

/**
 * Makes a stencil of every picture in a folder, and a summary of them all. A picture that fails does not stop the
 * others. What stands in the output folder already, made of the same picture by the same settings, is kept: a batch
 * that was stopped goes on where it was. The same pictures and settings give the same bytes.
 *
 * @param folder where the pictures are; a file of settings beside one, nana.json for nana.jpg, goes before `job`
 * @param outDir where the stencils go, each in a folder of its own
 * @throws Problem when the folder can't be read or holds no picture, when a setting is wrong, when the output folder
 *   can't be written or another batch is at work in it
 */
export async function makeBatch(
  folder: string,
  outDir: string,
  options: BatchOptions,
): Promise<Batch> {
  // A wrong setting is told before anything is made.
  completeJob(options.job ?? {});
  const found = await findPictures(folder, { below: options.below ?? false, except: outDir });
  options.onBegin?.(found.length);
  await openFolder(outDir);
  const lost = new AbortController();
  const claim = await attempt(outDir, () => claimFolder(outDir, () => lost.abort()));
  try {
    const into = new Set(found.map((each) => join(outDir, each.into)));
    for (const each of into) await attempt(each, () => clearLeftovers(each));
    return await makeFound(found, outDir, claim.ticket, lost.signal, options);
  } finally {
    await claim.release();
  }
}

async function makeFound(
  found: readonly ListedPicture[],
  outDir: string,
  claim: Ticket,
  lost: AbortSignal,
  options: BatchOptions,
): Promise<Batch> {
  const pool = await openPool(options.threads);
  const stop = (): void => void pool.stop();
  const signals = [lost, ...(options.signal ? [options.signal] : [])];
  for (const signal of signals) signal.addEventListener('abort', stop);
  if (signals.some(({ aborted }) => aborted)) stop();
  const taken = namesIn(found);
  try {
    const rows = await Promise.all(
      found.map(async (each) => {
        const row = await makeRow(each, taken, outDir, claim, options, pool);
        if (row) options.onRow?.(row);
        return row;
      }),
    );
    const settled = rows.filter((row) => row !== undefined);
    const stopped = { rows: settled, gone: [], summary: [], stopped: true };
    if (options.signal?.aborted) return stopped;
    // Threads look themselves before they write, and leave it then.
    const isLost =
      settled.length < rows.length || !(await attempt(outDir, () => stillHolds(claim)));
    if (isLost) return { ...stopped, unwritten: await attempt(outDir, () => lostTo(claim)) };
    const gone = await findGone(outDir, settled, { below: options.below ?? false });
    return { rows: settled, gone, stopped: false, ...(await writeSummary(settled, gone, outDir)) };
  } finally {
    for (const signal of signals) signal.removeEventListener('abort', stop);
    await pool.close();
  }
}

/** What the stencils in each folder are to be called, as `nameKey` writes it. */
type NamesInUse = ReadonlyMap<string, readonly string[]>;

function namesIn(found: readonly ListedPicture[]): NamesInUse {
  const taken = new Map<string, string[]>();
  for (const { into, name } of found) {
    const names = taken.get(into) ?? [];
    names.push(nameKey(name));
    taken.set(into, names);
  }
  return taken;
}

async function makeRow(
  found: ListedPicture,
  taken: NamesInUse,
  outDir: string,
  claim: Ticket,
  options: BatchOptions,
  pool: Pool,
): Promise<SummaryRow | undefined> {
  try {
    return await pool.run(await orderFor(found, taken, outDir, claim, options));
  } catch (error) {
    return failed(found, error);
  }
}

async function orderFor(
  { path, shown, into, name, jobFile }: ListedPicture,
  taken: NamesInUse,
  outDir: string,
  claim: Ticket,
  { job: common = {}, outputs = usualOutputs, version, locale }: BatchOptions,
): Promise<BatchItem> {
  const job = await jobFor(common, jobFile, into);
  // The paper is settled here, so that the same job gives the same template wherever it is made.
  const paper = paperFor(job.paper, locale ?? Intl.DateTimeFormat().resolvedOptions().locale);
  return {
    picture: path,
    shown,
    name,
    reserved: (taken.get(into) ?? []).filter((other) => other.startsWith(`${nameKey(name)}-`)),
    outDir: join(outDir, into),
    claim,
    into,
    job: { ...job, paper },
    outputs,
    version,
  };
}

async function jobFor(common: JobInput, jobFile: string | undefined, into: string): Promise<Job> {
  if (jobFile === undefined) return completeJob(common);
  const where = join(into, basename(jobFile));
  const own = await readSettingsFile(jobFile, where);
  return completeJob(overlay(common, own), { where, spell: (setting) => setting });
}

async function writeSummary(
  rows: readonly SummaryRow[],
  gone: readonly Gone[],
  outDir: string,
): Promise<Pick<Batch, 'summary' | 'isRenamed' | 'unwritten'>> {
  const page = {
    name: SUMMARY,
    of: { made: 'summary' },
    beside: { ending: '.csv', bytes: summaryCsv(rows, gone) },
    html: summaryHtml(rows, gone),
  } as const;
  try {
    const { files, isRenamed } = await writePage(outDir, page, durableDisk);
    return { summary: files, isRenamed };
  } catch (error) {
    // The stencils stand all the same.
    if (error instanceof Problem) return { summary: [], unwritten: error };
    throw error;
  }
}
