#!/usr/bin/env -S node --single-threaded-gc
import './engine.js';
import { Problem } from '../src/index.js';
import type { Command } from './command.js';
import { overviewText } from './help.js';
import { hand } from './hand.js';
import { listenAsFirstProcess } from './interrupts.js';
import { batch } from './batch.js';
import { layers } from './layers.js';
import { make } from './make.js';
import { optionWords } from './options.js';
import { outliveOutput } from './output.js';
import { sheets } from './sheets.js';
import { practice } from './practice.js';
import { columnsOf, painter, type Paint } from './terminal.js';
import { tones } from './tones.js';
import { tell } from './trouble.js';
import { version } from './version.js';
import { view } from './view.js';

/** Every command there is. */
const commands: readonly Command[] = [make, layers, tones, batch, sheets, practice, hand, view];

listenAsFirstProcess();
outliveOutput();

try {
  await run(process.argv.slice(2));
} catch (error) {
  process.exitCode = tell(error, 'the command line');
}

async function run(words: readonly string[]): Promise<void> {
  if (asks(words, '--version')) {
    process.stdout.write(`${version()}\n`);
  } else if (words.length === 0 || asks(words, '--help', '-h')) {
    process.stdout.write(help(words, painter(process.stdout), columnsOf(process.stdout)));
  } else {
    refuseNowhere();
    // The parser takes a while to load; help and version do without.
    const { runCommand } = await import('./words.js');
    await runCommand(words, commands);
  }
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

function help(words: readonly string[], paint: Paint, columns: number): string {
  const asked = commands.find(({ command }) => words.includes(command));
  return asked ? asked.help(paint, columns) : overviewText(commands, paint, columns);
}

function asks(words: readonly string[], ...options: readonly string[]): boolean {
  return optionWords(words).some((word) => options.includes(word));
}
