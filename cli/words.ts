import { basename, relative } from 'node:path';
import {
  completeLettering,
  completeSheets,
  keptInWords,
  letteringSettings,
  makeFor,
  makeWordLayers,
  makeWords,
  nameOfWords,
  NO_EDITS,
  prepareDrawing,
  Problem,
  provenanceOfWords,
  readWordsTold,
  typefaceOffers,
  sheetSettings,
  visible,
  withEarlier,
  writeMade,
  writeSpecimen,
  type FolderRequest,
  type LetteringTold,
  type Setting,
  type TypefaceOffer,
  type SheetsTold,
  type WordsWish,
} from '../src/index.js';
import { textOf, positionalArguments, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { failedLine, madeLine } from './json-line.js';
import { writeSet } from './layers.js';
import { jobOptions, readJob, readSettings } from './job-given.js';
import { doing, localeOf, notesOf, readOutputs } from './make.js';
import {
  commandLine,
  nameOption,
  outDirOf,
  outOption,
  outputOptions,
  settingsGiven,
  unshown,
} from './options.js';
import { settingOptions } from './setting-option.js';
import { summaryText } from './summary.js';
import { painter, progressOn, type OutputStreams } from './terminal.js';
import { tell } from './trouble.js';

const own = Object.entries(letteringSettings) as readonly (readonly [string, Setting])[];
const ownSheets = Object.entries(sheetSettings) as readonly (readonly [string, Setting])[];

/** `stencilwright words "…"` */
export const words: Command = {
  command: 'words',
  takes: '"…"',
  describe: 'a stencil of words you type, alone or with a picture',
  builder: {
    ...settingOptions([...own, ...ownSheets], 'Words'),
    ...unshown({ ...jobOptions, ...outputOptions }),
    list: {
      type: 'boolean',
      group: 'Options',
      describe:
        'Lists the typefaces, each with the smallest capitals that your tool and hand can cut in it, and writes a sheet that shows them, with your own words where you give some.',
    },
    out: outOption('Options', 'the stencil’s folder goes'),
    name: nameOption(
      'Options',
      'What the stencil and its folder are called. Unless set: like the words; with a number where something else has that name.',
    ),
  },
  help: {
    says: [
      'Makes a stencil of words: a name, a year, a line of a song. Each text in quotes is a line of its own. The letters are cut as their typeface draws them, and their insides are held by bridges that are the same for the same letter, on one axis, as a designer of stencil letters lays them. Where the film between two letters would be too narrow, the letters move apart, and that is said.',
      'With --picture, the words stand above, below or beside it on the same card, and both are one stencil. With --under or --layers, there are several sheets, one for each paint, as stencilwright layers makes them: the letters are on the last, with the darkest of the picture; an outline or a shadow of the letters on the first. Three small squares in the margin show where the next sheet goes.',
    ],
    examples: [
      'words "Nana"',
      'words "and the sea" "remembers" "every boat" --face hand --card 5x7in',
      'words 1987 --along arch --face slab',
      'words "Nana, 1931" --picture nana.jpg --face display --card 5x7in --turn portrait',
      'words "Nana" --under shadow',
      'words "Nana, 1931" --picture nana.jpg --layers 3',
      'words --list "Nana"',
    ],
    notes: {
      'And as for stencilwright make': [
        '--outputs, --settings, --hand, --json and every setting: see stencilwright make --help. Given the report of earlier words and no new ones, it makes those again; given new words, what you edited stays with the letters that are still there.',
      ],
      'Ends with': [
        '0  \tthe stencil is good',
        '1  \tit was written, but breaks a promise: the report says which, and where',
        '2  \tnothing was written: the words, the typeface or a setting is wrong',
      ],
    },
  },
  handler: makeOrList,
};

function makeOrList(given: CommandArguments, output: OutputStreams): Promise<number> {
  return given.list === true ? listTypefaces(given, output) : make(given, output);
}

/** Gives the exit status. */
async function make(given: CommandArguments, output: OutputStreams): Promise<number> {
  const { stdout, stderr } = output;
  const { wish, sheets } = await readWish(given);
  if (sheets.count > 1) return makeSheets(wish, sheets, given, output);
  const job = { ...(await readJob(given)), ...sheets.edits.at(-1) };
  const outputs = readOutputs(textOf(given, 'outputs'));
  const progress = progressOn(stderr);
  const drawing = prepareDrawing(outputs.filter((each) => each !== 'report'));
  const title = wordsTitle(wish);
  try {
    const request = await folderFor(wish, given, 'stencil');
    const { made, place } = await makeFor(outDirOf(given), request, (place) =>
      makeWords(wish, job, {
        name: place.name,
        of: request.of,
        outputs: withEarlier(outputs, place.earlier),
        draw: drawing.draw,
        ...localeOf(process.env),
        onStage: (stage) => {
          progress.show(`${doing[stage]} …`);
        },
      }),
    );
    const notes = notesOf(request, place, outputs);
    const folder = await stoppable((signal) =>
      writeMade(made, outDirOf(given), {
        signal,
        name: place.name,
        onKept: (kept) => void notes.push(keptInWords(kept)),
      }),
    );
    progress.clear();
    const fate = { picture: title, made, folder, notes };
    stdout.write(
      `${given.json === true ? madeLine(title, made, folder, notes) : summaryText(fate, stdout)}\n`,
    );
    return made.good ? 0 : 1;
  } catch (error) {
    progress.clear();
    return failed(error, title, given, output);
  } finally {
    await drawing.close();
  }
}

/** The words and how they are to be cut: on the command line, and where that says nothing of it, in a report. */
async function readWish(
  given: CommandArguments,
): Promise<{ readonly wish: WordsWish; readonly sheets: SheetsTold }> {
  const told = await readTold(given);
  const typed = positionalArguments(given);
  const lines = typed.length > 0 ? typed : (told?.lines ?? []);
  if (lines.length === 0) {
    throw new Problem(
      'There are no words',
      commandLine.where,
      'Write them in quotes, as in: stencilwright words "Nana"',
    );
  }
  const set = completeLettering({ ...told?.set, ...settingsGiven(given, own) }, commandLine);
  const sheets = sheetsOf(settingsGiven(given, ownSheets), told?.sheets);
  return { wish: { words: lines, set, ...(told && { before: told.letters }) }, sheets };
}

/** The sheets that are wanted: on the command line, and where that says nothing of them, in a report. */
function sheetsOf(said: Readonly<Record<string, unknown>>, told?: SheetsTold): SheetsTold {
  if (!told) return { ...completeSheets(said, commandLine), edits: [] };
  const { under, underBy, laid, overlap, layers, levels, paints, paint, edits } = told;
  // Levels and paints are one for each sheet: another number of sheets has others.
  const parts = ['layers', 'levels', 'paints', 'under'].some((name) => said[name] !== undefined)
    ? {}
    : { layers: String(layers), levels: levels?.join(','), paints: paints?.join(',') };
  const sheets = completeSheets({ under, underBy, laid, overlap, ...parts, ...said }, commandLine);
  return {
    ...sheets,
    ...(paint !== undefined && { paint }),
    edits: Array.from({ length: sheets.count }, (_, k) =>
      k === sheets.count - 1
        ? (edits.at(-1) ?? NO_EDITS)
        : ((edits.length === sheets.count ? edits.at(k) : undefined) ?? NO_EDITS),
    ),
  };
}

/** Makes words, and a picture beside them, as a sheet for each paint. Gives the exit status. */
async function makeSheets(
  wish: WordsWish,
  { paint, ...sheets }: SheetsTold,
  given: CommandArguments,
  output: OutputStreams,
): Promise<number> {
  const { as = 'stencil' } = await readSettings(given);
  // What is no stencil has no room for the marks: that is not what it is refused for.
  const read = await readJob(given, as === 'stencil' ? { registerMarks: true } : {});
  // The report of one of the sheets has that one's paint, and its edits.
  const job = {
    ...read,
    ...(given.paint === undefined && paint !== undefined && { paint }),
    ...sheets.edits.at(-1),
  };
  const title = wordsTitle(wish);
  const outputs = readOutputs(textOf(given, 'outputs'));
  try {
    return await writeSet(given, output, {
      title,
      outputs,
      doing: 'layer',
      request: () => folderFor(wish, given, 'layers'),
      make: (options) => makeWordLayers(wish, sheets, job, options),
    });
  } catch (error) {
    return failed(error, title, given, output);
  }
}

const wordsTitle = ({ words: lines }: WordsWish): string => lines.join(' / ');

/** The folder that words are to go to, by the name that was given or by their own. */
async function folderFor(
  wish: WordsWish,
  given: CommandArguments,
  made: 'stencil' | 'layers',
): Promise<FolderRequest> {
  const chosen = textOf(given, 'name');
  return {
    name: chosen ?? (await nameOfWords(wish)),
    isChosen: chosen !== undefined,
    of: { ...(await provenanceOfWords(wish)), made },
  };
}

/** Tells why words can't be made. Gives the exit status. */
function failed(
  error: unknown,
  title: string,
  given: CommandArguments,
  { stdout, stderr }: OutputStreams,
): number {
  if (given.json === true) stdout.write(`${failedLine(title, error)}\n`);
  return tell(error, title, stderr);
}

async function readTold(given: CommandArguments): Promise<LetteringTold | undefined> {
  const file = textOf(given, 'settings');
  return file === undefined ? undefined : readWordsTold(file);
}

/** Prints the typefaces, and writes the sheet that shows them. */
async function listTypefaces(given: CommandArguments, { stdout }: OutputStreams): Promise<number> {
  const job = await readJob(given);
  const sample = positionalArguments(given);
  const offers = await typefaceOffers(sample, job);
  const files = await stoppable((signal) =>
    writeSpecimen(offers, sample, job, outDirOf(given), { signal }),
  );
  const paint = painter(stdout);
  const rows = offers.map((offer) => row(offer, sample.length > 0));
  const near = files.map((file) => {
    const way = relative('', file);
    return visible(way.startsWith('..') ? file : way);
  });
  stdout.write(
    [
      paint(
        'bold',
        `The smallest capitals, in mm, that ${job.tool === 'hot-tip' ? 'a hot tip' : 'a craft knife'} of these limits can cut:`,
      ),
      ...rows,
      `Look at ${near.join(' or ')}, then: stencilwright words "…" --face ${basename(offers[0].kind)}`,
      '',
    ].join('\n'),
  );
  return 0;
}

function row({ kind, name, says, capitals, letters, words: own }: TypefaceOffer, isOwn: boolean) {
  const mm = (value: number): string => (Math.ceil(value * 10) / 10).toFixed(1).padStart(4);
  const sample = own === undefined ? 'not all of your letters' : `${mm(own)} for your words`;
  const figures = `${mm(capitals)} capitals alone, ${mm(letters)} with small letters${isOwn ? `, ${sample}` : ''}`;
  return `  ${kind.padEnd(11)} ${figures}\n  ${''.padEnd(11)} ${name}: ${says}`;
}
