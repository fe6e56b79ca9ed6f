import { settings, toolLimits, type Setting, type SettingName } from '../src/index.js';
import type { Option, OptionsByName } from './command.js';

/** A setting's name as an option: narrowestOpening → narrowest-opening. */
export function optionName(name: string): string {
  return name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

/** The settings that are options: all but those that only a settings file can hold. */
export function optionSettings(): readonly [SettingName, Setting][] {
  const all = Object.entries(settings) as [SettingName, Setting][];
  return all.filter(([, { kind }]) => kind !== 'data');
}

/**
 * One option for each such setting.
 *
 * @param group the heading over them, where it is not each setting's own
 */
export function settingOptions(
  described: readonly (readonly [string, Setting])[] = optionSettings(),
  group?: string,
): OptionsByName {
  return Object.fromEntries(
    described.map(([name, setting]) => [
      optionName(name),
      { ...settingOption(name, setting), group: group ?? setting.group },
    ]),
  );
}

function settingOption(name: string, setting: Setting): Option {
  const unset = unsetValue(name, setting);
  const more = [
    setting.kind === 'choice' && `One of ${setting.choices.join(', ')}.`,
    setting.kind === 'text' && isLong(setting) && `Write it like this: ${setting.form}.`,
    setting.kind === 'switch' &&
      setting.default &&
      `On, unless you write --no-${optionName(name)}.`,
    unset !== '' && `Unless set: ${unset}.`,
  ].filter((sentence) => sentence !== false);
  return {
    type: setting.kind === 'switch' ? 'boolean' : 'string',
    describe: [setting.says, ...more].join(' '),
    ...valueShown(setting),
  };
}

/** Characters of an example that fit behind its option in the left column of the help. */
const MOST_SHOWN = 15;

/** Whether a text is too long to stand behind its option. */
function isLong({ form }: Extract<Setting, { kind: 'text' }>): boolean {
  return form.length > MOST_SHOWN;
}

function valueShown(setting: Setting): Pick<Option, 'value'> {
  switch (setting.kind) {
    case 'number':
      return { value: unitWords[setting.unit] };
    case 'choice':
      return { value: 'WHICH' };
    case 'text':
      return { value: isLong(setting) ? 'TEXT' : setting.form };
    case 'switch':
    case 'data':
      return {};
  }
}

const unitWords: Readonly<Record<Extract<Setting, { kind: 'number' }>['unit'], string>> = {
  mm: 'MM',
  'mm²': 'MM²',
  '%': 'PERCENT',
  'mm/min': 'MM/MIN',
  min: 'MINUTES',
  'px/mm': 'PX/MM',
  'px/in': 'PX/IN',
  '°': 'DEGREES',
};

function unsetValue(name: string, setting: Setting): string {
  if (setting.kind === 'switch' || setting.kind === 'data') return '';
  const unit = setting.kind === 'number' ? ` ${setting.unit}` : '';
  if (setting.default !== null) return `${setting.default}${unit}`;
  const byTool = Object.entries(toolLimits).filter(([, limits]) => name in limits);
  if (byTool.length === 0) return setting.follows ?? '';
  return byTool
    .map(([tool, limits]) => `${tool} ${limits[name as keyof typeof limits]}`)
    .join(', ')
    .concat(unit);
}
