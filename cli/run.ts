import { Problem } from '../src/index.js';
import { batch } from './batch.js';
import type { Command } from './command.js';
import { hand } from './hand.js';
import { layers } from './layers.js';
import { make } from './make.js';
import { optionWords } from './options.js';
import { practice } from './practice.js';
import { sheets } from './sheets.js';
import { columnsOf, painter, type OutputStreams } from './terminal.js';
import { tones } from './tones.js';
import { tell } from './trouble.js';
import { version } from './version.js';
import { view } from './view.js';
import { words } from './words.js';

/** Every command there is. */
const commands: readonly Command[] = [
  make,
  words,
  layers,
  tones,
  batch,
  sheets,
  practice,
  hand,
  view,
];

/**
 * Runs a command line in this process.
 *
 * @param words what is written after `stencilwright`
 * @returns the exit status
 */
export async function runCommandLine(
  words: readonly string[],
  output: OutputStreams,
): Promise<number> {
  try {
    return await answer(words, output);
  } catch (error) {
    return tell(error, 'the command line', output.stderr);
  }
}

async function answer(words: readonly string[], output: OutputStreams): Promise<number> {
  const { stdout } = output;
  if (asks(words, '--version')) {
    stdout.write(`${version()}\n`);
    return 0;
  }
  // yargs takes a while to load; the version does without.
  if (words.length === 0 || asks(words, '--help', '-h')) {
    const { helpText } = await import('./help.js');
    stdout.write(await helpText(words, commands, painter(stdout), columnsOf(stdout)));
    return 0;
  }
  refuseNowhere();
  const { runCommand } = await import('./parser.js');
  return runCommand(words, commands, output);
}

/** Every command names files from where the person is; a folder that was removed is nowhere. */
function refuseNowhere(): void {
  try {
    process.cwd();
  } catch (cause) {
    throw new Problem(
      'The folder that you are in is no longer there',
      process.env.PWD ?? 'this folder',
      'Go to another one and give the command again',
      { cause },
    );
  }
}

function asks(words: readonly string[], ...options: readonly string[]): boolean {
  return optionWords(words).some((word) => options.includes(word));
}
