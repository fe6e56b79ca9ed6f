import type { LayersInput } from './layers-input.js';
import { settings, type SettingName } from '../../src/settings/job.js';
import { settingsOf, type PageJob } from './typed.js';

/** All that is undone and done again together. */
export interface Setup {
  readonly job: PageJob;
  /** Where layers of paint are wanted. */
  readonly layers?: LayersInput | undefined;
}

/** What belongs to one picture, besides what is drawn on it. */
const OF_A_PICTURE: readonly SettingName[] = [
  'crop',
  'pictureTurn',
  'straighten',
  'page',
  'foldPlace',
  'foldPicture',
];
const GROUPS_OF_A_PICTURE: readonly string[] = ['Tone', 'Subject'];

/** The setup for the next picture: card, tool, limits and what is wanted stay, all that belongs to a picture goes. */
export function forNextPicture({ job, layers }: Setup): Setup {
  const kept = Object.entries(settingsOf(job)).filter(([name, value]) => {
    const setting = settings[name as SettingName];
    return (
      !Array.isArray(value) &&
      !OF_A_PICTURE.includes(name as SettingName) &&
      !GROUPS_OF_A_PICTURE.includes(setting.group)
    );
  });
  return { job: Object.fromEntries(kept), layers };
}

/** The setup for another picture of the same tray: all but what is drawn on a picture, and its part. */
export function forSameSettings({ job, layers }: Setup): Setup {
  const kept = Object.entries(settingsOf(job)).filter(
    ([name, value]) => !Array.isArray(value) && !OF_A_PICTURE.includes(name as SettingName),
  );
  return { job: Object.fromEntries(kept), layers };
}
