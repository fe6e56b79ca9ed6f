import type { Sheet } from '../../settings/card.js';
import { placedShape } from '../../geometry/placed.js';
import { completeJob, sheetOf, type Job, type JobInput } from '../../settings/job.js';
import type { Made } from '../stencil.js';
import { fitsOn, pack } from '../../geometry/rectangle-packing.js';
import { planSheet, type CutPlan, type PlanSettings } from '../../pipeline/pipeline.js';
import { Problem } from '../../settings/problem.js';
import { marksOf, type Provenance } from '../../disk/made-from.js';
import { writeResult, type WriteOptions } from '../../disk/result.js';
import type { ResultFile } from '../../disk/write.js';
import type { Stencil } from '../../disk/stencil-file.js';

import type { Card, FullSheets } from '../../output/pdf/full-sheet.js';

export type { Card, FilmSheet, FullSheets } from '../../output/pdf/full-sheet.js';
export {
  openStencils,
  readStencil,
  type PathContents,
  type Stencil,
} from '../../disk/stencil-file.js';

/** A stencil that was just made, as one to be laid. */
export function stencilOf({ name, job, run }: Made): Stencil {
  const { frame, check } = run.values;
  const errors = check.findings.filter(({ level }) => level === 'error');
  const broken = new Set(errors.map(({ code }) => code)).size;
  return { name, sheet: sheetOf(job), openings: frame.openings, job, broken };
}

/**
 * Lays stencils on as few sheets of film as it finds, turned where that saves film; see `pack`.
 *
 * @param gapMm between one stencil and the next
 * @throws Problem when a stencil is larger than the film
 */
export function layOnFilm(stencils: readonly Stencil[], film: Sheet, gapMm: number): FullSheets {
  for (const { name, sheet } of stencils) {
    if (fitsOn(sizeOf(sheet), sizeOf(film))) continue;
    throw new Problem(
      `The stencil is larger than the film: ${roundedSize(sheet)} on ${roundedSize(film)}`,
      name,
      'Take larger film, or make the stencil for a smaller card',
    );
  }
  const { laid, sheets, areaBound } = pack(
    stencils.map(({ sheet }) => sizeOf(sheet)),
    sizeOf(film),
    gapMm,
  );
  const filmArea = film.widthMm * film.heightMm;
  return {
    film,
    gapMm,
    areaBound,
    sheets: Array.from({ length: sheets }, (_, number) => {
      const here = stencils.flatMap((stencil, i) =>
        laid[i].sheet === number ? [{ stencil, at: laid[i] }] : [],
      );
      return {
        cards: here.map(({ stencil: { name, label, sheet }, at: { x, y, turned } }): Card => {
          const { widthMm, heightMm } = sheet;
          const box = turned ? { widthMm: heightMm, heightMm: widthMm } : { widthMm, heightMm };
          return { name: label ?? name, x, y, ...box, turned };
        }),
        openings: here.flatMap(({ stencil, at }) =>
          stencil.openings.map((shape) => placedShape(shape, at, stencil.sheet.heightMm)),
        ),
        full:
          here.reduce((sum, { stencil: { sheet } }) => sum + sheet.widthMm * sheet.heightMm, 0) /
          filmArea,
        stencils: here.map(({ stencil }) => stencil),
      };
    }),
  };
}

const sizeOf = ({ widthMm, heightMm }: Sheet) => ({ width: widthMm, height: heightMm });

const roundedSize = ({ widthMm, heightMm }: Sheet): string =>
  `${Math.round(widthMm)} × ${Math.round(heightMm)} mm`;

/** What laid film is of: sheets with other stencils are others. */
export function provenanceOfFilm(film: FullSheets): Provenance {
  const names = film.sheets.flatMap(({ stencils }) => stencils.map(({ name }) => name));
  return { made: 'sheets', stencils: [...new Set(names)].sort() };
}

/**
 * How the pieces of several stencils are planned together: film counts as thin where it does for one of them, and the
 * pace is the slowest of theirs.
 *
 * @param given what a person set herself goes before what the stencils were made by
 */
