import type { Sheet } from '../../settings/card.js';
import type { Job } from '../../settings/job.js';
import type { LayersJob } from '../../settings/layer-settings.js';
import type { LetteringTold } from '../../settings/lettering-settings.js';
import type { MadeFrom } from '../../disk/made-from.js';

/** What the report of a set of layers is made from. */
export interface LayersReported {
  readonly name: string;
  readonly sheet: Sheet;
  readonly job: Job;
  readonly laid: 'nested' | 'separate';
  readonly overlapMm: number;
  readonly register: {
    readonly places: readonly (readonly [number, number])[];
    readonly sideMm: number;
  };
  /** In the order of painting. */
  readonly layers: readonly {
    readonly folder: string;
    readonly level?: number;
    readonly paint: string;
    readonly onLayerBefore: number | null;
    readonly openings: number;
    readonly bridges: number;
    readonly minutes: number;
    readonly good: boolean;
  }[];
  /** What was set of the layers, to make the set again; nothing for words, which have no tones. */
  readonly set?: LayersJob;
  readonly words?: LetteringTold;
  readonly madeFrom: MadeFrom;
}

/** The report of a set of layers as JSON; `layers` stands in the order of painting. */
export function layersJson(reported: LayersReported): string {
  const { name, sheet, job, laid, overlapMm, register, layers, set, words, madeFrom } = reported;
  const report = {
    name,
    sheet: { widthMm: toThousandth(sheet.widthMm), heightMm: toThousandth(sheet.heightMm) },
    laid,
    ...(laid === 'separate' && { overlapMm }),
    registerMarks: register.places.map(([x, y]) => ({
      at: [toThousandth(x), toThousandth(y)],
      sideMm: register.sideMm,
    })),
    layers: layers.map((layer) => ({
      ...layer,
      onLayerBefore: layer.onLayerBefore === null ? null : toThousandth(layer.onLayerBefore),
      minutes: toThousandth(layer.minutes),
    })),
    ...(set && { set }),
    ...(words && { words }),
    job,
    madeFrom,
  };
  return `${JSON.stringify(report, null, 2)}\n`;
}

function toThousandth(value: number): number {
  return Math.round(value * 1000) / 1000;
}
