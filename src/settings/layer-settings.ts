import { checkAgainst, type SettingsOrigin, type Setting } from './job.js';
import { Problem } from './problem.js';

const HEX = '#[0-9a-f]{6}';

/** What is set about layers, besides the settings that hold for each of their sheets. */
export const layerSettings = {
  count: {
    kind: 'choice',
    group: 'Dark and light',
    says: 'How many layers: each has a sheet and a paint of its own.',
    default: '3',
    choices: ['2', '3', '4', '5'],
  },
  levels: {
    kind: 'text',
    group: 'Dark and light',
    says: 'The lightness at which each layer begins, in percent, in place of the levels that are found for the picture; one for each layer.',
    default: null,
    follows: 'found, so that the layers differ as much as they can',
    form: '75,50,25',
    pattern: /^\s*\d+(\.\d+)?(\s*,\s*\d+(\.\d+)?){1,4}\s*$/,
  },
  laid: {
    kind: 'choice',
    group: 'Dark and light',
    says: 'How layers lie: nested, each lighter paint under all of the darker ones, which forgives most; or separate, each paint beside the others, but for an overlap.',
    default: 'nested',
    choices: ['nested', 'separate'],
  },
  overlap: {
    kind: 'number',
    group: 'Dark and light',
    says: 'With separate layers: how far each paint runs under the darker one, so that no card shows between them when a sheet is laid a little off.',
    default: 1,
    min: 0.5,
    max: 5,
    unit: 'mm',
  },
  paints: {
    kind: 'text',
    group: 'Dark and light',
    says: 'The colours of the paints in the preview, the first to be painted first.',
    default: null,
    follows: 'steps from the ground to the paint of the job',
    form: '#d9a441,#a4542c,#3b2418',
    pattern: new RegExp(`^\\s*${HEX}(\\s*,\\s*${HEX}){1,4}\\s*$`, 'i'),
  },
} as const satisfies Readonly<Record<string, Setting>>;

export type LayerSettingName = keyof typeof layerSettings;

/** How a picture is made into layers. */
export interface LayersJob {
  readonly count: number;
  /** In percent; null when they are to be found. */
  readonly levels: readonly number[] | null;
  readonly laid: 'nested' | 'separate';
  readonly overlap: number;
  /** One colour for each layer, in the order of painting; null when they follow from the job's paint. */
  readonly paints: readonly string[] | null;
}

/** Where one layer stands in its set, and how the set is parted: with its job, all that it follows from. */
export interface LayerPlace extends Pick<LayersJob, 'count' | 'levels' | 'laid' | 'overlap'> {
  /** From 1, in the order of painting. */
  readonly number: number;
}

/**
 * Checks what a person gave about layers and fills in the rest.
 *
 * @throws Problem for a value that can't be, and for levels or paints that are not one for each layer
 */
export function completeLayers(
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin,
): LayersJob {
  checkAgainst(layerSettings, given, origin);
  const value = (name: LayerSettingName) => given[name] ?? layerSettings[name].default;
  const listOf = (name: LayerSettingName) => {
    const text = value(name);
    return typeof text === 'string' ? text.split(',').map((part) => part.trim()) : null;
  };
  const levels = listOf('levels')?.map(Number) ?? null;
  const paints = listOf('paints');
  const wanted = given.count ?? levels?.length ?? paints?.length ?? layerSettings.count.default;
  const count = Number(wanted);
  for (const [name, list] of Object.entries({ levels, paints })) {
    if (list === null || list.length === count) continue;
    throw new Problem(
      `There are ${list.length} ${name} for ${count} layers`,
      `${origin.spell(name)}, ${origin.spell('count')}`,
      'Give one for each layer',
    );
  }
  if (
    levels &&
    (levels.some((level) => level <= 0 || level >= 100) || new Set(levels).size < count)
  ) {
    throw new Problem(
      `The levels ${levels.join(', ')} can't part the picture`,
      origin.spell('levels'),
      'Give different percents, more than 0 and less than 100',
    );
  }
  return {
    count,
    levels,
    laid: value('laid') as LayersJob['laid'],
    overlap: value('overlap') as number,
    paints,
  };
}
