import { basename, relative } from 'node:path';
import {
  completeLettering,
  completeUnder,
  keptInWords,
  letteringSettings,
  makeFor,
  makeWordLayers,
  makeWords,
  nameOfWords,
  prepareDrawing,
  Problem,
  provenanceOfWords,
  readWordsTold,
  typefaceOffers,
  underSettings,
  visible,
  withEarlier,
  writeMade,
  writeSpecimen,
  type FolderRequest,
  type LetteringTold,
  type Setting,
  type TypefaceOffer,
  type UnderTold,
  type WordsWish,
} from '../src/index.js';
import { textOf, wordsOf, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { failedLine, madeLine } from './json-line.js';
import { writeSet } from './layers.js';
import { jobOptions, readJob } from './job-given.js';
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
import { painter, progressOn, type Output } from './terminal.js';
import { tell } from './trouble.js';

const own = Object.entries(letteringSettings) as readonly (readonly [string, Setting])[];
const ownUnder = Object.entries(underSettings) as readonly (readonly [string, Setting])[];

/** `stencilwright words "…"` */
export const words: Command = {
  command: 'words',
  takes: '"…"',
  describe: 'a stencil of words you type, alone or with a picture',
  builder: {
    ...settingOptions([...own, ...ownUnder], 'Words'),
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
      'With --picture, the words stand above, below or beside it on the same card, and both are one stencil. With --under, there are two sheets in a folder of their own, as stencilwright layers makes them: layer-1 paints an outline or a cast shadow, layer-2 the letters over it. Three small squares in the margin show where the second goes.',
    ],
    examples: [
      'words "Nana"',
      'words "and the sea" "remembers" "every boat" --face hand --card 5x7in',
      'words 1987 --along arch --face slab',
      'words "Nana, 1931" --picture nana.jpg --face display --card 5x7in --turn portrait',
      'words "Nana" --under shadow',
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

function makeOrList(given: CommandArguments, output: Output): Promise<number> {
  return given.list === true ? list(given, output) : make(given, output);
}

/** Gives the exit status. */
async function make(given: CommandArguments, output: Output): Promise<number> {
  const { stdout, stderr } = output;
  const { wish, under } = await readWish(given);
  if (under.under !== 'none') return makeSheets(wish, under, given, output);
  const job = await readJob(given);
  const outputs = readOutputs(textOf(given, 'outputs'));
  const progress = progressOn(stderr);
  const drawing = prepareDrawing(outputs.filter((each) => each !== 'report'));
  const title = titleOf(wish);
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
): Promise<{ readonly wish: WordsWish; readonly under: UnderTold }> {
  const told = await readTold(given);
  const typed = wordsOf(given);
  const lines = typed.length > 0 ? typed : (told?.lines ?? []);
  if (lines.length === 0) {
    throw new Problem(
      'There are no words',
      commandLine.where,
      'Write them in quotes, as in: stencilwright words "Nana"',
    );
  }
  const set = completeLettering({ ...told?.set, ...settingsGiven(given, own) }, commandLine);
  const { paint, ...before } = told?.under ?? {};
  const under = {
    ...completeUnder({ ...before, ...settingsGiven(given, ownUnder) }, commandLine),
    ...(paint !== undefined && { paint }),
  };
  return { wish: { words: lines, set, ...(told && { before: told.letters }) }, under };
}

/** Makes the letters and the sheet that is painted under them. Gives the exit status. */
async function makeSheets(
  wish: WordsWish,
  { paint, ...under }: UnderTold,
  given: CommandArguments,
  output: Output,
): Promise<number> {
  const read = await readJob(given, { registerMarks: true });
  // The report of one of two sheets has that one's paint.
  const job = { ...read, ...(given.paint === undefined && paint !== undefined && { paint }) };
  const title = titleOf(wish);
  const outputs = readOutputs(textOf(given, 'outputs'));
  try {
    return await writeSet(given, output, {
      title,
      outputs,
      doing: 'layer',
      request: () => folderFor(wish, given, 'layers'),
      make: (options) => makeWordLayers(wish, under, job, options),
    });
  } catch (error) {
    return failed(error, title, given, output);
  }
}

const titleOf = ({ words: lines }: WordsWish): string => lines.join(' / ');

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
  { stdout, stderr }: Output,
): number {
  if (given.json === true) stdout.write(`${failedLine(title, error)}\n`);
  return tell(error, title, stderr);
}

async function readTold(given: CommandArguments): Promise<LetteringTold | undefined> {
  const file = textOf(given, 'settings');
  return file === undefined ? undefined : readWordsTold(file);
}

/** Prints the typefaces, and writes the sheet that shows them. */
async function list(given: CommandArguments, { stdout }: Output): Promise<number> {
  const job = await readJob(given);
  const sample = wordsOf(given);
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
