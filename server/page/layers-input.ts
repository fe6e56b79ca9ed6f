import { completeSheets } from '../../src/settings/lettering-settings.js';

/** How a picture, or words, are made into layers of paint; what is left out is found. */
export interface LayersInput {
  /** Of words with something under them, 1 where their picture is not parted. */
  readonly count: string;
  readonly laid?: 'nested' | 'separate';
  /** One colour for each layer, with commas between. */
  readonly paints?: string;
  /** Of words alone: what lies under the letters, and how far it reaches beyond them, in mm. */
  readonly under?: 'none' | 'outline' | 'shadow';
  readonly underBy?: number;
}

/** The same as settings of the sheets of words. */
export function sheetsOf({ count, ...rest }: LayersInput): Readonly<Record<string, unknown>> {
  return { layers: count, ...rest };
}

/** A value that was read from JSON, as layers that are wanted; undefined where it can't be used. */
export function readLayersInput(value: unknown): LayersInput | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  const { count, ...rest } = value as Readonly<Record<string, unknown>>;
  try {
    completeSheets({ layers: count, ...rest }, { where: 'address', spell: (name) => name });
  } catch {
    // As with settings that can't be read.
    return undefined;
  }
  return value as LayersInput;
}

/** The sheets of words in a report or a job file, as layers that are wanted. */
export function layersInReport(text: string): LayersInput | undefined {
  const { words } = JSON.parse(text.replace(/^\uFEFF/, '')) as { readonly words?: unknown };
  if (typeof words !== 'object' || words === null || !('sheets' in words)) return undefined;
  const { layers, laid, paints, under, underBy } = (words.sheets ?? {}) as Readonly<
    Record<string, unknown>
  >;
  return readLayersInput({
    count: String(Number(layers)),
    laid,
    under,
    underBy,
    ...(Array.isArray(paints) && { paints: paints.join(',') }),
  });
}

/** The layers that words keep without a picture: what is under them, or none at all. */
export function layersAlone(layers: LayersInput | undefined): LayersInput | undefined {
  const { under = 'none', underBy } = layers ?? {};
  if (under === 'none') return undefined;
  return { count: '1', under, ...(underBy !== undefined && { underBy }) };
}
