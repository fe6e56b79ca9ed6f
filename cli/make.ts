import { basename, extname, resolve } from 'node:path';
import {
  didYouMean,
  makeStencil,
  outputNames,
  Problem,
  prepareDrawing,
  usualOutputs,
  writeMade,
  type Drawing,
  type Job,
  type OutputName,
} from '../src/index.js';
import { textOf, wordsOf, type Command, type Given } from './command.js';
import { makeText } from './help.js';
import { stoppable } from './interrupts.js';
import { failedLine, madeLine } from './json-line.js';
import { jobOptions, readJob } from './job-given.js';
import { outDirOf, switchOption, valueOption } from './options.js';
import { summaryText } from './summary.js';
import { progressOn } from './terminal.js';
import { tell } from './trouble.js';

/** One picture to make a stencil of, and the name of its stencil. */
interface Order {
  readonly picture: string;
  readonly name: string;
}

interface Plan {
  readonly job: Job;
  readonly outputs: readonly OutputName[];
  readonly outDir: string;
  readonly json: boolean;
}

const ALL = 'all';

/** `stencilwright make PICTURE…` */
export const make: Command = {
  command: 'make',
  takes: 'PICTURE…',
  describe: 'make a stencil of each picture',
  help: makeText,
  builder: {
    ...jobOptions(),
    out: valueOption,
    outputs: valueOption,
    json: switchOption,
  },
  handler: async (given) => {
    process.exitCode = await makeAll(given);
  },
};

/** Gives the exit status, the worst of the pictures'. */
async function makeAll(given: Given): Promise<number> {
  const orders = readOrders(wordsOf(given));
  const plan: Plan = {
    job: await readJob(given),
    outputs: readOutputs(textOf(given, 'outputs')),
    outDir: outDirOf(given),
    json: given.json === true,
  };
  const drawing = prepareDrawing(plan.outputs.filter((output) => output !== 'report'));
  let worst = 0;
  for (const order of orders) worst = Math.max(worst, await makeOne(order, plan, drawing));
  await drawing.close();
  return worst;
}

async function makeOne({ picture, name }: Order, plan: Plan, drawing: Drawing): Promise<number> {
  const progress = progressOn(process.stderr);
  try {
    const made = await makeStencil(picture, plan.job, {
      name,
      outputs: plan.outputs,
      draw: drawing.draw,
      ...localeOf(process.env),
      onStage: (stage, place, count) => {
        // Not before: until then the second processor is busy with the picture.
        if (stage === 'widen') drawing.warm();
        progress.show(`${picture}: ${doing[stage]} (${place + 1} of ${count}) …`);
      },
    });
    const folder = await stoppable((signal) => writeMade(made, plan.outDir, { signal }));
    progress.clear();
    const fate = { picture, made, folder };
    process.stdout.write(
      `${plan.json ? madeLine(picture, made, folder) : summaryText(fate, process.stdout)}\n`,
    );
    return made.good ? 0 : 1;
  } catch (error) {
    progress.clear();
    if (plan.json) process.stdout.write(`${failedLine(picture, error)}\n`);
    return tell(error, picture);
  }
}

/** Where the person is, from the environment: POSIX.1-2017, section 8.2, and LC_PAPER of the GNU C library. */
export function localeOf({ LC_ALL, LC_PAPER, LANG }: NodeJS.ProcessEnv): { locale?: string } {
  const locale = [LC_ALL, LC_PAPER, LANG].find((value) => value !== undefined && value !== '');
  return locale === undefined ? {} : { locale };
}

const doing = {
  read: 'reading the picture',
  subject: 'telling the subject apart',
  tone: 'telling dark from light',
  strands: 'following strands over and under',
  repeat: 'laying the motifs',
  role: 'parting film from openings',
  widen: 'widening what is too thin',
  trace: 'tracing the outlines',
  ease: 'easing the curves',
  bridge: 'holding the islands',
  likeness: 'comparing with the picture',
  plan: 'planning the cuts',
  survival: 'counting what is kept',
  measure: 'checking the promises',
  advice: 'looking for what would help',
  check: 'summing up',
} as const;

export function readOutputs(list: string | undefined): readonly OutputName[] {
  if (list === undefined) return usualOutputs;
  if (list.trim().toLowerCase() === ALL) return outputNames;
  return list.split(',').map((word) => {
    const known = outputNames.find((name) => name === word.trim().toLowerCase());
    if (known !== undefined) return known;
    throw new Problem(
      `There is no output called "${word.trim()}"`,
      '--outputs',
      didYouMean(
        word.trim(),
        outputNames,
        `Choose among ${outputNames.join(', ')}, with commas between, or all`,
      ),
    );
  });
}

/** Names the stencils; refuses two pictures whose stencils would take one folder. */
function readOrders(pictures: readonly string[]): readonly Order[] {
  if (pictures.length === 0) {
    throw new Problem(
      'No picture is named',
      'on the command line',
      'Write its file name, as in: stencilwright make nana.jpg',
    );
  }
  const orders = pictures.map((picture) => ({ picture, name: stencilName(picture) }));
  const taken = new Map<string, string>();
  for (const { picture, name } of orders) {
    // Some file systems tell no difference between capital and small letters, or ways to write an accent.
    const folder = name.normalize('NFC').toLowerCase();
    const other = taken.get(folder);
    if (other !== undefined) {
      throw new Problem(
        `Two pictures would make one stencil, "${name}": ${other} and ${picture}`,
        'on the command line',
        'Make them one at a time with a different --out, or rename one',
      );
    }
    taken.set(folder, picture);
  }
  return orders;
}

/** The picture's file name without its ending. */
export function stencilName(picture: string): string {
  const file = basename(resolve(picture));
  return basename(file, extname(file));
}
