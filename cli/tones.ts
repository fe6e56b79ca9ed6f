import { basename, resolve } from 'node:path';
import {
  completeJob,
  costOf,
  optionsOf,
  pictureAt,
  Problem,
  toneTitle,
  tryTones,
  unusedSettings,
  visible,
  writeTones,
  type JobInput,
  type TriedTone,
} from '../src/index.js';
import { nearPath } from './near-path.js';
import { textOf, type Command, type CommandArguments } from './command.js';
import { stoppable } from './interrupts.js';
import { jobOptions, onePicture, readSettings } from './job-given.js';
import { nameWithoutEnding } from './make.js';
import { nameOption, outDirOf, outOption, unshown } from './options.js';
import { noteLines } from './summary.js';
import { painter, progressOn, type OutputStreams, type Paint } from './terminal.js';

/** Columns of the options at the left: the longest tone with its settings fits. */
const OPTION_COLUMNS = 40;

/** `stencilwright tones PICTURE` */
export const tones: Command = {
  command: 'tones',
  takes: 'PICTURE',
  describe: 'show a picture in many tones, to choose one',
  builder: {
    ...unshown(jobOptions),
    out: outOption('Options', 'they go'),
    name: nameOption('Options', 'What they are called. Unless set: like the picture.'),
  },
  help: {
    says: [
      'Shows a picture in many tones, each as a small print of its finished stencil with what there is to cut, so that you can choose by looking. Writes a sheet of them all, as a picture, nana-tones.png, and as a page, nana-tones.html.',
    ],
    examples: ['tones nana.jpg', 'tones nana.jpg --card 5x7in --crop 20,5,60,70'],
    notes: {
      'And as for stencilwright make': [
        '--settings, --hand and every setting: see stencilwright make --help.',
      ],
      'Ends with': ['0  \tthe sheet is written', '2  \tnothing was written'],
    },
  },
  handler: showTones,
};

/** Gives the exit status: 0, or 2 when nothing can be cut by any tone. */
async function showTones(
  given: CommandArguments,
  { stdout, stderr }: OutputStreams,
): Promise<number> {
  const picture = onePicture(given, 'Name one picture, as in: stencilwright tones nana.jpg');
  const job = await readSettings(given);
  const progress = progressOn(stderr);
  const tried = await tryTones(picture, job, (place, count) => {
    progress.show(`${picture}: tone ${place + 1} of ${count} …`);
  });
  progress.clear();
  if (tried.every(({ fate }) => fate === 'failed')) {
    throw new Problem(
      'Nothing can be cut by any of these tones',
      picture,
      'Take a larger card, crop the picture closer, or lower the limits',
    );
  }
  const file = basename(resolve(picture));
  const outDir = outDirOf(given);
  const name = textOf(given, 'name') ?? nameWithoutEnding(picture);
  const of = await pictureAt(picture);
  const files = await stoppable((signal) =>
    writeTones(tried, { name, picture: file, of }, outDir, { signal }),
  );
  const paint = painter(stdout);
  const lines = tried.map((each, i) => line(each, i, paint));
  stdout.write(
    `${lines.join('\n')}\nLook at ${files.map((file) => visible(nearPath(file))).join(' or ')},\n`,
  );
  stdout.write(
    `then: stencilwright make ${visible(quoted(picture))} ${optionsOf(tried[0].settings)}\n`,
  );
  stdout.write(noteLines(idle(given, job)));
  return 0;
}

/** What a tone is made of: each that is tried has its own. */
const TRIED = ['tone', 'level', 'masses', 'detail'] as const;

/** What was set and changes nothing, in a sentence each. */
function idle(given: CommandArguments, job: JobInput): string[] {
  const tried = TRIED.filter((name) => textOf(given, name) !== undefined);
  const plain = Object.fromEntries(TRIED.map((name) => [name, null]));
  return [
    ...tried.map((name) => `\`${name}\` changes nothing here: every tone is tried.`),
    ...unusedSettings(completeJob({ ...job, ...plain })).map(({ message }) => message),
  ];
}

function line(tried: TriedTone, i: number, paint: Paint): string {
  const start = `${String(i + 1).padStart(2)}  ${optionsOf(tried.settings).padEnd(OPTION_COLUMNS)}`;
  if (tried.fate === 'failed') return `${start}${paint('dim', tried.why)}`;
  const { figures, fate } = tried;
  const chosen = tried.settings.tone === 'best' ? ` (${toneTitle(tried)})` : '';
  const look = fate === 'good' ? '' : paint('yellow', ', look before you cut');
  return `${start}${costOf(figures)}${chosen}${look}`;
}

/** A file's name as a shell takes it (POSIX.1-2017, 2.2.2). */
function quoted(file: string): string {
  return /^[\w./-]+$/.test(file) ? file : `'${file.replaceAll("'", `'\\''`)}'`;
}
