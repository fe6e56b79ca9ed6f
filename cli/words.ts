import { parseArgs } from 'node:util';
import { Problem } from '../src/index.js';
import type { Command, Given } from './command.js';
import { commandLine } from './options.js';

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
  const [named, ...rest] = words;
  const found = commands.find(({ command }) => command === named);
  if (!found) throw noCommand(words);
  await found.handler(takenApart(rest, found));
}

function takenApart(words: readonly string[], command: Command): Given {
  const { tokens } = parseArgs({
    args: [...words],
    options: command.builder,
    strict: false,
    allowPositionals: true,
    tokens: true,
  });
  const given: Record<string, unknown> = {};
  const others: string[] = [];
  for (const token of tokens) {
    if (token.kind === 'positional') others.push(token.value);
    else if (token.kind === 'option') Object.assign(given, readOption(token, command));
  }
  return { ...given, _: others };
}

interface Written {
  readonly name: string;
  readonly rawName: string;
  readonly value?: string | undefined;
  readonly inlineValue?: boolean | undefined;
}

/** The option's name and value; `--no-…` takes a switch back. Words stay as they are written. */
function readOption(
  { name, rawName, value, inlineValue }: Written,
  { command, builder }: Command,
): Readonly<Record<string, string | boolean>> {
  const positive = name.replace(/^no-/, '');
  const isLong = rawName.startsWith('--');
  const isDenied = !Object.hasOwn(builder, name) && typeOf(builder, positive) === 'boolean';
  const type = isDenied ? 'boolean' : typeOf(builder, name);
  if (!isLong || type === undefined) throw noOption(rawName, command);
  if (type === 'boolean') {
    if (inlineValue) throw misuse(`${rawName} takes no value`, command);
    return { [isDenied ? positive : name]: !isDenied };
  }
  if (value === undefined || (!inlineValue && looksLikeOption(value)))
    throw misuse(`${rawName} needs a value after it`, command);
  return { [name]: value };
}

/** A name that every object has is no option. */
function typeOf(builder: Command['builder'], name: string): 'string' | 'boolean' | undefined {
  return Object.hasOwn(builder, name) ? builder[name].type : undefined;
}

/** A word after an option that is no value of it: an option, or what ends them; a negative number is a value. */
function looksLikeOption(word: string): boolean {
  return /^-[^\d.,]/.test(word);
}

function noOption(option: string, command: string): Problem {
  return misuse(`There is no option called ${option}`, command);
}

function misuse(what: string, command: string): Problem {
  return new Problem(what, commandLine.where, `See stencilwright ${command} --help`);
}

function noCommand(words: readonly string[]): Problem {
  return new Problem(
    `There is no command called "${words[0]}"`,
    commandLine.where,
    `To make a stencil, write: stencilwright make ${words.filter((word) => word !== 'make').join(' ')}`,
  );
}