function planJobFor(
  stencils: readonly Stencil[],
  job: Job,
  given: JobInput,
): PlanSettings & Pick<Job, 'tool'> {
  const jobs = stencils.flatMap((stencil) => (stencil.job ? [stencil.job] : []));
  const most = (name: Measured, of: (...values: number[]) => number): number =>
    given[name] !== undefined || given.tool !== undefined || jobs.length === 0
      ? job[name]
      : of(...jobs.map((each) => each[name]));
  return {
    tool: given.tool ?? jobs.at(0)?.tool ?? job.tool,
    smallestMask: most('smallestMask', Math.min),
    cuttingSpeed: most('cuttingSpeed', Math.min),
    warmUp: most('warmUp', Math.max),
    narrowestStrip: Math.max(job.narrowestStrip, ...jobs.map((each) => each.narrowestStrip)),
    bridgeWidth: Math.max(job.bridgeWidth, ...jobs.map((each) => each.bridgeWidth)),
  };
}

type Measured = 'smallestMask' | 'cuttingSpeed' | 'warmUp';

/** What the files of laid film are made by. */
export interface FilmOptions {
  readonly job: Pick<Job, 'paper' | 'tileOverlap'> & JobInput;
  /** What a person set of the job herself; the rest follows from the stencils where it can. */
  readonly given?: JobInput;
  /** What the whole is called, where it is not only "film". */
  readonly name?: string;
  /** Called when a sheet's cutting is planned, in the order of the sheets. */
  readonly onPlan?: (plan: CutPlan) => void;
  /** Chooses the paper where the job does not: "en-US", "de_DE.UTF-8". */
  readonly locale: string;
}

/**
 * The files of laid film, in memory: for each sheet a template (sheet-1.pdf …), a plan of all of its cuts
 * (sheet-1-plan.pdf …) and a drawing (sheet-1.svg …), and film.json, which says where everything lies.
 */
export async function filmFiles(
  film: FullSheets,
  { job: wanted, given = {}, name, locale, onPlan }: FilmOptions,
): Promise<ReadonlyMap<string, string | Uint8Array>> {
  const job = completeJob(wanted);
  const { filmJson, filmPdf, filmPlanPdf, filmSvg } =
    await import('../../output/pdf/full-sheet.js');
  const files = new Map<string, string | Uint8Array>();
  const plans: CutPlan[] = [];
  for (const [i, sheet] of film.sheets.entries()) {
    const planJob = planJobFor(sheet.stencils, job, given);
    const plan = await planSheet(sheet.openings, film.film, planJob);
    const about = {
      sheet,
      film: film.film,
      plan,
      place: { number: i + 1, count: film.sheets.length, ...(name !== undefined && { name }) },
      locale,
    };
    files.set(`sheet-${i + 1}.pdf`, await filmPdf({ ...about, job }));
    files.set(
      `sheet-${i + 1}-plan.pdf`,
      await filmPlanPdf({ ...about, job: { ...planJob, paper: job.paper } }),
    );
    files.set(`sheet-${i + 1}.svg`, filmSvg(sheet, film.film));
    plans.push(plan);
    onPlan?.(plan);
  }
  files.set(
    'film.json',
    filmJson(film, plans, { ...provenanceOfFilm(film), files: marksOf(files) }),
  );
  return files;
}

/**
 * Writes the files of laid film to the folder `outDir`/`name`, whole or not at all.
 *
 * @param onKept called for each file that a person had changed, when it was put beside the new one
 * @returns the folder
 * @throws Problem when it can't be written, or when the folder holds anything but sheets of the same stencils
 */
export async function writeFilm(
  files: ReadonlyMap<string, string | Uint8Array>,
  outDir: string,
  name: string,
  how: WriteOptions = {},
): Promise<string> {
  const all = [...files].map(([file, bytes]): ResultFile => ({ name: file, bytes }));
  return writeResult(outDir, name, all, how);
}
