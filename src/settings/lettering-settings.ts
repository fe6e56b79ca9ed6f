import { checkAgainst, type Job, type Setting, type SettingsOrigin } from './job.js';
import { isNumber, isObject } from './edits.js';
import { completeLayers, layerSettings, type LayersJob } from './layer-settings.js';
import { Problem } from './problem.js';

/** The typefaces that are built in, by what an artist calls their kind. */
export const typefaceKinds = [
  'sans',
  'narrow',
  'slab',
  'script',
  'typewriter',
  'display',
  'hand',
  'noto',
] as const;

/** What is set about words, besides the settings that hold for every stencil. */
export const letteringSettings = {
  face: {
    kind: 'text',
    group: 'Words',
    says: 'The typeface: sans, narrow, slab, script, typewriter, display, hand, or noto for other scripts; or a font file of yours, .ttf, .otf, .woff or .woff2. See --list.',
    default: 'sans',
    form: 'slab',
    pattern: /\S/,
  },
  capHeight: {
    kind: 'number',
    group: 'Words',
    says: 'How tall a capital letter is.',
    default: null,
    follows: 'as large as the card has room for',
    min: 2,
    max: 500,
    unit: 'mm',
  },
  align: {
    kind: 'choice',
    group: 'Words',
    says: 'Where lines of different lengths meet.',
    default: 'centre',
    choices: ['left', 'centre', 'right'],
  },
  letterSpacing: {
    kind: 'number',
    group: 'Words',
    says: 'More room between letters, or less, in percent of the height of a capital; letters that join stay joined.',
    default: 0,
    min: -20,
    max: 200,
    unit: '%',
  },
  lineSpacing: {
    kind: 'number',
    group: 'Words',
    says: 'From line to line, in percent of the height of a capital.',
    default: 155,
    min: 80,
    max: 500,
    unit: '%',
  },
  along: {
    kind: 'choice',
    group: 'Words',
    says: 'What words stand on: a straight line, an arch, or a circle that they run round once.',
    default: 'line',
    choices: ['line', 'arch', 'circle'],
  },
  bend: {
    kind: 'number',
    group: 'Words',
    says: 'With an arch: how much of a circle it is; more bends it more.',
    default: 100,
    min: 10,
    max: 340,
    unit: '°',
  },
  tilt: {
    kind: 'number',
    group: 'Words',
    says: 'Turns the words clockwise, or the other way with a minus: 90 runs down the card.',
    default: 0,
    min: -180,
    max: 180,
    unit: '°',
  },
  bridgeRule: {
    kind: 'choice',
    group: 'Words',
    says: 'How the insides of letters are held, the same in all of them: slanted, upright or leaning as the typeface does; upright; level; or thin, across the thinnest strokes.',
    default: 'slanted',
    choices: ['slanted', 'upright', 'level', 'thin'],
  },
  picture: {
    kind: 'text',
    group: 'Words',
    says: 'A picture on the same card: one stencil of both.',
    default: null,
    follows: 'words alone',
    form: 'nana.jpg',
    pattern: /\S/,
  },
  place: {
    kind: 'choice',
    group: 'Words',
    says: 'With a picture: where the words stand.',
    default: 'below',
    choices: ['above', 'below', 'left', 'right'],
  },
} as const satisfies Readonly<Record<string, Setting>>;

/** What is set of the sheets that words have besides their own, each with a paint of its own. */
export const sheetSettings = {
  under: {
    kind: 'choice',
    group: 'Words',
    says: 'A sheet in a paint of its own, painted first: an outline all round the letters, or a shadow that they cast to the lower right.',
    default: 'none',
    choices: ['none', 'outline', 'shadow'],
  },
  underBy: {
    kind: 'number',
    group: 'Words',
    says: 'With an outline or a shadow: how far it reaches beyond the letters.',
    default: 2,
    min: 1,
    max: 15,
    unit: 'mm',
  },
  layers: {
    kind: 'choice',
    group: 'Words',
    says: 'With a picture: in how many paints it is painted, each with a sheet of its own, the lightest first. The words have the last.',
    default: '1',
    choices: ['1', '2', '3', '4', '5'],
  },
  levels: layerSettings.levels,
  laid: layerSettings.laid,
  overlap: layerSettings.overlap,
  paints: layerSettings.paints,
} as const satisfies Readonly<Record<string, Setting>>;

/** What lies under letters. */
export interface UnderJob {
  readonly under: 'none' | 'outline' | 'shadow';
  /** In mm. */
  readonly underBy: number;
}

