import { sheetOf, type Job } from './job.js';
import {
  createPipeline,
  type Cut,
  type CutPlan,
  type Pipeline,
  type StencilRun,
  type StencilStage,
  type Toned,
} from './pipeline.js';
import { namingThe } from './problem.js';
import { drawSheets, type Draw, type Files, type Order } from './sheets/draw.js';
import { reportJson, reportOn, type MadeFrom } from './sheets/report.js';
import { figuresIn, type Figures, type Report } from './sheets/row.js';
import { writeResult, type Writing } from './sheets/result.js';

export { prepareDrawing, type Drawing } from './sheets/drawing.js';
export { Stopped } from './sheets/result.js';

/** What can be written of a stencil. The report always is. */
export const outputNames = [
  'stencil',
  'template',
  'plan',
  'preview',
  'mirrored',
  'masks',
  'dxf',
  'png',
  'report',
] as const;

export type OutputName = (typeof outputNames)[number];

/** What is written when nobody says otherwise; the rest is for the few who want it. */
export const usualOutputs: readonly OutputName[] = [
  'stencil',
  'template',
  'plan',
  'preview',
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
  /** Where the stencil comes from, for a later run to tell whether it is still good. */
  readonly madeFrom?: Omit<MadeFrom, 'files'>;
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
  source: string | Uint8Array | Toned,
  job: Job,
  options: MakeOptions,
): Promise<Made> {
  const { says = '', outputs = usualOutputs, pipeline = createPipeline() } = options;
  const { draw = drawSheets } = options;
  const name = `${options.name}${says}`;
  const locale = options.locale ?? Intl.DateTimeFormat().resolvedOptions().locale;
  const wanted = outputs.filter((output) => output !== 'report');
  const sheet = sheetOf(job);
  const orderOf = ({ openings, cuts, bridges }: Cut, plan: CutPlan): Order => ({
    name: options.name,
    says,
    openings,
    cuts,
    bridges,
    plan,
    sheet,
    job,
    locale,
  });
  let drawing: Promise<Files> | undefined;
  const run = await namingThe(source, () =>
    pipeline.run(source, job, (stage, place, count, values) => {
      options.onStage?.(stage, place, count);
      // Once they are planned the openings can be drawn, while they are checked.
      if (drawing || !values.bridge || !values.plan) return;
      drawing = draw(orderOf(values.bridge, values.plan), wanted);
      // Told where it is awaited.
      drawing.catch(() => undefined);
    }),
  );
  const start = performance.now();
  const { bridge, plan } = run.values;
  const report = reportOn({ name, job, sheet, ...reportedOf(run) });
  const files = new Map(await (drawing ?? draw(orderOf(bridge, plan), wanted)));
  const timingsMs = { ...run.timingsMs, sheets: performance.now() - start };
  const madeFrom = options.madeFrom && { ...options.madeFrom, files: [...files.keys()] };
  files.set('report.json', reportJson(report, options.timeless ? {} : timingsMs, madeFrom));
  return { name, job, run, files, timingsMs, good: isGood(run) };
}

/**
 * Writes a stencil's files to a folder of its own in `outDir`, whole or not at all.
 *
 * @returns the folder
 * @throws Problem when it can't be written; an earlier result of that name is then still there
 */
export async function writeMade(made: Made, outDir: string, how: Writing = {}): Promise<string> {
  const files = [...made.files].map(([name, bytes]) => ({ name, bytes }));
  return writeResult(outDir, made.name, files, how);
}

/** What a person wants to know of a stencil at a glance, as its report has it. */
export function figuresOf({ files }: Made): Figures {
  return figuresIn(JSON.parse(String(files.get('report.json'))) as Report);
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
    bridged: values.bridge,
    plan: values.plan,
    survival: values.survival,
    advice: values.advice,
    checked: values.check,
  };
}
