import { readFile } from 'node:fs/promises';
import { isObject } from '../settings/edits.js';
import { checkSettings, type JobInput, type SettingsOrigin } from '../settings/job.js';
import { completeLayers, type LayerPlace, type LayersJob } from '../settings/layer-settings.js';
import {
  completeLettering,
  completeSheets,
  letterPlaces,
  type LetteringTold,
  type SheetEdits,
  type SheetsTold,
} from '../settings/lettering-settings.js';
import { Problem } from '../settings/problem.js';

/**
 * Reads settings from a JSON file: an object of them by name, or a whole report, whose `job` is one.
 *
 * @param where what to call the file in an error
 * @throws Problem when the file can't be read, is no such JSON, or holds a bad setting
 */
export async function readSettingsFile(path: string, where = path): Promise<JobInput> {
  const found = parse(await read(path, where), where);
  const job = isObject(found) && isObject(found.job) ? found.job : found;
  if (!isObject(job)) {
    throw new Problem(
      'This file holds no settings',
      where,
      'Write {"card": "4x4in"}, or give a report.json',
    );
  }
  return checkSettings(job, { where, spell: (name) => name });
}

/** What a report says of layers, besides the job. */
export interface LayersTold {
  /** How the set was parted: in the report of a set, or of a layer, which has no say about the paints. */
  readonly set: LayersJob;
  /** Where a layer stands in it. */
  readonly place?: LayerPlace;
  /** What the stencil or the set is called. */
  readonly name?: string;
  /** The picture that it was made of. */
  readonly picture?: string;
}

/**
 * Reads what a report says of layers; undefined for any other file of settings.
 *
 * @throws Problem when the file can't be read, or when what it says of layers can't be
 */
export async function readLayersTold(path: string, where = path): Promise<LayersTold | undefined> {
  const found = parse(await read(path, where), where);
  if (!isObject(found) || !isObject(found.job)) return undefined;
  const told = isObject(found.layer) ? found.layer : found.set;
  if (!isObject(told)) return undefined;
  const { count, levels, laid, overlap, paints } = told;
  const set = completeLayers(
    { count: String(count), levels: commaList(levels), laid, overlap, paints: commaList(paints) },
    { where, spell: (name) => name },
  );
  const number = Number(told.number);
  const isPlace = Number.isInteger(number) && number >= 1 && number <= set.count;
  const { picture } = isObject(found.madeFrom) ? found.madeFrom : {};
  return {
    set,
    ...(isPlace && {
      place: { number, count: set.count, levels: set.levels, laid: set.laid, overlap: set.overlap },
    }),
    ...(typeof found.name === 'string' && { name: found.name }),
    ...(typeof picture === 'string' && { picture }),
  };
}

/**
 * Reads what a report says of words: them, how they were cut, and where their letters stood; undefined for any other
 * file of settings.
 *
 * @throws Problem when the file can't be read, or when what it says of words can't be
 */
export async function readWordsTold(
  path: string,
  where = path,
): Promise<LetteringTold | undefined> {
  const found = parse(await read(path, where), where);
  if (!isObject(found) || !isObject(found.words)) return undefined;
  const { lines, set, letters, sheets } = found.words;
  if (!Array.isArray(lines) || !isObject(set)) return undefined;
  const origin = { where, spell: (name: string) => name };
  return {
    lines: lines.filter((line): line is string => typeof line === 'string'),
    set: completeLettering(set, origin),
    letters: letterPlaces(letters),
    ...(isObject(sheets) && { sheets: sheetsTold(sheets, found.job, origin) }),
  };
}

/** @param job of the report: its edits are those of the report's own sheet, or of the last one */
function sheetsTold(
  { under, underBy, layers, levels, laid, overlap, paints, paint, number, edits }: JsonObject,
  job: unknown,
  origin: SettingsOrigin,
): SheetsTold {
  const counted = {
    layers: String(Number(layers)),
    levels: commaList(levels),
    paints: commaList(paints),
  };
  const set = completeSheets({ under, underBy, laid, overlap, ...counted }, origin);
  const own = [...Array(set.count).keys()].includes(Number(number) - 1)
    ? Number(number)
    : set.count;
  const told: readonly unknown[] = Array.isArray(edits) ? edits : [];
  const checked = checkSettings({ ...(typeof paint === 'string' && { paint }) }, origin);
  return {
    ...set,
    ...(typeof checked.paint === 'string' && { paint: checked.paint }),
    edits: Array.from({ length: set.count }, (_, k) =>
      editsIn(k === own - 1 ? job : told[k], origin),
    ),
  };
}

/** The edits in a value that was read from JSON, checked. */
function editsIn(value: unknown, origin: SettingsOrigin): SheetEdits {
  const { bridgeEdits, bridgeFree, regionEdits } = isObject(value) ? value : {};
  const checked = checkSettings({ bridgeEdits, bridgeFree, regionEdits }, origin);
  return {
    bridgeEdits: checked.bridgeEdits ?? [],
    bridgeFree: checked.bridgeFree ?? [],
    regionEdits: checked.regionEdits ?? [],
  };
}

type JsonObject = Readonly<Record<string, unknown>>;

/** A list as it is given on the command line; null where there is none. */
const commaList = (list: unknown): string | null => (Array.isArray(list) ? list.join(',') : null);

async function read(path: string, where: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (cause) {
    throw new Problem(
      "The settings file can't be read",
      where,
      'Check its name, and that it is a file that you may read',
      { cause },
    );
  }
}

function parse(text: string, where: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, '')) as unknown;
  } catch (cause) {
    throw new Problem(
      `The settings file is not JSON: ${cause instanceof Error ? cause.message : 'unreadable'}`,
      where,
      'Write {"card": "4x4in"}, or give the report.json of a stencil',
      { cause },
    );
  }
}
