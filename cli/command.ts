import { Problem } from '../src/index.js';
import type { Paint } from './terminal.js';

/** How an option is written: with a value after it, or alone. */
export interface Option {
  readonly type: 'string' | 'boolean';
}

/** What was written after a command: each option's last value by the option's name, and all other words in `_`. */
export interface CommandArguments extends Readonly<Record<string, unknown>> {
  readonly _: readonly string[];
}

/** One command: a file of its own, listed in main.ts. Its handler sets the exit status. */
export interface Command {
  readonly command: string;
  /** What it takes, for the help: PICTURE… */
  readonly takes: string;
  readonly describe: string;
  readonly builder: Readonly<Record<string, Option>>;
  /** What its `--help` says; written by hand. */
  readonly help: (paint: Paint, columns: number) => string;
  readonly handler: (given: CommandArguments) => void | Promise<void>;
}

/** The words after the command that are no options. */
export function wordsOf(given: CommandArguments): readonly string[] {
  return given._;
}

/**
 * Refuses words after a command that takes none.
 *
 * @throws Problem that names them
 */
export function refuseWords(given: CommandArguments): void {
  const words = wordsOf(given);
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
