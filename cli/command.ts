import type { Options } from 'yargs';
import { Problem } from '../src/index.js';
import type { OutputStreams } from './terminal.js';

/** An option as yargs has it; without a group it is taken and not shown in the help. */
export interface Option extends Readonly<Pick<Options, 'group' | 'describe'>> {
  /** With a value after it, which comes in as text and is checked where all settings are; or alone. */
  readonly type: 'string' | 'boolean';
  /** What the help calls its value: MM. */
  readonly value?: string;
  /** On unless it is denied, so the help shows it as --no-… */
  readonly denied?: true;
}

/** The options of a command by their names. */
export type OptionsByName = Readonly<Record<string, Option>>;

/** What was written after a command: each option's last value by the option's name, and all other words in `_`. */
export interface CommandArguments extends Readonly<Record<string, unknown>> {
  readonly _: readonly string[];
}

/** One command: a file of its own, listed in run.ts. */
export interface Command {
  readonly command: string;
  /** What it takes, for the help: PICTURE… */
  readonly takes: string;
  /** What it does, in a few words. */
  readonly describe: string;
  readonly builder: OptionsByName;
  readonly help: CommandHelp;
  /** Does it and gives the exit status. */
  readonly handler: (given: CommandArguments, output: OutputStreams) => number | Promise<number>;
}

/** What the help of a command says besides its options. */
interface CommandHelp {
  /** What it does, a paragraph each. */
  readonly says: readonly string[];
  /** The words after `stencilwright`. */
  readonly examples?: readonly string[];
  /** What else there is to know, under headings; a tab parts columns. */
  readonly notes?: Readonly<Record<string, readonly string[]>>;
}

/** The words after the command that are no options. */
export function positionalArguments(given: CommandArguments): readonly string[] {
  return given._;
}

/**
 * Refuses words after a command that takes none.
 *
 * @throws Problem that names them
 */
export function refuseArguments(given: CommandArguments): void {
  const words = positionalArguments(given);
  if (words.length === 0) return;
  throw new Problem(
    `This command takes nothing but options, and got: ${words.join(' ')}`,
    'on the command line',
    'Leave that out',
  );
}

/** The value of an option that takes one; undefined where it was not given. */
export function textOf(given: CommandArguments, option: string): string | undefined {
  const value = given[option];
  return typeof value === 'string' ? value : undefined;
}
