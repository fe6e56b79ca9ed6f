import { basename, dirname, extname, resolve } from 'node:path';
import {
  filmFiles,
  keptInWords,
  layOnFilm,
  makeInPlace,
  makeStencil,
  openStencils,
  parseCard,
  Problem,
  stencilOf,
  provenanceOfFilm,
  takenInWords,
  unusedOnSheets,
  visible,
  writeFilm,
  type CutPlan,
  type FullSheets,
  type PathContents,
  type Job,
  type Sheet,
  type Stencil,
} from '../src/index.js';
import { nearPath } from './near-path.js';
import { textOf, positionalArguments, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { jobOptions, readJob, readSettings } from './job-given.js';
import { localeOf } from './make.js';
import {
  commandLine,
  nameOption,
  outDirOf,
  outOption,
  readNumber,
  settingsGiven,
  unshown,
} from './options.js';
import { noteLines } from './summary.js';
import { painter, progressOn, type OutputStreams, type Paint, type Stream } from './terminal.js';

/** Film for stencils is sold in sheets of this size; the gap is for a pair of scissors. Common practice, no source. */
const DEFAULT_FILM = '9x12in';
const DEFAULT_GAP_MM = 3;
const DEFAULT_NAME = 'film';

/**
 * More than this was mistyped: a gap of two fingers' breadth, in mm, and more copies than anybody cuts of one stencil.
 */
const MOST_GAP_MM = 50;
const MOST_COPIES = 500;

/** `stencilwright sheets STENCIL…` */
export const sheets: Command = {
  command: 'sheets',
  takes: 'STENCIL…',
  describe: 'lay stencils on full sheets of film',
  builder: {
    ...unshown(jobOptions),
    copies: {
      type: 'string',
      value: 'N',
      group: 'Options',
      describe:
        'How many of each; or a number for each stencil, with commas between. Unless set: 1.',
    },
    film: {
      type: 'string',
      value: 'SIZE',
      group: 'Options',
      describe: `The size of the blank film. Unless set: ${DEFAULT_FILM}.`,
    },
    gap: {
      type: 'string',
      value: 'MM',
      group: 'Options',
      describe: `The film between one stencil and the next. Unless set: ${DEFAULT_GAP_MM} mm.`,
    },
    out: outOption('Options', 'the result’s folder goes'),
    name: nameOption(
      'Options',
      'The name of the result’s folder, and on the sheets. Unless set: film; with a number, film-2, where sheets of other stencils or something else has that name.',
    ),
  },
  help: {
    says: [
      'Lays stencils on blank film, as many on a sheet as it can hold, turned where that saves film, and makes a true-size template for each sheet, its pieces numbered in the order of cutting, and a plan of it. A stencil is the folder that stencilwright make wrote; of a set of layers all are laid; a picture is made into a stencil first. What holds none is left out, and named. The light frames on the template are where the stencils part.',
    ],
    examples: [
      'sheets stencils/nana stencils/moth --copies 4',
      'sheets stencils/* --film a4 --gap 5mm',
      'sheets leaf.svg moth.png --copies 6,2 --card trading-card',
    ],
    notes: {
      'And as for stencilwright make': [
        '--settings, --hand and every setting, for pictures, and the paper: see stencilwright make --help.',
      ],
      'Ends with': [
        '0  \tthe sheets are written',
        '1  \tthe sheets are written, and a stencil on them breaks a promise: see its report',
        '2  \tnothing was written',
      ],
    },
  },
  handler: layAll,
};

/** Gives the exit status: 0, or 1 when a stencil that breaks a promise was laid. */
async function layAll(given: CommandArguments, { stdout, stderr }: OutputStreams): Promise<number> {
  const paths = readPaths(positionalArguments(given));
  const film = readFilm(textOf(given, 'film') ?? DEFAULT_FILM);
  const gapMm = readGap(textOf(given, 'gap'));
  const copies = readCopies(textOf(given, 'copies') ?? '1', paths.length);
  const job = await readJob(given);
  const { found, skipped, withPictures } = await readAll(paths, job, stderr);
  const stencils = found.flatMap(({ stencil, of }) =>
    Array.from({ length: copies[of] }, () => stencil),
  );
  const laid = layOnFilm(stencils, film, gapMm);
  const locale = localeOf(process.env).locale ?? Intl.DateTimeFormat().resolvedOptions().locale;
  const chosen = textOf(given, 'name');
  const wish = {
    name: chosen ?? DEFAULT_NAME,
    isChosen: chosen !== undefined,
    of: provenanceOfFilm(laid),
  };
  const outDir = outDirOf(given);
  const settings = await readSettings(given);
  const { made, place } = await makeInPlace(outDir, wish, async ({ name }) => {
    const plans: CutPlan[] = [];
    const onPlan = (plan: CutPlan): void => void plans.push(plan);
    const files = await filmFiles(laid, { job, given: settings, name, locale, onPlan });
    const all = [...files].map(([file, bytes]) => ({ name: file, bytes }));
    return { made: { files, plans }, files: all };
  });
  const notes = [
    ...(skipped.length === 0 ? [] : [`Left out: ${skipped.join(', ')}`]),
    ...(place.taken === undefined ? [] : [takenInWords(wish.name, place.taken)]),
  ];
  const folder = await stoppable((signal) =>
    writeFilm(made.files, outDir, place.name, {
      signal,
      onKept: (kept) => void notes.push(keptInWords(kept)),
    }),
  );
  const closer = gapMm > 0 ? layOnFilm(stencils, film, 0).sheets.length : laid.sheets.length;
  const laidBy = new Map(found.map(({ stencil }) => [stencil.label ?? stencil.name, stencil]));
  const lines = [...notes, ...[...laidBy].flatMap(brokenInWords)].map((note) => `${note}.`);
  const told = summary({ laid, plans: made.plans, folder, withoutGap: closer }, painter(stdout));
  stdout.write([told, ...lines, ''].join('\n'));
  if (!withPictures) stdout.write(noteLines(unusedOnSheets(settingsGiven(given))));
  return found.some(({ stencil }) => (stencil.broken ?? 0) > 0) ? 1 : 0;
}

/** A word on a stencil that does not keep its promises, or of which nobody knows. */
function brokenInWords([name, { broken }]: readonly [string, Stencil]): string[] {
  if (broken === undefined)
    return [`${name} has no report, so whether it keeps its promises is not known`];
  if (broken === 0) return [];
  return [
    `Look before you cut ${name}: ${many(broken, 'promise')} could not be kept; its report says which, and where`,
  ];
}

interface Found {
  readonly stencil: Stencil;
  /** Which of the paths it came from. */
  readonly of: number;
}

interface AllFound {
  readonly found: readonly Found[];
  /** What of the paths holds no stencil. */
  readonly skipped: readonly string[];
  /** Whether a stencil was made of a picture. */
  readonly withPictures: boolean;
}

/** The stencils at all paths. */
async function readAll(paths: readonly string[], job: Job, stderr: Stream): Promise<AllFound> {
  const held: PathContents[] = [];
  for (const path of paths) held.push(await openStencils(path));
  const skipped = paths.flatMap((path, i) => {
    const each = held[i];
    return each.kind === 'other' ? [`${nearPath(path)} (${each.what})`] : [];
  });
  if (skipped.length === paths.length) {
    const isFile = held.every((each) => each.kind === 'other' && each.what === 'no picture');
    throw new Problem(
      isFile
        ? 'This is no stencil and no picture'
        : `There is no stencil in ${paths.length === 1 ? 'this folder' : 'any of these'}`,
      skipped.join(', '),
      'Name folders that stencilwright make wrote, with a stencil.svg in them, or pictures',
    );
  }
  const found: Found[] = [];
  for (const [of, path] of paths.entries()) {
    const each = held[of];
    if (each.kind === 'stencils') found.push(...each.stencils.map((stencil) => ({ stencil, of })));
    else if (each.kind === 'picture') found.push({ stencil: await makeOne(path, job, stderr), of });
  }
  const withPictures = held.some(({ kind }) => kind === 'picture');
  return { found: toldApart(found, paths), skipped, withPictures };
}

/** Stencils of one name that come from different places get those in their names on the sheets. */
function toldApart(found: readonly Found[], paths: readonly string[]): readonly Found[] {
  const placesOf = (name: string): Set<string> =>
    new Set(
      found.filter(({ stencil }) => stencil.name === name).map(({ of }) => resolve(paths[of])),
    );
  return found.map(({ stencil, of }) => {
    const places = [...placesOf(stencil.name)];
    if (places.length === 1) return { stencil, of };
    const path = resolve(paths[of]);
    const above = basename(dirname(path));
    const alike = places.filter((place) => basename(dirname(place)) === above);
    const which = alike.length > 1 ? basename(path) : above;
    return { stencil: { ...stencil, label: `${stencil.name} (${which})` }, of };
  });
}

/** A stencil of a picture, made now. A broken promise is told where stencils are made, and stops this. */
async function makeOne(picture: string, job: Job, stderr: Stream): Promise<Stencil> {
  const progress = progressOn(stderr);
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

interface LaidFilm {
  readonly laid: FullSheets;
  readonly plans: readonly CutPlan[];
  readonly folder: string;
  /** How many sheets would do without gaps. */
  readonly withoutGap: number;
}

function summary({ laid, plans, folder, withoutGap }: LaidFilm, paint: Paint): string {
  const { film, gapMm, sheets: all, areaBound } = laid;
  const count = all.reduce((sum, { cards }) => sum + cards.length, 0);
  const label = (text: string): string => paint('dim', text.padEnd(8));
  return [
    `${label('Film')}${many(all.length, 'sheet')} of ${sizeInMm(film)} for ${many(count, 'stencil')}, ${gapMm} mm between them; by area alone at least ${areaBound}`,
    ...all.map(({ cards, full }, i) => {
      const turned = cards.filter((card) => card.turned).length;
      return `${label(`  ${i + 1}`)}${many(cards.length, 'stencil')}${turned > 0 ? `, ${turned} turned` : ''}, ${Math.round(100 * full)} % full; ${many(plans[i].pieces.length, 'piece')}, about ${Math.ceil(plans[i].minutes)} minutes`;
    }),
    `${label('Files')}${visible(folder)}: a template, a plan and a drawing for each sheet, film.json`,
    ...(withoutGap < all.length
      ? [`With --gap 0, edge to edge, ${many(withoutGap, 'sheet')} would do.`]
      : []),
  ].join('\n');
}

const many = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;

const sizeInMm = ({ widthMm, heightMm }: Sheet): string =>
  `${Number(widthMm.toFixed(1))} × ${Number(heightMm.toFixed(1))} mm`;
