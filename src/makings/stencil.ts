import { createReadStream } from 'node:fs';
import { createHash } from 'node:crypto';
import { basename } from 'node:path';
import { pipeline as stream } from 'node:stream/promises';
import { sheetOf, type Job } from '../settings/job.js';
import type { LayerPlace } from '../settings/layer-settings.js';
import type { LetteringTold } from '../settings/lettering-settings.js';
import {
  createPipeline,
  type FramedDesign,
  type Packet,
  type CutPlan,
  type Pipeline,
  type StencilRun,
  type StencilStage,
  type StencilValues,
  type Strokes,
} from '../pipeline/pipeline.js';
import { namingThe } from '../settings/problem.js';
import {
  drawOutputs,
  isUsual,
  outputFiles,
  outputsFor,
  drawnOutputs,
  type DrawnOutput,
  type Draw,
  type Files,
  type DrawingInput,
} from '../output/outputs.js';
import { looksOf, marksOf, sha256, type MadeFrom, type Provenance } from '../disk/made-from.js';
import { makeInPlace, type ResultFolder, type FolderRequest } from '../disk/place.js';
import { brokenIn, type Broken } from '../output/broken.js';
import { reportJson, reportOn } from '../output/report/report.js';
import { figuresIn, type Figures, type StoredReport } from '../output/report/row.js';
import { writeResult, type WriteOptions } from '../disk/result.js';

export { prepareDrawing, type DrawingThread } from '../output/draw-in-thread.js';
export type { MadeFrom, Provenance } from '../disk/made-from.js';
export {
  keptInWords,
  makeInPlace,
  nameKey,
  takenInWords,
  type ResultFolder,
  type FolderRequest,
} from '../disk/place.js';
export { Stopped } from '../disk/result.js';
export type { KeptFile } from '../disk/settle.js';

/** What can be written of a stencil. The report always is. */
export const outputNames: readonly OutputName[] = [...drawnOutputs, 'report'];

export type OutputName = DrawnOutput | 'report';

/** What is written when nobody says otherwise; the rest is for the few who want it. */
export const usualOutputs: readonly OutputName[] = [
  ...drawnOutputs.filter((name) => isUsual(name)),
  'report',
];

/** A stencil and its files, all in memory. */
export interface Made {
  readonly name: string;
  readonly job: Job;
  readonly run: StencilRun;
  /** What is in each file, by its name: stencil.svg, template.pdf, preview.png, report.json. */
  readonly files: ReadonlyMap<string, string | Uint8Array>;
  /** Milliseconds by stage, and as `sheets` those that the files took longer than the checking. */
  readonly timingsMs: Readonly<Record<StencilStage | 'sheets', number>>;
  /** Whether every promise holds: no finding is an error. */
  readonly good: boolean;
}

export interface MakeOptions {
  /** What the stencil is called: the name of its folder, and the title on the template. */
  readonly name: string;
  /** What stands after it on the template, in the tool's own words. */
  readonly says?: string;
  /** The usual ones unless set. */
  readonly outputs?: readonly OutputName[];
  /** Chooses the template's paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale?: string;
  /** A pipeline to use again, so that only what changed is run. */
  readonly pipeline?: Pipeline;
  /** What the stencil is of, where that is not told by the path; see `pictureAt`. */
  readonly of?: Provenance;
  /** Names all that the stencil follows from, for a later run to tell whether it is still good. */
  readonly fingerprint?: string;
  /** Where it stands in the set that it is a layer of. */
  readonly layer?: LayerPlace;
  /** The words that it is of, and how they are cut. */
  readonly words?: LetteringTold;
  /** Leaves the times out of the report, so that the same job gives the same bytes. */
  readonly timeless?: boolean;
  /** Called when a stage begins: its name, its place from 0, and how many there are. */
  readonly onStage?: (stage: StencilStage, place: number, count: number) => void;
  /** What draws the sheets, when that is not to be done in this thread: `prepareDrawing().draw`. */
  readonly draw?: Draw;
}

/**
 * Makes a stencil of a picture. Nothing is written.
 *
 * @param source a path, the bytes of a picture file, or a picture whose tone is already told
 * @throws Problem when the picture can't be read, or when there is nothing in it to cut
 */
