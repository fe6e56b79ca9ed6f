import type { Finding } from '../../stages/check/check.js';
import type { Tone, ToneSettings } from '../../stages/tone/tone.js';
import type { MadeFrom } from '../../disk/made-from.js';

/** What a person wants to know of a finished stencil at a glance. Lengths in mm. */
export interface Figures {
  readonly sheet: { readonly widthMm: number; readonly heightMm: number };
  readonly tone: string;
  readonly openings: number;
  readonly islands: number;
  readonly bridges: number;
  readonly cutMm: number;
  /** How long it takes to cut, warming up included, and the warming up alone. */
  readonly minutes: number;
  readonly warmUpMinutes: number;
  /** How hard it is to cut, in a word. */
  readonly difficulty: string;
  /** The share of the card that the print changes against the tone picture. */
  readonly fidelity: number;
  readonly findings: readonly Finding[];
}

/** A stencil that stands in its folder. */
export interface MadeRow {
  readonly fate: 'good' | 'broken';
  /** The picture's way from the batch's folder. */
  readonly picture: string;
  /** The stencil's way from the output folder. */
  readonly folder: string;
  /** As it was given: places on it are told in its unit. */
  readonly card: string;
  readonly figures: Figures;
  /** The files in the folder. */
  readonly files: readonly string[];
  /** The print, small, as a WebP; undefined where no preview was asked for. */
  readonly print: Uint8Array | undefined;
  /** It stood there from before, and nothing that it follows from has changed. */
  readonly kept: boolean;
  /** What else a person should know of where its files went, in sentences without their full stops. */
  readonly notes: readonly string[];
}

/** A picture that no stencil was made of, and why. */
export interface FailedRow {
  readonly fate: 'failed';
  readonly picture: string;
  readonly what: string;
  readonly where: string;
  readonly remedy: string;
}

/** A stencil in the output folder that an earlier batch made of a picture which is not in the folder any more. */
export interface Gone {
  /** The stencil's way from the output folder. */
  readonly folder: string;
  /** The picture's file name. */
  readonly picture: string;
}

/** What became of one picture of a folder. */
export type SummaryRow = MadeRow | FailedRow;

/** A report.json, as far as it is read again. */
export interface StoredReport {
  readonly sheet: Figures['sheet'];
  readonly job: { readonly card: string };
  readonly tone: { readonly mode: Tone['mode']; readonly chosen?: ToneSettings };
  readonly islands: number;
  readonly openings: readonly { readonly lengthMm: number }[];
  readonly bridges: readonly unknown[];
  readonly plan: {
    readonly minutes: number;
    readonly warmUpMinutes: number;
    readonly difficulty: { readonly level: string };
  };
  readonly findings: readonly Finding[];
  readonly fidelity: number;
  readonly madeFrom?: MadeFrom;
}

/** The figures in a report. */
export function figuresIn(report: StoredReport): Figures {
  const { sheet, tone, islands, openings, bridges, plan, findings, fidelity } = report;
  return {
    sheet,
    tone: tone.mode,
    openings: openings.length,
    islands,
    bridges: bridges.length,
    cutMm: openings.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    minutes: plan.minutes,
    warmUpMinutes: plan.warmUpMinutes,
    difficulty: plan.difficulty.level,
    fidelity,
    findings,
  };
}
