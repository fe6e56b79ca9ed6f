import { didYouMean, nearestWord, Problem, settings } from '../src/index.js';
import type { Command } from './command.js';
import { commandLine } from './options.js';
import { optionName, optionSettings } from './setting-option.js';

/** That a command has no such option, and which may be meant. */
export function noOption(option: string, { command, builder }: Command): Problem {
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

/** What is wrong with the words after a command. */
export function misuse(
  what: string,
  command: string,
  remedy: (help: string) => string = (help) => help,
): Problem {
  return new Problem(what, commandLine.where, remedy(`See stencilwright ${command} --help`));
}

/** That the first word is no command, and what may be meant: often the picture itself. */
export function noCommand(words: readonly string[], commands: readonly Command[]): Problem {
  const names = commands.map(({ command }) => command);
  const isFile = /[./\\]/.test(words[0]);
  const near = isFile ? undefined : nearestWord(words[0], names);
  return new Problem(
    `There is no command called "${words[0]}"`,
    commandLine.where,
    near === undefined
      ? `To make a stencil, write: stencilwright make ${words.filter((word) => word !== 'make').join(' ')}`
      : `Did you mean stencilwright ${[near, ...words.slice(1)].join(' ')}? The commands are: ${names.join(', ')}`,
  );
}
