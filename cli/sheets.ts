import { basename, extname, resolve } from 'node:path';
import {
  filmFiles,
  layOnFilm,
  makeStencil,
  parseCard,
  Problem,
  readStencil,
  stencilOf,
  visible,
  writeFilm,
  type Film,
  type Job,
  type Sheet,
  type Stencil,
} from '../src/index.js';
import { textOf, wordsOf, type Command, type Given } from './command.js';
import { sheetsText } from './help-sheets.js';
import { stoppable } from './interrupts.js';
import { jobOptions, readJob } from './job-given.js';
import { localeOf } from './make.js';
import { commandLine, outDirOf, readNumber, valueOption } from './options.js';
import { painter, progressOn } from './terminal.js';

const DEFAULT_NAME = 'film';
const DEFAULT_FILM = '9x12in';
const DEFAULT_GAP_MM = 3;
const MOST_GAP_MM = 50;
const MOST_COPIES = 500;

/** `stencilwright sheets STENCIL…` */
export const sheets: Command = {
  command: 'sheets',
  takes: 'STENCIL…',
  describe: 'lay stencils on full sheets of film',
  help: sheetsText,
  builder: {
    ...jobOptions(),
    film: valueOption,
    gap: valueOption,
    copies: valueOption,
    out: valueOption,
    name: valueOption,
  },
  handler: async (given) => {
    process.stdout.write(await layAll(given));
  },
};

async function layAll(given: Given): Promise<string> {
  const paths = readPaths(wordsOf(given));
  const film = readFilm(textOf(given, 'film') ?? DEFAULT_FILM);
  const gapMm = readGap(textOf(given, 'gap'));
  const copies = readCopies(textOf(given, 'copies') ?? '1', paths.length);
  const job = await readJob(given);
  const stencils: Stencil[] = [];
  for (const [i, path] of paths.entries()) {
    const stencil = (await readStencil(path)) ?? (await makeOne(path, job));
    for (let copy = 0; copy < copies[i]; copy++) stencils.push(stencil);
  }
  const laid = layOnFilm(stencils, film, gapMm);
  const locale = localeOf(process.env).locale ?? Intl.DateTimeFormat().resolvedOptions().locale;
  const files = await filmFiles(laid, { job, locale });
  const folder = await stoppable((signal) =>
    writeFilm(files, outDirOf(given), textOf(given, 'name') ?? DEFAULT_NAME, { signal }),
  );
  const closer = gapMm > 0 ? layOnFilm(stencils, film, 0).sheets.length : laid.sheets.length;
  return summary(laid, folder, closer);
}

/** A stencil of a picture, made now. A broken promise is told where stencils are made, and stops this. */
async function makeOne(picture: string, job: Job): Promise<Stencil> {
  const progress = progressOn(process.stderr);
  progress.show(`${picture}: making its stencil …`);
  try {
    const name = basename(resolve(picture), extname(picture));
    const made = await makeStencil(picture, job, { name, outputs: ['report'] });
    if (made.good) return stencilOf(made);
    throw new Problem(
      'The stencil of this picture breaks a promise',
      picture,
      'See what with stencilwright make, then lay the folder that it wrote',
    );
  } finally {
    progress.clear();
  }
}

function readPaths(words: readonly string[]): readonly string[] {
  if (words.length > 0) return words;
  throw new Problem(
    'No stencil is named',
    commandLine.where,
    'Name the folders of stencils, or pictures, as in: stencilwright sheets stencils/nana stencils/moth',
  );
}

function readFilm(text: string): Sheet {
  try {
    return parseCard(text);
  } catch (cause) {
    if (!(cause instanceof Problem)) throw cause;
    throw new Problem(
      cause.what.replace('card', 'film'),
      '--film',
      'Give two numbers and a unit, as in 9x12in, between 20 mm and 1000 mm a side',
      { cause },
    );
  }
}

function readGap(text: string | undefined): number {
  const gap = text === undefined ? DEFAULT_GAP_MM : readNumber(text, 'mm');
  if (gap !== undefined && gap >= 0 && gap <= MOST_GAP_MM) return gap;
  throw new Problem(
    `--gap can't be "${text}"`,
    commandLine.where,
    `Give a number from 0 to ${MOST_GAP_MM} mm`,
  );
}

/** How many copies of each stencil: one number for all, or one for each with commas between. */
function readCopies(text: string, stencils: number): readonly number[] {
  const words = text.split(',').map((word) => word.trim());
  const counts = words.map((word) => (/^\d{1,4}$/.test(word) ? Number(word) : 0));
  const copies = counts.length === 1 ? Array.from({ length: stencils }, () => counts[0]) : counts;
  const all = copies.reduce((sum, count) => sum + count, 0);
  if (copies.length === stencils && !counts.includes(0) && all <= MOST_COPIES) return copies;
  throw new Problem(
    `--copies can't be "${text}" for ${stencils === 1 ? 'one stencil' : `${stencils} stencils`}`,
    commandLine.where,
    `Give one number for all, or one for each with commas between, no more than ${MOST_COPIES} in all`,
  );
}

function summary(laid: Film, folder: string, withoutGap: number): string {
  const paint = painter(process.stdout);
  const { film, gapMm, sheets: all, areaBound } = laid;
  const count = all.reduce((sum, { cards }) => sum + cards.length, 0);
  const label = (text: string): string => paint('dim', text.padEnd(8));
  return [
    `${label('Film')}${many(all.length, 'sheet')} of ${inMm(film)} for ${many(count, 'stencil')}, ${gapMm} mm between them; by area alone at least ${areaBound}`,
    ...all.map(({ cards, full }, i) => {
      const turned = cards.filter((card) => card.turned).length;
      return `${label(`  ${i + 1}`)}${many(cards.length, 'stencil')}${turned > 0 ? `, ${turned} turned` : ''}, ${Math.round(100 * full)} % full`;
    }),
    `${label('Files')}${visible(folder)}: a template and a drawing for each sheet, film.json`,
    ...(withoutGap < all.length
      ? [`With --gap 0, edge to edge, ${many(withoutGap, 'sheet')} would do.`]
      : []),
    '',
  ].join('\n');
}

const many = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

const inMm = ({ widthMm, heightMm }: Sheet): string =>
  `${Number(widthMm.toFixed(1))} × ${Number(heightMm.toFixed(1))} mm`;
