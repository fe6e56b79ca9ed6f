import {
  MM_PER_INCH,
  outputNames,
  settings,
  spelt,
  usualOutputs,
  visible,
  type SettingsOrigin,
  type Setting,
} from '../src/index.js';
import { textOf, type CommandArguments, type Option, type OptionsByName } from './command.js';
import { optionName, optionSettings } from './setting-option.js';

/** The command line as a place that settings come from. */
export const commandLine: SettingsOrigin = {
  where: 'on the command line',
  // What can't be given here is named as the settings file has it.
  spell: (name) => (isData(name) ? name : `--${optionName(name)}`),
};

function isData(name: string): boolean {
  const all: Readonly<Record<string, Setting>> = settings;
  return Object.hasOwn(all, name) && all[name].kind === 'data';
}

/** What the library says, for a person at a terminal: settings as options, and nothing that the terminal acts on. */
export function inOptions(text: string): string {
  return visible(spelt(text, commandLine.spell));
}

const DEFAULT_OUT = 'stencils';

/** The folder that results go in. */
export function outDirOf(given: CommandArguments): string {
  return textOf(given, 'out') ?? DEFAULT_OUT;
}

/** The folder that results go in, as an option. */
export function outOption(group: string, what: string): Option {
  const describe = `The folder that ${what} in. Unless set: ./${DEFAULT_OUT}.`;
  return { type: 'string', value: 'DIR', group, describe };
}

/** What a result is called, as an option. */
export function nameOption(group: string, describe: string): Option {
  return { type: 'string', value: 'NAME', group, describe };
}

/** Options that another command's help shows. */
export function unshown(options: OptionsByName): OptionsByName {
  return Object.fromEntries(
    Object.entries(options).map(([name, { type }]) => [name, { type }] as const),
  );
}

/** Which outputs to write, and JSON in place of words. */
export const outputOptions: OptionsByName = {
  outputs: {
    type: 'string',
    value: 'LIST',
    group: 'Files',
    describe: `What to write, with commas between: ${outputNames.filter((name) => name !== 'report').join(', ')}, report alone, or all. Unless set: ${usualOutputs.join(', ')}. The report is always written.`,
  },
  json: {
    type: 'boolean',
    group: 'Files',
    describe: 'Prints one line of JSON for each picture, for another program to read.',
  },
};

/** The settings among the options, numbers as numbers where they are; a text that is no number stays one. */
export function settingsGiven(
  options: Readonly<Record<string, unknown>>,
  described: readonly (readonly [string, Setting])[] = optionSettings(),
): Readonly<Record<string, unknown>> {
  const given: Record<string, unknown> = {};
  for (const [name, setting] of described) {
    const value = options[optionName(name)];
    if (value === undefined) continue;
    given[name] =
      setting.kind === 'number' && typeof value === 'string'
        ? (readNumber(value, setting.unit) ?? value)
        : value;
  }
  return given;
}

/** The words that may be options: those before a lone `--` (POSIX.1-2017, 12.2, guideline 10). */
export function optionWords(words: readonly string[]): readonly string[] {
  const end = words.indexOf('--');
  return end < 0 ? words : words.slice(0, end);
}

const NUMBER = /^([+-]?\d*[.,]?\d+)\s*(\D[^\s]*)?$/;

/** What one of a unit is in the setting's own unit. */
const FACTORS: Readonly<
  Record<Extract<Setting, { kind: 'number' }>['unit'], Readonly<Record<string, number>>>
> = {
  mm: {
    mm: 1,
    cm: 10,
    in: MM_PER_INCH,
    inch: MM_PER_INCH,
    inches: MM_PER_INCH,
    '"': MM_PER_INCH,
    '″': MM_PER_INCH,
    '”': MM_PER_INCH,
  },
  'mm²': { 'mm²': 1, mm2: 1, 'cm²': 100, cm2: 100, 'in²': 645.16, in2: 645.16 },
  '%': { '%': 1 },
  '°': { '°': 1, deg: 1, degrees: 1 },
  'mm/min': { 'mm/min': 1, 'cm/min': 10, 'in/min': MM_PER_INCH },
  min: { min: 1, minutes: 1 },
  'px/mm': { 'px/mm': 1 },
  'px/in': { 'px/in': 1, dpi: 1, ppi: 1, 'px/inch': 1, 'px/cm': 2.54 },
};

/** Far finer than any limit, and free of what binary fractions leave: 6 in is 152.4 mm. */
const DECIMALS = 6;

/** Reads 6, 6mm, 0.25in, 1,5 or 40%; undefined when the text is no number or has another kind of unit. */
export function readNumber(text: string, unit: keyof typeof FACTORS): number | undefined {
  const [, digits, given] = NUMBER.exec(text.trim()) ?? [];
  if (digits === undefined) return undefined;
  const factors = new Map<string, number>(Object.entries(FACTORS[unit]));
  const factor = given === undefined ? 1 : factors.get(given.toLowerCase());
  if (factor === undefined) return undefined;
  return Number((Number(digits.replace(',', '.')) * factor).toFixed(DECIMALS));
}
