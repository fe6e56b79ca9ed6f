import type { ArgumentsCamelCase, CommandModule, Options } from 'yargs';
import type { Paint } from './terminal.js';

/** What was written after a command: each option's last value by the option's name, and all other words in `_`. */
export type Given = ArgumentsCamelCase<Readonly<Record<string, unknown>>>;

/** One command: a file of its own, listed in main.ts. Its handler sets the exit status. */
export interface Command extends CommandModule<object, Readonly<Record<string, unknown>>> {
  readonly command: string;
  /** What it takes, for the help: PICTURE… */
  readonly takes: string;
  readonly describe: string;
  readonly builder: Readonly<Record<string, Options>>;
  /** What its `--help` says; written by hand, so no parser is needed for it. */
  readonly help: (paint: Paint, columns: number) => string;
}

/** The words after the command that are no options. */
export function wordsOf(given: Given): readonly string[] {
  return given._.slice(1).map(String);
}

/** The value of an option that takes one; undefined where it was not given. */
export function textOf(given: Given, option: string): string | undefined {
  const value = given[option];
  return typeof value === 'string' ? value : undefined;
}
