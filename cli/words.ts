import yargs, { type Options } from 'yargs';
import { Problem } from '../src/index.js';
import type { Command, Given } from './command.js';
import { commandLine, optionWords } from './options.js';

/** Words stay as they are written: no guessed numbers, no second spellings; of two values the last one holds. */
const PLAIN = {
  'camel-case-expansion': false,
  'dot-notation': false,
  'duplicate-arguments-array': false,
  'parse-numbers': false,
  'parse-positional-numbers': false,
} as const;

/** What the parser finds wrong, in our words. */
const SENTENCES = {
  'Not enough arguments following: %s': '--%s needs a value after it',
  'Argument unexpected for: %s': '--%s takes no value',
} as const;

/** Names that the parser keeps for itself. */
const RESERVED: readonly string[] = ['_', '$0', 'get-yargs-completions'];

/**
 * Takes the words of a command line apart and runs the command that they name.
 *
 * @throws Problem for a command or an option that is not there, and for an option without its value or with one
 *   that it does not take; and what the command throws
 */
export async function runCommand(
  words: readonly string[],
  commands: readonly Command[],
): Promise<void> {
  const [named] = words;
  if (!commands.some(({ command }) => command === named)) throw noCommand(words);
  const reserved = optionWords(words).find(isReserved);
  if (reserved !== undefined) throw noOption(reserved.split('=')[0], named);
  const parser = yargs()
    .scriptName('stencilwright')
    .parserConfiguration(PLAIN)
    .detectLocale(false)
    .updateStrings(SENTENCES)
    .help(false)
    .version(false)
    .exitProcess(false)
    .fail((sentence: string | null, error: Error | undefined) => {
      // An error of the command itself comes without a sentence of the parser.
      throw sentence === null && error ? error : misuse(sentence ?? '', named, error);
    });
  for (const { command, describe, builder, handler } of commands) {
    parser.command(command, describe, builder, (given: Given) => {
      refuseUnknown(given, builder, command);
      return handler(given);
    });
  }
  await parser.parseAsync([...words]);
}

/** Whether a word is an option that the parser would stumble over; a name that every object has is one. */
function isReserved(word: string): boolean {
  const [, name] = /^--(?:no-)?([^=]+)/.exec(word) ?? [];
  return name !== undefined && (RESERVED.includes(name) || name in Object.prototype);
}

function refuseUnknown(given: Given, options: Command['builder'], command: string): void {
  for (const [name, value] of Object.entries(given)) {
    if (name === '_' || name === '$0') continue;
    const option: Options | undefined = Object.hasOwn(options, name) ? options[name] : undefined;
    // An option that takes a value has none to deny.
    if (option !== undefined && typeof value === option.type) continue;
    throw noOption(spelt(name, value), command);
  }
}

function spelt(name: string, value: unknown): string {
  if (value === false) return `--no-${name}`;
  return name.length === 1 ? `-${name}` : `--${name}`;
}

function noOption(option: string, command: string): Problem {
  return misuse(`There is no option called ${option}`, command);
}

function misuse(what: string, command: string, cause?: Error): Problem {
  return new Problem(what, commandLine.where, `See stencilwright ${command} --help`, { cause });
}

function noCommand(words: readonly string[]): Problem {
  return new Problem(
    `There is no command called "${words[0]}"`,
    commandLine.where,
    `To make a stencil, write: stencilwright make ${words.filter((word) => word !== 'make').join(' ')}`,
  );
}
