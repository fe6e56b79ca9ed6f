import type { LayersInput } from './layers-input.js';
import type { JobInput } from '../../src/index.js';
import {
  settings,
  toolLimits,
  type SettingGroup,
  type SettingName,
} from '../../src/settings/job.js';
import { settingsOf, type PageJob } from './typed.js';
import { without } from './without.js';

/** The settings that one step of undo and redo changes together. */
export interface Setup {
  readonly job: PageJob;
  /** Where layers of paint are wanted. */
  readonly layers?: LayersInput | undefined;
  /** Limits of a cutter, laid aside while lines are drawn with glue. */
  readonly cutter?: JobInput | undefined;
}

/** The setup for another aim: what a cutter can do means nothing to a glue gun, and comes back with the film. */
export function aimedAt(
  { job, cutter }: Setup,
  part: JobInput,
  layers: LayersInput | undefined,
): Setup {
  const [wasGlue, isGlue] = [job.as === 'glue-line', part.as === 'glue-line'];
  if (wasGlue === isGlue) return { job: merged(job, part), layers, cutter };
  if (wasGlue) return { job: merged(job, { ...cutter, ...part }), layers };
  const limits = Object.entries(job).filter(([name]) => name in toolLimits['hot-tip']);
  const rest = without(job, ...limits.map(([name]) => name as keyof PageJob));
  return { job: merged(rest, part), layers, cutter: Object.fromEntries(limits) as JobInput };
}

/** What belongs to one picture, besides what is drawn on it. */
const SETTINGS_OF_A_PICTURE: readonly SettingName[] = [
  'crop',
  'pictureTurn',
  'straighten',
  'page',
  'foldPlace',
  'foldPicture',
];
const GROUPS_OF_A_PICTURE: readonly SettingGroup[] = ['Dark and light', 'Subject'];

/** The setup for the next picture: card, tool, limits and what is wanted stay, all that belongs to a picture goes. */
export function forNextPicture({ job, layers }: Setup): Setup {
  const kept = Object.entries(settingsOf(job)).filter(([name, value]) => {
    const setting = settings[name as SettingName];
    return (
      !Array.isArray(value) &&
      !SETTINGS_OF_A_PICTURE.includes(name as SettingName) &&
      !GROUPS_OF_A_PICTURE.includes(setting.group)
    );
  });
  return { job: Object.fromEntries(kept), layers };
}

/** The setup for another picture of the same tray: all but what is drawn on a picture, and its part. */
export function forSameSettings({ job, layers }: Setup): Setup {
  const kept = Object.entries(settingsOf(job)).filter(
    ([name, value]) =>
      !Array.isArray(value) && !SETTINGS_OF_A_PICTURE.includes(name as SettingName),
  );
  return { job: Object.fromEntries(kept), layers };
}

/** Settings with some of them changed; undefined and null unset one. */
export function merged(job: PageJob, part: Partial<Record<SettingName, unknown>>): PageJob {
  const all = Object.entries({ ...job, ...part });
  return Object.fromEntries(all.filter(([, value]) => value !== undefined && value !== null));
}
