import { parseArgs, type ParseArgsConfig } from 'node:util';
import { Problem, settings, type Origin, type Setting, type SettingName } from '../src/index.js';

/** A setting's name as an option: narrowestOpening → narrowest-opening. */
export function optionName(name: string): string {
  return name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

/** The command line as a place that settings come from. */
export const commandLine: Origin = {
  where: 'on the command line',
  spell: (name) => `--${optionName(name)}`,
};

type OptionKinds = NonNullable<ParseArgsConfig['options']>;

/** What the words of a command line hold: options by name, each with all its values in order, and the rest. */
export interface Words {
  readonly options: Readonly<Record<string, unknown>>;
  readonly rest: readonly string[];
}

/** One option for each setting. Its value is checked where all settings are, so it comes in as text. */
export function settingOptions(): OptionKinds {
  return Object.fromEntries(
    Object.entries(settings).map(([name, setting]) => [
      optionName(name),
      { type: setting.kind === 'switch' ? 'boolean' : 'string', multiple: true },
    ]),
  );
}

/**
 * Takes words apart.
 *
 * @throws Problem for an option that is not there, has no value, or has one where it takes none
 */
export function parseWords(args: readonly string[], options: OptionKinds): Words {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options,
      allowPositionals: true,
      allowNegative: true,
    });
    return { options: { ...values }, rest: positionals };
  } catch (error) {
    throw new Problem(whatIsWrong(error), commandLine.where, 'See stencilwright make --help', {
      cause: error,
    });
  }
}

/** What the parser of Node.js says, as we would say it. */
function whatIsWrong(error: unknown): string {
  const { code = '', message } = error as NodeJS.ErrnoException;
  const option = /'(?:-\w, )?(--?[\w-]+)/.exec(message)?.[1] ?? 'an option';
  if (code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') return `There is no option called ${option}`;
  if (code !== 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE') throw error;
  return message.includes('does not take')
    ? `${option} takes no value`
    : `${option} needs a value after it`;
}

/** The settings among parsed options, numbers as numbers where they are; a text that is no number stays one. */
export function settingsGiven(options: Words['options']): Partial<Record<SettingName, unknown>> {
  const given: Partial<Record<SettingName, unknown>> = {};
  for (const [name, setting] of Object.entries(settings) as [SettingName, Setting][]) {
    const value = lastOf(options[optionName(name)]);
    if (value === undefined) continue;
    given[name] =
      setting.kind === 'number' && typeof value === 'string'
        ? (readNumber(value, setting.unit) ?? value)
        : value;
  }
  return given;
}

/** The value of an option; where it was given more than once, the last one. */
export function lastOf(value: unknown): unknown {
  return Array.isArray(value) ? (value as readonly unknown[]).at(-1) : value;
}

const NUMBER = /^([+-]?\d*[.,]?\d+)\s*(mm2|mm²|mm|cm|in|"|%)?$/i;

/** What one of a unit is in the setting's own unit. */
const FACTORS: Readonly<Record<'mm' | 'mm²' | '%', Readonly<Record<string, number>>>> = {
  mm: { mm: 1, cm: 10, in: 25.4, '"': 25.4 },
  'mm²': { 'mm²': 1, mm2: 1 },
  '%': { '%': 1 },
};

/** Far finer than any limit, and free of what binary fractions leave: 6 in is 152.4 mm. */
const DECIMALS = 6;

/** Reads 6, 6mm, 0.25in, 1,5 or 40%; undefined when the text is no number or has another kind of unit. */
export function readNumber(text: string, unit: keyof typeof FACTORS): number | undefined {
  const [, digits, given] = NUMBER.exec(text.trim()) ?? [];
  if (digits === undefined) return undefined;
  const factor = given === undefined ? 1 : FACTORS[unit][given.toLowerCase()];
  if (factor === undefined) return undefined;
  return Number((Number(digits.replace(',', '.')) * factor).toFixed(DECIMALS));
}
