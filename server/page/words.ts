import { namedCards } from '../../src/card.js';
import { settings, type Setting, type SettingName } from '../../src/job.js';

/** The settings by heading, in the order of `src/job.ts`. */
export function settingGroups(): readonly (readonly [string, readonly SettingName[]])[] {
  const names = Object.keys(settings) as SettingName[];
  const groups = [...new Set(names.map((name) => describe(name).group as string))];
  return groups.map((group) => [group, names.filter((name) => describe(name).group === group)]);
}

export const describe = (name: SettingName): Setting => settings[name];

/** narrowestOpening → Narrowest opening */
export function labelOf(name: string): string {
  const words = name.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** hot-tip → hot tip */
export const plain = (choice: string): string => choice.replaceAll('-', ' ');

export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

export function metres(mm: number): string {
  return mm < 1000 ? `${Math.round(mm / 10)} cm` : `${(mm / 1000).toFixed(1)} m`;
}

export const short = (value: number): string => String(Math.round(value * 100) / 100);

export const cardNames: readonly string[] = namedCards.map(({ name }) => name);
