import type { Sheet } from './card.js';
import { placedShape } from './geometry/placed.js';
import type { Shape } from './geometry/shape.js';
import { sheetOf, type Job } from './job.js';
import type { Made } from './make.js';
import { fitsOn, pack } from './pack.js';
import { Problem } from './problem.js';
import { writeResult, type Writing } from './sheets/result.js';
import type { Stencil } from './stencil-file.js';

export { readStencil, type Stencil } from './stencil-file.js';

/** One stencil on a sheet of film: its box, in mm from the film's top left corner. */
export interface Card {
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly widthMm: number;
  readonly heightMm: number;
  /** By a quarter, clockwise. */
  readonly turned: boolean;
}

/** One sheet of film with what is laid on it. */
export interface FilmSheet {
  readonly cards: readonly Card[];
  readonly openings: readonly Shape[];
  /** The share of the film that the stencils take, 0 to 1. */
  readonly full: number;
}

/** Stencils laid on blank film. */
export interface Film {
  readonly film: Sheet;
  readonly gapMm: number;
  readonly sheets: readonly FilmSheet[];
  /** No way to lay them takes fewer sheets than this. */
  readonly areaBound: number;
}

/** A stencil that was just made, as one to be laid. */
export function stencilOf({ name, job, run }: Made): Stencil {
  return { name, sheet: sheetOf(job), openings: run.values.bridge.openings };
}

/**
 * Lays stencils on as few sheets of film as it finds, turned where that saves film; see `pack`.
 *
 * @param gapMm between one stencil and the next
 * @throws Problem when a stencil is larger than the film
 */
export function layOnFilm(stencils: readonly Stencil[], film: Sheet, gapMm: number): Film {
  for (const { name, sheet } of stencils) {
    if (fitsOn(sizeOf(sheet), sizeOf(film))) continue;
    throw new Problem(
      `The stencil is larger than the film: ${inWords(sheet)} on ${inWords(film)}`,
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
        cards: here.map(({ stencil: { name, sheet }, at: { x, y, turned } }): Card => {
          const { widthMm, heightMm } = sheet;
          const box = turned ? { widthMm: heightMm, heightMm: widthMm } : { widthMm, heightMm };
          return { name, x, y, ...box, turned };
        }),
        openings: here.flatMap(({ stencil, at }) =>
          stencil.openings.map((shape) => placedShape(shape, at, stencil.sheet.heightMm)),
        ),
        full:
          here.reduce((sum, { stencil: { sheet } }) => sum + sheet.widthMm * sheet.heightMm, 0) /
          filmArea,
      };
    }),
  };
}

const sizeOf = ({ widthMm, heightMm }: Sheet) => ({ width: widthMm, height: heightMm });

const inWords = ({ widthMm, heightMm }: Sheet): string =>
  `${Math.round(widthMm)} × ${Math.round(heightMm)} mm`;

/**
 * The files of laid film, in memory: for each sheet a template (sheet-1.pdf …) and a drawing (sheet-1.svg …), and
 * film.json, which says where everything lies.
 */
export async function filmFiles(
  film: Film,
  options: {
    readonly job: Pick<Job, 'paper' | 'tileOverlap'>;
    /** Chooses the paper where the job does not: "en-US", "de_DE.UTF-8". */
    readonly locale: string;
  },
): Promise<ReadonlyMap<string, string | Uint8Array>> {
  const { filmJson, filmPdf, filmSvg } = await import('./sheets/film.js');
  const files = new Map<string, string | Uint8Array>();
  for (const [i, sheet] of film.sheets.entries()) {
    const place = { number: i + 1, count: film.sheets.length };
    files.set(`sheet-${i + 1}.pdf`, await filmPdf(sheet, film.film, place, options));
    files.set(`sheet-${i + 1}.svg`, filmSvg(sheet, film.film));
  }
  files.set('film.json', filmJson(film));
  return files;
}

/**
 * Writes the files of laid film to the folder `outDir`/`name`, whole or not at all.
 *
 * @returns the folder
 * @throws Problem when it can't be written
 */
export async function writeFilm(
  files: ReadonlyMap<string, string | Uint8Array>,
  outDir: string,
  name: string,
  how: Writing = {},
): Promise<string> {
  return writeResult(
    outDir,
    name,
    [...files].map(([file, bytes]) => ({ name: file, bytes })),
    how,
  );
}
