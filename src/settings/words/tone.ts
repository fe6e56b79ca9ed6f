import { counted } from '../settings/words/counted.js';
import type { JobInput } from '../settings/job.js';
import type { Figures } from './report/row.js';

/** The settings that make a tone; laid over a job, they replace its own. */
export type ToneInput = Pick<JobInput, 'tone' | 'level' | 'masses' | 'detail'>;

/** A tone carried through to a finished stencil, or why there is none. */
export type Tried =
  | {
      readonly settings: ToneInput;
      readonly fate: 'good' | 'broken';
      readonly figures: Figures;
      /** The same tone without choosing. */
      readonly became: ToneInput;
      /** The print, small, as a WebP. */
      readonly print: Uint8Array;
    }
  | { readonly settings: ToneInput; readonly fate: 'failed'; readonly why: string };

/** A tone as options of the command line: --tone level --level 40. */
export function optionsOf(settings: ToneInput): string {
  return Object.entries(settings)
    .map(([name, value]) => `--${name} ${value}`)
    .join(' ');
}

/** What a tone is called: "level 40", "mixed, masses 50, detail 80", "best: edges". */
export function titleOf(tried: Tried): string {
  const { settings } = tried;
  const isBest = settings.tone === 'best' && tried.fate !== 'failed';
  if (!isBest) return nameOf(settings);
  return `best: ${tried.became.tone === 'best' ? 'mixed, part by part' : nameOf(tried.became)}`;
}

function nameOf({ tone, ...amounts }: ToneInput): string {
  const said = Object.entries(amounts).map(([name, amount]) => `${name} ${amount}`);
  return tone === 'level' ? said.join(', ') : [tone, ...said].join(', ');
}

/** What there is to cut, in a line. */
export function costOf({ openings, bridges, cutMm }: Figures): string {
  return `${counted(openings, 'piece')}, ${counted(bridges, 'bridge')}, ${(cutMm / 1000).toFixed(1)} m to cut`;
}
