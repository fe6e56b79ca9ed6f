import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import type { Parser } from 'yargs/helpers';
import { didYouMean, nearest, Problem, settings } from '../src/index.js';
import type { Command, CommandArguments } from './command.js';
import { commandLine, optionName, optionSettings, optionWords } from './options.js';

/** Words stay as they are written: no guessed numbers, no second spellings; of two values the last one holds. */
const PLAIN = {
  'camel-case-expansion': false,
  'dot-notation': false,
  'duplicate-arguments-array': false,
  'parse-numbers': false,
  'parse-positional-numbers': false,
} as const;

/** The name that the parser keeps for the words that are no options. */
const OTHERS = '_';

/**
 * Takes the words of a command line apart and runs the command that they name. Of the parser package only the parser
 * is loaded: the rest of it writes help, which is written by hand here.
 *
 * @throws Problem for a command or an option that is not there, and for an option without its value or with one
 *   that it does not take; and what the command throws
 */
export async function runCommand(
  words: readonly string[],
  commands: readonly Command[],
): Promise<void> {
  const [named, ...rest] = words;
  const found = commands.find(({ command }) => command === named);
  if (!found) throw noCommand(words, commands);
  await found.handler(takenApart(await loadParser(), rest, found));
}

/** By way of yargs/helpers, what it needs to write help would be loaded too: six times as much. */
async function loadParser(): Promise<typeof Parser> {
  const yargs = createRequire(import.meta.url).resolve('yargs');
  const file = pathToFileURL(createRequire(yargs).resolve('yargs-parser')).href;
  return ((await import(file)) as { default: typeof Parser }).default;
}

function takenApart(
  parser: typeof Parser,
  words: readonly string[],
  about: Command,
): CommandArguments {
  const { command, builder } = about;
  const reserved = optionWords(words).find(isReserved);
  if (reserved !== undefined) throw noOption(reserved.split('=')[0], about);
  const names = Object.keys(builder);
  const ofType = (type: string) => names.filter((name) => builder[name].type === type);
  const { argv, error } = parser.detailed([...words], {
    string: ofType('string'),
    boolean: ofType('boolean'),
    narg: Object.fromEntries(names.map((name) => [name, builder[name].type === 'string' ? 1 : 0])),
    configuration: PLAIN,
  });
  if (error) throw misuse(inOurWords(error), command);
  refuseUnknown(argv, about);
  return { ...argv, [OTHERS]: argv[OTHERS].map(String) };
}

/** What the parser finds wrong, in our words. */
function inOurWords({ message }: Error): string {
  const [, option] = /: (\S+)$/.exec(message) ?? [];
  if (option === undefined) return message;
  return message.startsWith('Argument unexpected')
    ? `--${option} takes no value`
    : `--${option} needs a value after it`;
}

/** Whether a word is an option that the parser would stumble over; a name that every object has is one. */
function isReserved(word: string): boolean {
  const [, name] = /^--(?:no-)?([^=]+)/.exec(word) ?? [];
  return name !== undefined && (name === OTHERS || name in Object.prototype);
}

function refuseUnknown(given: Readonly<Record<string, unknown>>, about: Command): void {
  const { builder } = about;
  for (const [name, value] of Object.entries(given)) {
    if (name === OTHERS) continue;
    // An option that takes a value has none to deny.
    if (Object.hasOwn(builder, name) && typeof value === builder[name].type) continue;
    throw noOption(spelt(name, value), about);
  }
}

function spelt(name: string, value: unknown): string {
  if (value === false) return `--no-${name}`;
  return name.length === 1 ? `-${name}` : `--${name}`;
}

function noOption(option: string, { command, builder }: Command): Problem {
  const word = option.replace(/^-+(no-)?/, '');
  const kept = keptInFile(word);
  if (kept !== undefined && Object.hasOwn(builder, 'settings')) {
    return misuse(
      `There is no option called ${option}`,
      command,
      (help) => `A settings file holds that, as "${kept}". ${help}`,
    );
  }
  const options = Object.keys(builder).map((name) => `--${name}`);
  return misuse(`There is no option called ${option}`, command, (help) =>
    didYouMean(word, options, help),
  );
}

/** The setting of that name that only a settings file holds. */
function keptInFile(word: string): string | undefined {
  const options = new Set<string>(optionSettings().map(([name]) => name));
  const kept = Object.keys(settings).filter((name) => !options.has(name));
  return kept.find((name) => name === word || optionName(name) === word);
}

function misuse(
  what: string,
  command: string,
  remedy: (help: string) => string = (help) => help,
): Problem {
  return new Problem(what, commandLine.where, remedy(`See stencilwright ${command} --help`));
}

function noCommand(words: readonly string[], commands: readonly Command[]): Problem {
  const names = commands.map(({ command }) => command);
  const isFile = /[./\\]/.test(words[0]);
  const near = isFile ? undefined : nearest(words[0], names);
  return new Problem(
    `There is no command called "${words[0]}"`,
    commandLine.where,
    near === undefined
      ? `To make a stencil, write: stencilwright make ${words.filter((word) => word !== 'make').join(' ')}`
      : `Did you mean stencilwright ${[near, ...words.slice(1)].join(' ')}? The commands are: ${names.join(', ')}`,
  );
}