/** The sheets of words, and of a picture beside them. */
export interface SheetsJob extends UnderJob, LayersJob {
  /** Sheets, each with its paint; 1 for a single stencil. */
  readonly count: number;
  /** In how many paints the picture is; they are the last ones. */
  readonly layers: number;
}

/**
 * Checks what a person gave about the sheets of words and fills in the rest.
 *
 * @throws Problem for a value that can't be, and for levels or paints that are not one for each sheet
 */
export function completeSheets(
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin,
): SheetsJob {
  checkAgainst(sheetSettings, given, origin);
  const { levels, laid, overlap, paints } = given;
  const under = (given.under ?? sheetSettings.under.default) as UnderJob['under'];
  const listed = (list: unknown): number | undefined =>
    typeof list === 'string' ? list.split(',').length : undefined;
  const told = listed(levels) ?? (under === 'none' ? listed(paints) : undefined);
  const layers = Number(given.layers ?? told ?? sheetSettings.layers.default);
  if (layers === 1 && typeof levels === 'string') {
    throw new Problem(
      'Levels part a picture into layers, and one is wanted',
      `${origin.spell('levels')}, ${origin.spell('layers')}`,
      'Leave one of them out',
    );
  }
  const count = Math.max(layers, under === 'none' ? 1 : 2);
  const spell = (name: string): string => origin.spell(name === 'count' ? 'layers' : name);
  const parted =
    count === 1
      ? completeLayers({}, origin)
      : completeLayers(
          { count: String(count), levels, laid, overlap, paints },
          { ...origin, spell },
        );
  return {
    ...parted,
    count,
    layers,
    under,
    underBy: Number(given.underBy ?? sheetSettings.underBy.default),
  };
}

/** A person's edits of one sheet. */
export type SheetEdits = Pick<Job, 'bridgeEdits' | 'bridgeFree' | 'regionEdits'>;

export const NO_EDITS: SheetEdits = { bridgeEdits: [], bridgeFree: [], regionEdits: [] };

/** What a report says of the sheets. */
export interface SheetsTold extends SheetsJob {
  /** What all paints are mixed from, where they are not given. */
  readonly paint?: string;
  /** The sheet that the report is of, from 1; none where it is of all of them. */
  readonly number?: number;
  /** What was edited on each, in the order of painting. */
  readonly edits: readonly SheetEdits[];
}

/** How words are cut. */
export interface LetteringJob {
  readonly face: string;
  /** In mm; null for as large as there is room. */
  readonly capHeight: number | null;
  readonly align: 'left' | 'centre' | 'right';
  /** In percent of the cap height, as the next. */
  readonly letterSpacing: number;
  readonly lineSpacing: number;
  readonly along: 'line' | 'arch' | 'circle';
  /** In degrees, as the next. */
  readonly bend: number;
  readonly tilt: number;
  readonly bridgeRule: 'slanted' | 'upright' | 'level' | 'thin';
  /** A path; null for words alone. */
  readonly picture: string | null;
  readonly place: 'above' | 'below' | 'left' | 'right';
}

/**
 * Checks what a person gave about words and fills in the rest.
 *
 * @throws Problem for an unknown name, or a value that can't be
 */
export function completeLettering(
  given: Readonly<Record<string, unknown>>,
  origin: SettingsOrigin,
): LetteringJob {
  checkAgainst(letteringSettings, given, origin);
  return Object.fromEntries(
    Object.entries(letteringSettings).map(([name, setting]) => [
      name,
      given[name] ?? setting.default,
    ]),
  ) as unknown as LetteringJob;
}

/** Where a letter stood: what carries a person's edits along when the words change. */
export interface LetterPlace {
  readonly text: string;
  readonly line: number;
  /** Its origin on the baseline, in mm on the sheet; its turn in radians; mm an em. */
  readonly x: number;
  readonly y: number;
  readonly angle: number;
  readonly scale: number;
}

/** What a report says of words: with its job, all that they are made from. */
export interface LetteringTold {
  readonly lines: readonly string[];
  readonly set: LetteringJob;
  readonly letters: readonly LetterPlace[];
  /** Their sheets, where there are several. */
  readonly sheets?: SheetsTold;
}

/** What may be anything, as the places of letters; those that can't be read are left out. */
export function letterPlaces(value: unknown): readonly LetterPlace[] {
  if (!Array.isArray(value)) return [];
  return value.filter(
    (one: unknown): one is LetterPlace =>
      isObject(one) &&
      typeof one.text === 'string' &&
      [one.line, one.x, one.y, one.angle, one.scale].every(isNumber),
  );
}
