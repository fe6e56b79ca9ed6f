import { basename, join } from 'node:path';
import {
  figuresOf,
  Problem,
  spelt,
  visibleJson,
  type FailedRow,
  type Figures,
  type Made,
  type MadeRow,
} from '../src/index.js';
import { commandLine } from './options.js';

/** One line of JSON on a picture and its stencil, of `make` and `batch` alike; docs/json.md lists what it holds. */
export function madeLine(
  picture: string,
  made: Made,
  folder: string,
  notes: readonly string[],
): string {
  return visibleJson({
    picture,
    status: made.good ? 0 : 1,
    name: made.name,
    folder,
    files: [...made.files.keys()],
    kept: false,
    ...(notes.length > 0 && { notes }),
    ...withRoundedLength(figuresOf(made)),
  });
}

/** The same of a row of a batch. */
export function rowLine(row: MadeRow | FailedRow, outDir: string): string {
  if (row.fate === 'failed') return refusedLine(row.picture, row);
  const { picture, fate, folder, files, kept, notes, figures } = row;
  return visibleJson({
    picture,
    status: fate === 'good' ? 0 : 1,
    name: basename(folder),
    folder: join(outDir, folder),
    files,
    kept,
    ...(notes.length > 0 && { notes }),
    ...withRoundedLength(figures),
  });
}

/** The same of a picture that no stencil was made of. */
export function failedLine(picture: string, error: unknown): string {
  const told =
    error instanceof Problem
      ? error
      : { what: 'A fault of stencilwright, not of yours', where: picture, remedy: '' };
  return refusedLine(picture, told);
}

function refusedLine(
  picture: string,
  { what, where, remedy }: Pick<Problem, 'what' | 'where' | 'remedy'>,
): string {
  const [says, at, help] = [what, where, remedy].map((text) => spelt(text, commandLine.spell));
  return visibleJson({ picture, status: 2, error: { what: says, where: at, remedy: help } });
}

/** A report's figures are rounded; a sum of them may not be. */
export function withRoundedLength(figures: Figures): Figures {
  return { ...figures, cutMm: Number(figures.cutMm.toFixed(1)) };
}
