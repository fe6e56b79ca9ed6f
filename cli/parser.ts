import yargs, { type Argv, type Options } from 'yargs';
import type { Command, OptionsByName } from './command.js';
import { misuse, noCommand, noOption } from './misuse.js';
import { optionWords } from './options.js';
import type { OutputStreams } from './terminal.js';

/**
 * yargs' own conversions off: words are not made into numbers, options have one spelling; of two values the last
 * counts.
 */
const PLAIN = {
  'camel-case-expansion': false,
  'dot-notation': false,
  'duplicate-arguments-array': false,
  'parse-numbers': false,
  'parse-positional-numbers': false,
} as const;

/** What yargs itself finds wrong, in our words. */
const WORDS = {
  'Not enough arguments following: %s': '--%s needs a value after it',
  'Argument unexpected for: %s': '--%s takes no value',
} as const;

/** What yargs keeps beside the options: the other words, the program's name, the words after a lone `--`. */
const KEPT: ReadonlySet<string> = new Set(['_', '$0', '--']);

/**
 * yargs, the same in every language and in every folder, one that is gone too; it ends no process and prints nothing.
 */
export function parserOf(words: readonly string[]): Argv {
  return yargs([...words], '/')
    .scriptName('stencilwright')
    .locale('en')
    .updateStrings(WORDS)
    .help(false)
    .version(false)
    .exitProcess(false)
    .fail(false)
    .parserConfiguration(PLAIN);
}

/**
 * Takes the words of a command line apart and runs the command that they name.
 *
 * @returns the exit status
 * @throws Problem for a command or an option that is not there, and for an option without its value or with one
 *   that it does not take; and what the command throws
 */
export async function runCommand(
  words: readonly string[],
  commands: readonly Command[],
  output: OutputStreams,
): Promise<number> {
  refuseReserved(words, commands);
  let status = 0;
  const parser = parserOf(words).command({
    command: '$0',
    describe: false,
    handler: () => {
      throw noCommand(words, commands);
    },
  });
  for (const about of commands) {
    parser.command({
      command: about.command,
      builder: (inner: Argv) => optionsOf(inner, about),
      handler: async (given) => {
        const [, ...others] = given._;
        status = await about.handler({ ...given, _: others.map(String) }, output);
      },
    });
  }
  await parser.parseAsync();
  return status;
}

function optionsOf(parser: Argv, about: Command): Argv {
  return parser
    .options(taken(about.builder))
    .check((given) => {
      refuseUnknown(given, about);
      return true;
    })
    .fail((message: string, error: Error | undefined) => {
      throw error === undefined || error.name === 'YError' ? misuse(message, about.command) : error;
    });
}

/**
 * Options as they are taken: a value is always the next word, and a switch takes none. They are hidden, as yargs draws
 * the help each time that it runs a command, asked or not.
 */
function taken(options: OptionsByName): Record<string, Options> {
  return Object.fromEntries(
    Object.entries(options).map(([name, { type }]) => [
      name,
      { type, nargs: type === 'string' ? 1 : 0, hidden: true },
    ]),
  );
}

/** Refuses what yargs would stumble over as an option: a name that every object has, and those that it keeps. */
function refuseReserved(words: readonly string[], commands: readonly Command[]): void {
  const about = commands.find(({ command }) => command === words[0]);
  const reserved = optionWords(words).find((word) => {
    const [, name] = /^--(?:no-)?([^=]+)/.exec(word) ?? [];
    return name !== undefined && (KEPT.has(name) || name in Object.prototype);
  });
  if (about && reserved !== undefined) throw noOption(reserved.split('=')[0], about);
}

/** In place of yargs' own strictness, which knows of nothing nearly meant, and lets --no-margin pass. */
function refuseUnknown(given: Readonly<Record<string, unknown>>, about: Command): void {
  const { builder } = about;
  for (const [name, value] of Object.entries(given)) {
    if (KEPT.has(name)) continue;
    // An option that takes a value has none to deny.
    if (Object.hasOwn(builder, name) && typeof value === builder[name].type) continue;
    throw noOption(spelt(name, value), about);
  }
}

function spelt(name: string, value: unknown): string {
  if (value === false) return `--no-${name}`;
  return name.length === 1 ? `-${name}` : `--${name}`;
}