export async function makeStencil(
  source: StencilValues['source'],
  job: Job,
  options: MakeOptions,
): Promise<Made> {
  const { says = '', outputs = usualOutputs, pipeline = createPipeline() } = options;
  const { draw = drawOutputs } = options;
  const name = `${options.name}${says}`;
  const locale = options.locale ?? Intl.DateTimeFormat().resolvedOptions().locale;
  const wanted = outputsFor(
    job,
    outputs.filter((output) => output !== 'report'),
  );
  const sheet = sheetOf(job);
  const drawingInputOf = (
    { openings, cuts, bridges }: FramedDesign,
    plan: CutPlan,
    packet: Packet | null,
    strokes: Strokes | null,
    broken?: Broken,
  ): DrawingInput => ({
    name: options.name,
    says,
    openings,
    cuts,
    bridges,
    plan,
    packet,
    ...(strokes && { strokes: strokes.drawn }),
    ...(broken && { broken }),
    sheet,
    job,
    locale,
  });
  // Read while the picture is decoded.
  const of = options.of ?? provenanceOf(source, 'stencil');
  let drawing: Promise<Files> | undefined;
  const run = await namingThe(source, () =>
    pipeline.run(source, job, {
      ...(options.onStage && { onStage: options.onStage }),
      beside: {
        from: ['strokes', 'frame', 'packet', 'plan'],
        begin: ({ strokes, frame, packet, plan }) => {
          drawing = draw(drawingInputOf(frame, plan, packet, strokes), wanted);
          // Told where it is awaited.
          drawing.catch(() => undefined);
        },
      },
    }),
  );
  const start = performance.now();
  const broken = brokenIn(run.values.check.findings);
  if (broken) {
    // Drawn beside the check, the sheets know nothing of it yet.
    await drawing;
    const { frame, plan, packet, strokes } = run.values;
    drawing = draw(drawingInputOf(frame, plan, packet, strokes, broken), wanted);
  }
  const { fingerprint, layer, words } = options;
  const about = { ...(layer && { layer }), ...(words && { words }) };
  const report = reportOn({ name, job, sheet, ...about, ...reportedOf(run) });
  const files = new Map(await drawing);
  const timingsMs = { ...run.timingsMs, sheets: performance.now() - start };
  const madeFrom: MadeFrom = {
    ...(await of),
    looks: looksOf(run.values.read.gray, run.values.read.pictureBox),
    ...(fingerprint !== undefined && { fingerprint }),
    files: marksOf(files),
  };
  files.set('report.json', reportJson(report, options.timeless ? {} : timingsMs, madeFrom));
  return { name, job, run, files, timingsMs, good: isGood(run) };
}

/** What a picture is known by, however it is given. */
export async function provenanceOf(
  source: StencilValues['source'],
  made: Provenance['made'],
): Promise<Provenance> {
  if (typeof source === 'string') return pictureAt(source, made);
  return { made, ...(source instanceof Uint8Array && { sha256: sha256(source) }) };
}

/** A picture file as what a stencil is of: its name and its bytes. */
export async function pictureAt(
  path: string,
  made: Provenance['made'] = 'stencil',
): Promise<Provenance> {
  const bytes = createHash('sha256');
  try {
    await stream(createReadStream(path), bytes);
  } catch {
    // Why it can't be read is told where it is opened as a picture.
    return { made, picture: basename(path) };
  }
  return { made, picture: basename(path), sha256: bytes.digest('hex') };
}

/** A picture file's bytes, and the name that it came with, as what a stencil is of. */
export function pictureGiven(bytes: Uint8Array, picture: string): Provenance {
  return { made: 'stencil', picture, sha256: sha256(bytes) };
}

/** What was written of a stencil, or of each layer of a set, by its files. */
export function outputsIn({
  made,
  files,
}: Pick<MadeFrom, 'made' | 'files'>): readonly OutputName[] {
  const sheets = files.filter(({ name }) => (made === 'layers') === name.includes('/'));
  const names = new Set(sheets.map(({ name }) => basename(name)));
  return outputNames.filter((output) => output !== 'report' && names.has(outputFiles[output]));
}

/**
 * The outputs that are asked for, and those that an earlier stencil of the same left: all files in a folder are of one
 * stencil, so these are made anew as well.
 */
export function withEarlier(
  asked: readonly OutputName[],
  earlier: MadeFrom | undefined,
): readonly OutputName[] {
  const left = earlier === undefined ? [] : outputsIn(earlier);
  return outputNames.filter((output) => asked.includes(output) || left.includes(output));
}

/** A stencil that was made for the place where it goes; see `makeInPlace`. */
export async function makeFor(
  outDir: string,
  wish: FolderRequest,
  make: (place: ResultFolder) => Promise<Made>,
): Promise<{ readonly made: Made; readonly place: ResultFolder }> {
  return makeInPlace(outDir, wish, async (place) => {
    const made = await make(place);
    return { made, files: filesOf(made) };
  });
}

const filesOf = ({ files }: Pick<Made, 'files'>) =>
  [...files].map(([name, bytes]) => ({ name, bytes }));

/**
 * Writes a stencil's files to a folder in `outDir`, whole or not at all. An earlier stencil of the same picture there
 * is replaced; what a person put into its folder stays.
 *
 * @returns the folder
 * @throws Problem when it can't be written, or when the folder holds anything else; what was there is there still
 */
export async function writeMade(
  made: Made,
  outDir: string,
  how: WriteOptions = {},
): Promise<string> {
  return writeResult(outDir, made.name, filesOf(made), how);
}

/** What a person wants to know of a stencil at a glance, as its report has it. */
export function figuresOf({ files }: Made): Figures {
  return figuresIn(JSON.parse(String(files.get('report.json'))) as StoredReport);
}

function isGood({ values }: StencilRun): boolean {
  return values.check.findings.every(({ level }) => level !== 'error');
}

/** The values of a run, by the words of the report. */
function reportedOf({ values }: StencilRun) {
  return {
    tone: values.tone,
    repeated: values.repeat,
    likeness: values.likeness,
    traced: values.trace,
    eased: values.ease,
    widened: values.widen,
    bridged: values.frame,
    plan: values.plan,
    packet: values.packet,
    folded: values.fold,
    strokes: values.strokes?.drawn ?? null,
    survival: values.survival,
    advice: values.advice,
    features: values.features,
    checked: values.check,
  };
}
