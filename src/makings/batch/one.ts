import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Job } from '../../settings/job.js';
import {
  makeFor,
  makeStencil,
  pictureAt,
  withEarlier,
  writeMade,
  type OutputName,
} from '../stencil.js';
import { Problem } from '../../settings/problem.js';
import { sha256, type Provenance } from '../../disk/made-from.js';
import {
  keptInWords,
  placeFor,
  takenInWords,
  type ResultFolder,
  type FolderRequest,
} from '../../disk/place.js';
import {
  figuresIn,
  type FailedRow,
  type MadeRow,
  type StoredReport,
  type SummaryRow,
} from '../../output/report/row.js';
import type { KeptFile } from '../../disk/settle.js';
import { smallPrint } from '../../output/images/small-print.js';
import { attempt } from '../../disk/write.js';
import { stillHolds, type Ticket } from '../../disk/claim.js';
import { throughGate, type Gate } from './gate.js';

/** One picture of a batch: all that its stencil follows from, and where that goes. */
export interface BatchItem {
  readonly picture: string;
  /** What the person knows the picture by. */
  readonly shown: string;
  /** What its stencil is called, where nothing else has that name. */
  readonly name: string;
  /** Names after its own that are other pictures'; see `nameKey`. */
  readonly reserved: readonly string[];
  readonly outDir: string;
  /** The batch's claim to its output folder. */
  readonly claim: Ticket;
  /** The way of `outDir` from the batch's output folder. */
  readonly into: string;
  readonly job: Job;
  readonly outputs: readonly OutputName[];
  /** The program's own version: another one makes anew. */
  readonly version: string;
}

/**
 * Makes the stencil of one picture, unless it stands there already, made from the same bytes by the same settings.
 *
 * @returns what became of it; undefined when the batch was stopped, or lost its claim, before it was written
 */
export async function makeOne(item: BatchItem, gate: Gate): Promise<SummaryRow | undefined> {
  try {
    const of = await pictureAt(item.picture);
    const wish = { name: item.name, of, reserved: new Set(item.reserved) };
    const place = await placeFor(item.outDir, wish);
    return (await standing(item, of, place)) ?? (await makeAnew(item, wish, gate));
  } catch (error) {
    return failed({ path: item.picture, shown: item.shown }, error);
  }
}

/**
 * The row of a picture that could not be made.
 *
 * @param way of the picture, from the place where the person stands and from the batch's folder
 */
export function failed(way: { path: string; shown: string }, error: unknown): FailedRow {
  const { path, shown } = way;
  const fate = { fate: 'failed', picture: shown } as const;
  if (error instanceof Problem) {
    const { what, where, remedy } = error;
    // As it is called on the page, wherever the folder lies.
    return { ...fate, what, where: where === path ? shown : where, remedy };
  }
  const said = error instanceof Error ? error.message.split('\n')[0] : String(error);
  return {
    ...fate,
    what: `This is a fault of stencilwright, not of yours: ${said}`,
    where: shown,
    remedy: 'Make this picture alone with STENCILWRIGHT_DEBUG=1 to get the details for a report',
  };
}

/** Undefined for a file that can't be read: why, is told when it is opened as a picture. */
function fingerprintOf(item: BatchItem, of: Provenance, name: string): string | undefined {
  if (of.sha256 === undefined) return undefined;
  const { job, outputs, version } = item;
  const settings = JSON.stringify({ name, job, outputs, version });
  return sha256(of.sha256 + settings);
}

async function makeAnew(
  item: BatchItem,
  wish: FolderRequest,
  gate: Gate,
): Promise<MadeRow | undefined> {
  const { picture, job, outputs, outDir, claim } = item;
  const { made, place } = await makeFor(outDir, wish, ({ name, earlier }) => {
    const fingerprint = fingerprintOf(item, wish.of, name);
    return makeStencil(picture, job, {
      name,
      outputs: withEarlier(outputs, earlier),
      timeless: true,
      of: wish.of,
      ...(fingerprint !== undefined && { fingerprint }),
    });
  });
  const print = await printOf(made.files.get(PREVIEW));
  const notes = notesOf(item, place);
  const onKept = (kept: KeptFile): void => void notes.push(keptInWords(kept));
  const wrote = await throughGate(gate, async (signal) =>
    (await attempt(outDir, () => stillHolds(claim)))
      ? writeMade(made, outDir, { durably: true, signal, onKept })
      : undefined,
  );
  if (wrote === undefined) return undefined;
  const report = JSON.parse(String(made.files.get(REPORT))) as StoredReport;
  return rowOf(item, made.name, report, { print, kept: false, notes });
}

function notesOf({ name }: BatchItem, { taken }: ResultFolder): string[] {
  return taken === undefined ? [] : [takenInWords(name, taken)];
}

const [REPORT, PREVIEW] = ['report.json', 'preview.png'];

/** The row of a stencil that is there whole and was made of the same; undefined when there is none. */
async function standing(
  item: BatchItem,
  of: Provenance,
  place: ResultFolder,
): Promise<MadeRow | undefined> {
  const { earlier, name } = place;
  const fingerprint = fingerprintOf(item, of, name);
  if (fingerprint === undefined || earlier?.fingerprint !== fingerprint) return undefined;
  const folder = join(item.outDir, name);
  try {
    for (const file of earlier.files) {
      if (sha256(await readFile(join(folder, file.name))) !== file.sha256) return undefined;
    }
    const report = JSON.parse(await readFile(join(folder, REPORT), 'utf8')) as StoredReport;
    const hasPreview = earlier.files.some((file) => file.name === PREVIEW);
    const preview = hasPreview ? await readFile(join(folder, PREVIEW)) : undefined;
    const about = { print: await printOf(preview), kept: true, notes: notesOf(item, place) };
    return rowOf(item, name, report, about);
  } catch {
    // Whatever is wrong with what is there: it is made anew, and what stands in the way is told then.
    return undefined;
  }
}

function rowOf(
  { shown, into }: BatchItem,
  name: string,
  report: StoredReport,
  about: Pick<MadeRow, 'print' | 'kept' | 'notes'>,
): MadeRow {
  const figures = figuresIn(report);
  const files = [...(report.madeFrom?.files ?? []).map(({ name: file }) => file), REPORT];
  const broken = figures.findings.some(({ level }) => level === 'error');
  const folder = join(into, name).replaceAll('\\', '/');
  const fate = broken ? 'broken' : 'good';
  return { fate, picture: shown, folder, card: report.job.card, files, figures, ...about };
}

async function printOf(preview: string | Uint8Array | undefined): Promise<Uint8Array | undefined> {
  return preview instanceof Uint8Array ? smallPrint(preview) : undefined;
}
