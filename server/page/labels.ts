import { namedCards } from '../../src/settings/card.js';
import {
  settings,
  type Setting,
  type SettingGroup,
  type SettingName,
} from '../../src/settings/job.js';
import { labelled, spelt } from '../../src/settings/words/spelling.js';

export { counted } from '../../src/settings/words/counted.js';
export { labelOf } from '../../src/settings/words/spelling.js';

/** The settings by heading, in the order of `src/settings/job.ts`. */
export function settingGroups(): readonly (readonly [SettingGroup, readonly SettingName[]])[] {
  const names = Object.keys(settings) as SettingName[];
  const groups = [...new Set(names.map((name) => settings[name].group))];
  return groups.map((group) => [group, names.filter((name) => describe(name).group === group)]);
}

export const describe = (name: SettingName): Setting => settings[name];

/** A text of the library, with settings called by the labels beside their fields. */
export const inLabels = (text: string): string => spelt(text, labelled);

export function metres(mm: number): string {
  return mm < 1000 ? `${Math.round(mm / 10)} cm` : `${(mm / 1000).toFixed(1)} m`;
}

export const short = (value: number): string => String(Math.round(value * 100) / 100);

export const cardNames: readonly string[] = namedCards.map(({ name }) => name);
