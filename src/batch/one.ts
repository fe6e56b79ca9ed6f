import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { Job } from '../job.js';
import { makeStencil, writeMade, type OutputName } from '../make.js';
import { Problem } from '../problem.js';
import { stillHolds, type Ticket } from './claim.js';
import { throughGate, type Gate } from './gate.js';
import { smallPrint } from '../sheets/small-print.js';
import { figuresIn, type FailedRow, type MadeRow, type Report, type Row } from '../sheets/row.js';
import { attempt } from '../sheets/write.js';

/** One picture of a batch: all that its stencil follows from, and where that goes. */
export interface Order {
  readonly picture: string;
  /** What the person knows the picture by. */
  readonly shown: string;
  readonly name: string;
  readonly outDir: string;
  /** The batch's claim to its output folder. */
  readonly claim: Ticket;
  /** The stencil's way from the output folder. */
  readonly folder: string;
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
export async function makeOne(order: Order, gate: Gate): Promise<Row | undefined> {
  try {
    const fingerprint = await fingerprintOf(order);
    return (
      (fingerprint === undefined ? undefined : await standing(order, fingerprint)) ??
      (await makeAnew(order, fingerprint, gate))
    );
  } catch (error) {
    return failed({ path: order.picture, shown: order.shown }, error);
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
async function fingerprintOf(order: Order): Promise<string | undefined> {
  const bytes = createHash('sha256');
  try {
    await pipeline(createReadStream(order.picture), bytes);
  } catch {
    return undefined;
  }
  const { name, job, outputs, version } = order;
  const settings = JSON.stringify({ name, job, outputs, version });
  return createHash('sha256').update(bytes.digest()).update(settings).digest('hex');
}

async function makeAnew(
  order: Order,
  fingerprint: string | undefined,
  gate: Gate,
): Promise<MadeRow | undefined> {
  const { picture, name, job, outputs, outDir, claim } = order;
  const made = await makeStencil(picture, job, {
    name,
    outputs,
    timeless: true,
    ...(fingerprint !== undefined && { madeFrom: { picture: basename(picture), fingerprint } }),
  });
  const print = await printOf(made.files.get(PREVIEW));
  const wrote = await throughGate(gate, async (signal) =>
    (await attempt(outDir, () => stillHolds(claim)))
      ? writeMade(made, outDir, { durably: true, signal })
      : undefined,
  );
  if (wrote === undefined) return undefined;
  return rowOf(order, JSON.parse(String(made.files.get(REPORT))) as Report, print, false);
}

const [REPORT, PREVIEW] = ['report.json', 'preview.png'];

/** The row of a stencil that is there whole and was made of the same; undefined when there is none. */
async function standing(order: Order, fingerprint: string): Promise<MadeRow | undefined> {
  const folder = join(order.outDir, order.name);
  try {
    const report = JSON.parse(await readFile(join(folder, REPORT), 'utf8')) as Report;
    if (report.madeFrom?.fingerprint !== fingerprint) return undefined;
    const { files } = report.madeFrom;
    for (const file of files) {
      if ((await stat(join(folder, file))).size === 0) return undefined;
    }
    const preview = files.includes(PREVIEW) ? await readFile(join(folder, PREVIEW)) : undefined;
    return rowOf(order, report, await printOf(preview), true);
  } catch {
    // Whatever is wrong with what is there: it is made anew, and what stands in the way is told then.
    return undefined;
  }
}

function rowOf(
  { shown, folder }: Order,
  report: Report,
  print: Uint8Array | undefined,
  kept: boolean,
): MadeRow {
  const figures = figuresIn(report);
  const files = [...(report.madeFrom?.files ?? []), REPORT];
  const broken = figures.findings.some(({ level }) => level === 'error');
  const fate = broken ? 'broken' : 'good';
  return { fate, picture: shown, folder, files, figures, print, kept };
}

async function printOf(preview: string | Uint8Array | undefined): Promise<Uint8Array | undefined> {
  return preview instanceof Uint8Array ? smallPrint(preview) : undefined;
}
