#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { Problem } from '../src/index.js';
import { makeText, overviewText } from './help.js';
import { obeySignals } from './interrupts.js';
import { make } from './make.js';
import { commandLine } from './options.js';
import { columnsOf, painter } from './terminal.js';
import { tell } from './trouble.js';

obeySignals();
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of our pipe has what it wants.
  process.exit(error.code === 'EPIPE' ? 0 : tell(error, 'writing the summary'));
});

try {
  process.exitCode = await run(process.argv.slice(2));
} catch (error) {
  process.exitCode = tell(error, 'the command line');
}

async function run(words: readonly string[]): Promise<number> {
  const [command, ...rest] = words;
  if (asks(words, '--version')) {
    process.stdout.write(`${version()}\n`);
  } else if (words.length === 0 || asks(words, '--help', '-h')) {
    const text = words.includes('make') ? makeText : overviewText;
    process.stdout.write(text(painter(process.stdout), columnsOf(process.stdout)));
  } else if (command === 'make') {
    return make(rest);
  } else {
    throw new Problem(
      `There is no command called "${command}"`,
      commandLine.where,
      `To make a stencil, write: stencilwright make ${words.join(' ')}`,
    );
  }
  return 0;
}

/** Whether one of these options stands before a lone `--`. */
function asks(words: readonly string[], ...options: readonly string[]): boolean {
  const end = words.indexOf('--');
  return words.slice(0, end < 0 ? undefined : end).some((word) => options.includes(word));
}

/** The version, from the nearest package.json above this file: one above cli, two above dist/cli. */
function version(): string {
  for (const up of ['..', '../..']) {
    const found = readVersion(new URL(`${up}/package.json`, import.meta.url));
    if (found !== undefined) return found;
  }
  throw new Error('package.json is missing');
}

function readVersion(url: URL): string | undefined {
  try {
    return (JSON.parse(readFileSync(url, 'utf8')) as { version: string }).version;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}
