import {
  completeJob,
  counted,
  makeBatch,
  Problem,
  unusedByOutputs,
  visible,
  type Batch,
  type FailedRow,
  type Gone,
  type MadeRow,
  type SummaryRow,
} from '../src/index.js';
import { nearPath } from './near-path.js';
import { textOf, positionalArguments, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { rowLine } from './json-line.js';
import { jobOptions, readSettings } from './job-given.js';
import { localeOf, readOutputs } from './make.js';
import { commandLine, inOptions, outDirOf, outOption, outputOptions, unshown } from './options.js';
import { Pace } from './pace.js';
import { noteLines } from './summary.js';
import { painter, progressOn, type OutputStreams, type Paint } from './terminal.js';
import { tell } from './trouble.js';
import { version } from './version.js';

/** Far more than a table computer has cores; each thread takes some 100 MB. */
const MOST_THREADS = 64;
/** Threads that write see each file through to the disk before they stop. */
const PATIENCE_MS = 1_500;

/** `stencilwright batch FOLDER` */
export const batch: Command = {
  command: 'batch',
  takes: 'FOLDER',
  describe: 'make a stencil of each picture in a folder',
  builder: {
    ...unshown({ ...jobOptions, ...outputOptions }),
    out: outOption('Options', 'the stencils’ folders and the summary go'),
    below: {
      type: 'boolean',
      group: 'Options',
      describe: 'Takes the pictures in the folders below as well.',
    },
    threads: {
      type: 'string',
      value: 'NUMBER',
      group: 'Options',
      describe:
        'How many stencils are made at the same time. Unless set: as many as the computer has cores.',
    },
  },
  help: {
    says: [
      'Makes a stencil of every picture in a folder, as many at the same time as your computer has cores, and a summary of them all: summary.html to look at, summary.csv for a spreadsheet. A picture that can’t be made does not stop the others; the summary says why.',
      'Stop it with Ctrl-C when you like. Given again, the same command goes on where it was, and makes anew only what changed: a picture, or its settings.',
      'A picture can have settings of its own: a file beside it with the same name and the ending .json, nana.json for nana.jpg. They go before those of the command line.',
    ],
    examples: [
      'batch ~/Pictures/cards',
      'batch ~/Pictures --below --card postcard --out ~/stencils',
    ],
    notes: {
      'And as for stencilwright make': [
        '--outputs, --settings, --hand, --json and every setting: see stencilwright make --help.',
      ],
      'Ends with': [
        '0  \tevery stencil is good',
        '1  \ta picture could not be made, or a stencil breaks a promise: the summary says which',
        '2  \tnothing was made',
      ],
    },
  },
  handler: runBatch,
};

/** Gives the exit status: 0 all good, 1 some not made or not good, 2 none made. */
async function runBatch(
  given: CommandArguments,
  { stdout, stderr }: OutputStreams,
): Promise<number> {
  const folder = readFolder(positionalArguments(given));
  const outDir = outDirOf(given);
  const json = given.json === true;
  const job = await readSettings(given);
  const threads = readThreads(textOf(given, 'threads'));
  const outputs = readOutputs(textOf(given, 'outputs'));
  const progress = progressOn(stderr);
  const paint = painter(stdout);
  let pace = new Pace(0);
  const result = await stoppable((signal) => {
    signal.addEventListener('abort', () => {
      progress.show('Stopping …');
    });
    return makeBatch(folder, outDir, {
      job,
      outputs,
      below: given.below === true,
      version: version(),
      signal,
      ...(threads !== undefined && { threads }),
      ...localeOf(process.env),
      onBegin: (count) => {
        pace = new Pace(count);
        progress.show(pace.line());
      },
      onRow: (row) => {
        progress.clear();
        stdout.write(`${json ? rowLine(row, outDir) : rowText(row, paint)}\n`);
        pace.count(row.fate !== 'failed' && row.kept);
        if (!signal.aborted) progress.show(pace.line());
      },
    }).then((done) => {
      progress.clear();
      if (!json) {
        const unused = done.stopped ? [] : unusedByOutputs(completeJob(job), outputs);
        stdout.write(endText(done, pace.total) + noteLines(unused));
      }
      return done;
    });
  }, PATIENCE_MS);
  if (result.unwritten) tell(result.unwritten, 'the summary', stderr);
  return statusOf(result);
}

function statusOf({ rows, unwritten }: Batch): number {
  if (rows.every(({ fate }) => fate === 'failed')) return 2;
  return unwritten === undefined && rows.every(({ fate }) => fate === 'good') ? 0 : 1;
}

function readFolder(words: readonly string[]): string {
  if (words.length === 1) return words[0];
  throw new Problem(
    words.length === 0 ? 'No folder is named' : `Several folders are named: ${words.join(', ')}`,
    commandLine.where,
    'Name one folder of pictures, as in: stencilwright batch ~/Pictures/cards',
  );
}

function readThreads(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const threads = Number(text);
  if (Number.isInteger(threads) && threads >= 1 && threads <= MOST_THREADS) return threads;
  throw new Problem(
    `--threads can't be ${JSON.stringify(text)}`,
    commandLine.where,
    `Give a whole number from 1 to ${MOST_THREADS}`,
  );
}

function rowText(row: SummaryRow, paint: Paint): string {
  const picture = visible(row.picture);
  switch (row.fate) {
    case 'good':
      return `${paint('green', '✓')} ${picture}  ${paint('dim', figures(row))}${notes(row)}`;
    case 'broken':
      return `${paint('yellow', '!')} ${picture}  ${figures(row)}: look before you cut${notes(row)}`;
    case 'failed':
      return `${paint('red', '✗')} ${picture}  ${reason(row)}`;
  }
}

function figures({ kept, figures: { openings, bridges, cutMm } }: MadeRow): string {
  return `${counted(openings, 'piece')}, ${counted(bridges, 'bridge')}, ${(cutMm / 1000).toFixed(1)} m of cutting${kept ? ', as before' : ''}`;
}

const notes = ({ notes }: MadeRow): string => notes.map((note) => `\n    ${note}.`).join('');

function reason({ picture, what, where, remedy }: FailedRow): string {
  return inOptions(`${what}${where.endsWith(picture) ? '' : ` (${where})`}. ${remedy}.`);
}

function endText({ rows, gone, summary, isRenamed, stopped }: Batch, total: number): string {
  const of = (fate: SummaryRow['fate']): number => rows.filter((row) => row.fate === fate).length;
  const kept = rows.filter((row) => row.fate !== 'failed' && row.kept).length;
  const counts = [
    `${of('good')} good`,
    of('broken') > 0 && `${of('broken')} to look at before you cut`,
    of('failed') > 0 && `${of('failed')} not made`,
    kept > 0 && `${kept} of them as before`,
  ].filter((part) => part !== false);
  const made = `${counted(total, 'picture')}: ${counts.join(', ')}.\n${notesOf(rows)}`;
  if (stopped) {
    return `Stopped with ${rows.length} of ${counted(total, 'picture')} done. Give the same command again to go on.\n`;
  }
  const left = gone.length === 0 ? '' : `${goneText(gone)}\n`;
  if (summary.length === 0) return made + left;
  const renamed = isRenamed ? '; another of that name stood there, or was changed' : '';
  return `${made}${left}Summary: ${summary.map((file) => visible(nearPath(file))).join(', ')}${renamed}\n`;
}

/** Lines of stencils whose pictures are gone; beyond that they are counted. */
const MOST_GONE = 8;

function goneText(gone: readonly Gone[]): string {
  const named = gone.slice(0, MOST_GONE).map(({ folder, picture }) => `${folder} (${picture})`);
  const more = gone.length - named.length;
  return `Still here, though the picture is gone: ${named.join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

/** What holds for all of them is told once. */
function notesOf(rows: readonly SummaryRow[]): string {
  const findings = rows.flatMap((row) => (row.fate === 'failed' ? [] : row.figures.findings));
  const unused = findings.filter(({ code }) => code === 'unused-setting');
  return noteLines([...new Set(unused.map(({ message }) => message))]);
}
